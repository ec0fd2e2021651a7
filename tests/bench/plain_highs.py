"""The plain CP-SAT flow model of the oracles as a linear one, solved by HiGHS through MathOpt.

Every constraint of that model is written down as it stands: exactly one, sums, an implication, and the
greatest of several as rows from below, which is enough where the cost of the greatest is not negative.
"""

from datetime import timedelta
from math import inf
from typing import Any

from ortools.math_opt.python import mathopt


def solve_plain(model: Any, seconds: float) -> tuple[int | None, bool]:
    """The least cost found by HiGHS (None: none) and whether it is proved."""
    proto = model.Proto()
    plain = mathopt.Model()
    found = [plain.add_binary_variable() for _ in proto.variables]
    for rule in proto.constraints:
        if rule.has_exactly_one():
            plain.add_linear_constraint(sum(found[k] for k in rule.exactly_one.literals) == 1)
        elif rule.has_linear():
            terms = sum(c * found[k] for k, c in zip(rule.linear.vars, rule.linear.coeffs, strict=True))
            least, *_, most = rule.linear.domain
            plain.add_linear_constraint(
                expr=terms, lb=least if least > -(2**60) else -inf, ub=most if most < 2**60 else inf
            )
        elif rule.has_bool_and():
            (cause,) = rule.enforcement_literal
            for effect in rule.bool_and.literals:
                plain.add_linear_constraint(found[cause] <= found[effect])
        elif rule.has_lin_max():
            target = found[rule.lin_max.target.vars[0]]
            for each in rule.lin_max.exprs:
                plain.add_linear_constraint(found[each.vars[0]] <= target)
        else:
            raise ValueError(f"no such constraint is known here: {rule}")
    goal = proto.objective
    plain.minimize(sum(c * found[k] for k, c in zip(goal.vars, goal.coeffs, strict=True)) + goal.offset)
    params = mathopt.SolveParameters(
        time_limit=timedelta(seconds=seconds), random_seed=0, relative_gap_tolerance=0.0
    )
    result = mathopt.solve(plain, mathopt.SolverType.HIGHS, params=params)
    proved = result.termination.reason == mathopt.TerminationReason.OPTIMAL
    return (round(result.objective_value()) if result.has_primal_feasible_solution() else None), proved
