"""Linear models with or without whole numbers, solved by HiGHS through OR-Tools (MathOpt).

The solver is asked by its messages: the objects MathOpt makes of an answer took longer than the answer.

Work is counted and not clocked: steps of the simplex method, nodes of the tree. So the answer is the
same on any machine, unless the seconds, which are a stop only, end it. HiGHS is asked for one
sequence of work and a fixed seed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Any

from gripway.limits.silent_stdout import hushed

SLACK = 1e-6
"""A bound of the solver this near below a whole number counts as that."""

GAP = 0.4
"""Costs are whole numbers: a bound this near to a solution proves it."""


@dataclass(frozen=True, slots=True)
class Solution:
    """Values of the variables (empty: none found) that are not 0, prices of the rows, and a bound.

    `best` says that nothing costs less, `none` that nothing is possible; both are proved. Prices are
    there for models without whole numbers that were solved to the end, and not 0. `bound` is the
    least whole number no solution can cost less than.
    """

    values: Mapping[int, float]
    prices: Mapping[int, float]
    bound: int | None
    best: bool = False
    none: bool = False


@dataclass(slots=True)
class LinearModel:
    """A model that is being written down: variables between 0 and `most`, rows, least cost wanted."""

    costs: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    limits: list[tuple[float, float]] = field(default_factory=list)
    sizes: list[float] = field(default_factory=list)
    entries: tuple[list[int], list[int], list[float]] = field(default_factory=lambda: ([], [], []))

    def variable(self, cost: float = 0, *, whole: bool = False) -> int:
        """The number of a new variable between 0 and 1."""
        self.costs.append(cost)
        self.most.append(1.0)
        self.whole.append(whole)
        return len(self.costs) - 1

    def row(self, terms: Mapping[int, float], least: float, most: float) -> int:
        """The number of a new row: a weighted sum of variables between two figures.

        It is written with weights of 1 at most, so that what the solver rounds away stays small.
        """
        size = max((abs(weight) for weight in terms.values()), default=1.0) or 1.0
        rows, columns, weights = self.entries
        for variable, weight in sorted(terms.items()):
            if weight:
                rows.append(len(self.limits))
                columns.append(variable)
                weights.append(weight / size)
        self.limits.append((least / size, most / size))
        self.sizes.append(size)
        return len(self.limits) - 1

    def flow(self, through: int, others: Sequence[int]) -> None:
        """A row in which variables (newer ones, in their order) add up to what goes through one."""
        rows, columns, weights = self.entries
        rows += [len(self.limits)] * (1 + len(others))
        columns.append(through)
        columns += others
        weights.append(-1.0)
        weights += [1.0] * len(others)
        self.limits.append((0.0, 0.0))
        self.sizes.append(1.0)

    def solve(self, seconds: float, work: int) -> Solution:
        """The least cost, as far as so much work (simplex steps, or nodes) and the seconds allow."""
        from ortools.math_opt.callback_pb2 import CallbackRegistrationProto
        from ortools.math_opt.core.python.solver import solve
        from ortools.math_opt.model_parameters_pb2 import ModelSolveParametersProto
        from ortools.math_opt.parameters_pb2 import (
            SOLVER_TYPE_HIGHS,
            SolveParametersProto,
            SolverInitializerProto,
        )

        counted = {"node_limit": work} if any(self.whole) else {"iteration_limit": work}
        params = SolveParametersProto(
            random_seed=0, relative_gap_tolerance=0.0, absolute_gap_tolerance=GAP, **counted
        )
        params.time_limit.FromMicroseconds(round(max(0.05, seconds) * 1e6))
        told = ModelSolveParametersProto()  # zeros and what is not asked for are not handed over
        told.variable_values_filter.skip_zero_values = True
        told.dual_values_filter.skip_zero_values = True
        told.reduced_costs_filter.filter_by_ids = True
        started, callback = SolverInitializerProto(), CallbackRegistrationProto()
        with hushed():
            result = solve(
                self._written(), SOLVER_TYPE_HIGHS, started, params, told, None, callback, None, None
            )
        return self._solution(result)

    def _written(self) -> Any:
        from ortools.math_opt import model_pb2

        written = model_pb2.ModelProto()
        variables, rows, matrix = (
            written.variables,
            written.linear_constraints,
            written.linear_constraint_matrix,
        )
        variables.ids.extend(range(len(self.costs)))
        variables.lower_bounds.extend([0.0] * len(self.costs))
        variables.upper_bounds.extend(self.most)
        variables.integers.extend(self.whole)
        charged = [(k, cost) for k, cost in enumerate(self.costs) if cost]
        written.objective.linear_coefficients.ids.extend(k for k, _ in charged)
        written.objective.linear_coefficients.values.extend(cost for _, cost in charged)
        rows.ids.extend(range(len(self.limits)))
        rows.lower_bounds.extend(least for least, _ in self.limits)
        rows.upper_bounds.extend(most for _, most in self.limits)
        matrix.row_ids.extend(self.entries[0])
        matrix.column_ids.extend(self.entries[1])
        matrix.coefficients.extend(self.entries[2])
        return written

    def _solution(self, result: Any) -> Solution:
        from ortools.math_opt import result_pb2 as reasons

        ended = result.termination.reason
        if ended in (
            reasons.TERMINATION_REASON_INFEASIBLE,
            reasons.TERMINATION_REASON_INFEASIBLE_OR_UNBOUNDED,
        ):
            return Solution({}, {}, None, none=True)
        optimal = ended == reasons.TERMINATION_REASON_OPTIMAL
        values: dict[int, float] = {}
        prices: dict[int, float] = {}
        for found in result.solutions[:1]:
            primal, dual = found.primal_solution.variable_values, found.dual_solution.dual_values
            values = dict(zip(primal.ids, primal.values, strict=True))
            if optimal:
                prices = {
                    row: price / self.sizes[row] for row, price in zip(dual.ids, dual.values, strict=True)
                }
        bound = result.termination.objective_bounds.dual_bound
        whole = int(-(-(bound - SLACK) // 1)) if -inf < bound < inf else None
        return Solution(values, prices, whole, best=bool(values) and optimal)
