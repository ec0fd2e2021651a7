"""The least route that differs, by CP-SAT over a flow of one unit through the graph, with its charges."""

from collections.abc import Sequence

from ortools.sat.python import cp_model
from tests.oracles.fronts import Counted
from tests.oracles.recount import new_grip, row_of

from gripway.effort.candidate import Candidate


def least_by_cp_sat(counted: Counted, given: Sequence[Sequence[Candidate]], notes: int) -> int:
    """Thousandths of an effort of the best route with other grips on so many notes than each given one."""
    model = cp_model.CpModel()
    chosen = [
        {c: model.new_bool_var(f"{k} {c.rank}") for c in column} for k, column in enumerate(counted.columns)
    ]
    cost = []
    for k, column in enumerate(chosen):
        model.add_exactly_one(column.values())
        cost += [(counted.held[k][c][0] - counted.more(k, c)) * here for c, here in column.items()]
        if k == 0:
            continue
        arcs = {
            pair: model.new_bool_var(f"{k}")
            for pair, move in counted.moved[k - 1].items()
            if move is not None
        }
        for side, nodes in ((0, chosen[k - 1]), (1, column)):
            for c, here in nodes.items():
                model.add(sum(arc for pair, arc in arcs.items() if pair[side] == c) == here)
        cost += [counted.moved[k - 1][pair].total * arc for pair, arc in arcs.items()]
    cost += _charges(model, counted, chosen)
    for route in given:
        other = [
            here
            for column, old in zip(chosen, route, strict=True)
            for c, here in column.items()
            if (c.row_grip, c.kind) != (old.row_grip, old.kind)
        ]
        model.add(sum(other) >= notes)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.linearization_level = 1, 2
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def _charges(
    model: cp_model.CpModel, counted: Counted, chosen: list[dict[Candidate, cp_model.IntVar]]
) -> list[cp_model.LinearExpr]:
    """What new grips cost once each, and pitches that return with another grip of the tables."""
    charging, learnt, cost = counted.charging, dict[object, cp_model.IntVar](), list[cp_model.LinearExpr]()
    for column in chosen:
        for c, here in column.items():
            if (key := new_grip(c)) is not None:
                if key not in learnt:
                    learnt[key] = model.new_bool_var(f"learn {key}")
                model.add_implication(here, learnt[key])
    for key, used in learnt.items():
        cost.append((charging.grip_milli + charging.surcharge(key, counted.left_out)) * used)
    for a, b in charging.returns:
        changed = model.new_bool_var(f"{a} {b}")
        for row in {row_of(c) for c in chosen[a]}:
            here, there = (sum(v for c, v in chosen[k].items() if row_of(c) == row) for k in (a, b))
            model.add(changed >= here - there)
        cost.append(charging.return_milli * changed)
    return cost
