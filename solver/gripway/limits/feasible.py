"""Is there any route that keeps the limits, and how little of a sum can one use: CP-SAT over grips.

Efforts are left out, so that changes matter only where one is forbidden: the model has a variable for
each group of candidates that are alike, and a clause for each forbidden change.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gripway.limits.least_sums import SUMS, LeastSums
from gripway.trellis.constrained_network import ConstrainedNetwork, Key
from gripway.trellis.path import INF, Cost

Weights = Sequence[Sequence[Cost]]


def any_path(network: ConstrainedNetwork, seconds: float, weights: Weights | None = None) -> list[int] | None:
    """A path that keeps the limits; [] when there is none, None out of time.

    Efforts are not looked at; `weights` of the nodes (INF: not this one) may stand for them.
    """
    model = _GripsTogether(network)
    if weights is not None:
        model.prefer(weights)
    return model.solve(seconds)


@dataclass(frozen=True, slots=True)
class Use:
    """A sum that is possible; `proved` where nothing less is."""

    size: int
    proved: bool


def least_use(network: ConstrainedNetwork, name: str, seconds: float) -> Use | None:
    """The least sum (`unusual`, `tenths` or `learnt`) found under the other limits; None where none is."""
    sums = LeastSums(network)
    if sums.exact(name):
        least = sums.of(name)
        return None if least is None else Use(least, proved=True)
    model = _GripsTogether(network, without=name)
    model.model.minimize(model.sums[name])
    found = model.solve(seconds)
    if not found:
        return None
    size = int(getattr(network.used(found), name) or 0)
    return Use(size, model.optimal or size == sums.of(name))


def most_together(
    network: ConstrainedNetwork, figures: Sequence[tuple[Sequence[int], frozenset[int]]], seconds: float
) -> list[int] | None:
    """The places of as many figures as can have one grip each at the same time; None where no path is found.

    A figure is its columns and the grips of the tables (their touches) it may have.
    """
    model = _GripsTogether(network)
    together = [model.may_share(columns, rows) for columns, rows in figures]
    model.model.maximize(sum(together))
    if not model.solve(seconds):
        return None
    return [number for number, literal in enumerate(together) if model.solver.boolean_value(literal)]


class _GripsTogether:
    """The model: a truth value for every node, one true in each column, and the limits as rows."""

    def __init__(self, network: ConstrainedNetwork, without: str = "") -> None:
        from ortools.sat.python import cp_model

        self.kit, self.network, self.optimal = cp_model, network, False
        self.model = cp_model.CpModel()
        self.nodes = [[self.model.new_bool_var("") for _ in column] for column in network.nodes]
        for column in self.nodes:
            self.model.add_exactly_one(column)
        for p in range(1, len(self.nodes)):
            self._barred(p)
        for figure in network.figures:
            self._figure(figure)
        self.sums = self._sums()
        for name in SUMS:
            most = getattr(network.budgets, name)
            if most is not None and name != without:
                self.model.add(self.sums[name] <= most)

    def prefer(self, weights: Weights) -> None:
        """The least sum of weights is asked for; nodes without one are taken out."""
        terms = []
        for own, variables in zip(weights, self.nodes, strict=True):
            for weight, variable in zip(own, variables, strict=True):
                if weight == INF:
                    self.model.add(variable == 0)
                elif weight:
                    terms.append(int(weight) * variable)
        self.model.minimize(sum(terms))

    def _barred(self, p: int) -> None:
        for k, row in enumerate(self.network.blocks[p]):
            for j, cost in enumerate(row):
                if cost == INF:
                    self.model.add_bool_or([~self.nodes[p][k], ~self.nodes[p - 1][j]])

    def _figure(self, figure: tuple[int, ...]) -> None:
        grips = {grip for p in figure for grip in self.network.counted[p].rows}
        for grip in sorted(grips):
            at = [sum(self._with(p, grip)) for p in figure]
            for other in at[1:]:
                self.model.add(at[0] == other)

    def may_share(self, columns: Sequence[int], rows: frozenset[int]) -> Any:
        """A literal that is true only where the columns have one of some grips, all the same."""
        together = self.model.new_bool_var("")
        shared = {row: self.model.new_bool_var("") for row in sorted(rows)}
        self.model.add_exactly_one(shared.values()).only_enforce_if(together)
        for row, literal in shared.items():
            for p in columns:
                self.model.add_bool_or(self._with(p, row)).only_enforce_if(together, literal)
        return together

    def _with(self, p: int, grip: int) -> list[Any]:
        return [v for v, own in zip(self.nodes[p], self.network.counted[p].rows, strict=True) if own == grip]

    def _sums(self) -> dict[str, Any]:
        chosen = list(zip(self.network.counted, self.nodes, strict=True))
        learnt: dict[Key, Any] = {}
        for counted, variables in chosen:
            for new, variable in zip(counted.new, variables, strict=True):
                if new is not None:
                    learnt.setdefault(new, self.model.new_bool_var(""))
                    self.model.add_implication(variable, learnt[new])
        return {
            "unusual": sum(u * v for c, vs in chosen for u, v in zip(c.unusual, vs, strict=True)),
            "tenths": sum(t * v for c, vs in chosen for t, v in zip(c.tenths, vs, strict=True)),
            "learnt": sum(learnt.values()),
        }

    def solve(self, seconds: float) -> list[int] | None:
        """The nodes chosen; [] when no choice keeps the limits, None when time ran out."""
        self.solver = solver = self.kit.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_time_in_seconds = max(0.05, seconds)
        status = solver.solve(self.model)
        self.optimal = status == self.kit.OPTIMAL
        if status == self.kit.INFEASIBLE:
            return []
        if status not in (self.kit.OPTIMAL, self.kit.FEASIBLE):
            return None
        return [next(k for k, v in enumerate(vs) if solver.boolean_value(v)) for vs in self.nodes]
