"""The proof: what is left of a puzzle as a flow with side rows, through OR-Tools (MathOpt, HiGHS).

A node is a variable that is 0 or 1, a change between two columns that both leave a choice is a flow
variable; changes into a column of one node cost what the node before them says. The notes of a
figure share one variable a grip.
"""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from gripway.route.path import INF
from gripway.route.puzzle import STEP, Key, Puzzle

SLACK = 1e-6
"""A bound of the solver this near below a whole thousandth counts as that."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What the flow model found: a path of the puzzle (empty for none), and its bound in thousandths.

    `none` is true when it is proved that no path keeps the limits.
    """

    path: list[int]
    bound: int | None
    none: bool = False


def prove(puzzle: Puzzle, seconds: float) -> Proof:
    """The least path of a puzzle that keeps its limits, as far as the time allows."""
    from datetime import timedelta

    from ortools.math_opt.python import mathopt

    model = mathopt.Model()
    flow = _Flow(puzzle, model, mathopt)
    result = mathopt.solve(
        model,
        mathopt.SolverType.HIGHS,
        params=mathopt.SolveParameters(
            time_limit=timedelta(seconds=max(0.05, seconds)),
            relative_gap_tolerance=0.0,
            absolute_gap_tolerance=0.4,
        ),
    )
    reason = mathopt.TerminationReason
    if result.termination.reason in (reason.INFEASIBLE, reason.INFEASIBLE_OR_UNBOUNDED):
        return Proof([], None, none=True)
    path: list[int] = []
    if result.has_primal_feasible_solution():
        path = flow.path(result.variable_values())
    bound = result.best_objective_bound()
    if path and result.termination.reason == reason.OPTIMAL:
        return Proof(path, puzzle.milli(path))
    finite = abs(bound) < 1e15
    return Proof(path, int(-(-(bound - SLACK) // 1)) if finite else None)


def relaxed_prices(puzzle: Puzzle, seconds: float) -> dict[tuple[str, int, int | Key], float] | None:
    """The prices (thousandths) that the flow without whole numbers sets on its rows; None where it has none.

    Rows are named by kind, column, and grip or new grip.
    """
    from datetime import timedelta

    from ortools.math_opt.python import mathopt

    model = mathopt.Model()
    flow = _Flow(puzzle, model, mathopt, relaxed=True)
    limit = mathopt.SolveParameters(time_limit=timedelta(seconds=max(0.05, seconds)))
    result = mathopt.solve(model, mathopt.SolverType.HIGHS, params=limit)
    if (
        result.termination.reason != mathopt.TerminationReason.OPTIMAL
        or not result.has_dual_feasible_solution()
    ):
        return None
    duals = result.dual_values()
    return {name: -duals[row] for name, row in flow.rows.items()}


class _Flow:
    """The model of one puzzle: the variables of its nodes, and the rows.

    A `relaxed` one has no whole numbers and gives each note of a figure variables of its own, whose
    rows have the duals that are prices.
    """

    def __init__(self, puzzle: Puzzle, model: Any, kit: Any, *, relaxed: bool = False) -> None:
        self.puzzle, self.model, self.kit, self.relaxed = puzzle, model, kit, relaxed
        self.rows: dict[tuple[str, int, int | Key], Any] = {}
        self.figure_of = {p: number for number, figure in enumerate(puzzle.figures) for p in figure}
        self.shared: dict[tuple[int, int], Any] = {}
        self.costs: list[Any] = []
        self.nodes = [self._column(p) for p in range(len(puzzle.nodes))]
        for p in range(1, len(self.nodes)):
            self._changes(p)
        self._sums()
        model.minimize(kit.fast_sum(self.costs))

    def _column(self, p: int) -> list[Any]:
        """The variables of a column: of each grip of a figure one that all its notes share."""
        figure, grips = self.figure_of.get(p), self.puzzle.counted[p].grips
        variables = []
        for grip in grips:
            if figure is not None and grips.count(grip) == 1 and not self.relaxed:
                variables.append(self._of_figure(figure, grip))
            else:
                variables.append(self._zero_or_one())
        if figure is not None:
            self._alike(p, figure, variables)
        self.model.add_linear_constraint(self.kit.fast_sum(variables) == 1)
        held = self.puzzle.nodes[p]
        self.costs += [int(cost) // STEP * v for cost, v in zip(held, variables, strict=True) if cost]
        return variables

    def _zero_or_one(self) -> Any:
        return self.model.add_variable(lb=0.0, ub=1.0, is_integer=not self.relaxed)

    def _alike(self, p: int, figure: int, variables: list[Any]) -> None:
        """Rows that tie the grips of a note to those of its figure."""
        grips = self.puzzle.counted[p].grips
        for grip in sorted(set(grips)):
            if self.relaxed or grips.count(grip) > 1:
                same = [v for v, other in zip(variables, grips, strict=True) if other == grip]
                shared = self._of_figure(figure, grip)
                row = self.model.add_linear_constraint(self.kit.fast_sum(same) - shared == 0)
                self.rows["figure", p, grip] = row
        for absent in self._absent(p, figure):
            self.model.add_linear_constraint(self._of_figure(figure, absent) == 0)

    def _absent(self, p: int, figure: int) -> list[int]:
        """Grips that other notes of the figure still have and this one has not."""
        all_grips = {
            grip for other in self.puzzle.figures[figure] for grip in self.puzzle.counted[other].grips
        }
        return sorted(all_grips - set(self.puzzle.counted[p].grips))

    def _of_figure(self, figure: int, grip: int) -> Any:
        if (figure, grip) not in self.shared:
            self.shared[figure, grip] = self._zero_or_one()
        return self.shared[figure, grip]

    def _changes(self, p: int) -> None:
        before, after, block = self.nodes[p - 1], self.nodes[p], self.puzzle.blocks[p]
        if len(before) == 1 or len(after) == 1:
            pairs = [
                (j, k, after[k] if len(before) == 1 else before[j])
                for k in range(len(after))
                for j in range(len(before))
            ]
            for j, k, variable in pairs:
                if block[k][j] == INF:
                    self.model.add_linear_constraint(variable == 0)
                elif block[k][j]:
                    self.costs.append(int(block[k][j]) // STEP * variable)
            return
        into: dict[int, list[Any]] = defaultdict(list)
        out: dict[int, list[Any]] = defaultdict(list)
        for k, row in enumerate(block):
            for j, cost in enumerate(row):
                if cost != INF:
                    change = self.model.add_variable(lb=0.0, ub=1.0)
                    into[k].append(change)
                    out[j].append(change)
                    self.costs.append(int(cost) // STEP * change)
        for k, variable in enumerate(after):
            self.model.add_linear_constraint(self.kit.fast_sum(into[k]) == variable)
        for j, variable in enumerate(before):
            self.model.add_linear_constraint(self.kit.fast_sum(out[j]) == variable)

    def _sums(self) -> None:
        """The rows of the sums: unusual grips, cents, new grips."""
        budgets, chosen = self.puzzle.budgets, list(zip(self.puzzle.counted, self.nodes, strict=True))
        if budgets.unusual is not None:
            terms = [v for c, vs in chosen for u, v in zip(c.unusual, vs, strict=True) if u]
            row = self.model.add_linear_constraint(self.kit.fast_sum(terms) <= budgets.unusual)
            self.rows["unusual", 0, 0] = row
        if budgets.tenths is not None:
            terms = [t * v for c, vs in chosen for t, v in zip(c.tenths, vs, strict=True) if t]
            row = self.model.add_linear_constraint(self.kit.fast_sum(terms) <= budgets.tenths)
            self.rows["tenths", 0, 0] = row
        if budgets.learnt is not None:
            self._new_grips(budgets.learnt, chosen)

    def _new_grips(self, most: int, chosen: list[tuple[Any, list[Any]]]) -> None:
        learnt: dict[Key, Any] = {}
        for p, (counted, variables) in enumerate(chosen):
            own: dict[Key, list[Any]] = defaultdict(list)
            for new, variable in zip(counted.new, variables, strict=True):
                if new is not None:
                    own[new].append(variable)
            for new, same in own.items():
                if new not in learnt:
                    learnt[new] = self._zero_or_one()
                row = self.model.add_linear_constraint(self.kit.fast_sum(same) - learnt[new] <= 0)
                self.rows["new", p, new] = row
        self.model.add_linear_constraint(self.kit.fast_sum(list(learnt.values())) <= most)

    def path(self, values: Any) -> list[int]:
        """The nodes the solution chose."""
        return [max(range(len(vs)), key=lambda k: values[vs[k]]) for vs in self.nodes]
