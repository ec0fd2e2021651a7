"""A passage under limits as a plain flow model in CP-SAT: every candidate, every change, every limit as said.

Nothing of the search under limits is used: no prices, no thinning, no window. The columns are those
of `recount`, the costs are asked of the model, and each limit is restated from its words.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model
from tests.oracles.recount import Charging, charging_of, columns_of, linked, moved, new_grip, row_of

from gripway.asked.limits import Limits
from gripway.charges.charges_paid import Learnt
from gripway.effort.candidate import Candidate
from gripway.effort.setting import settings
from gripway.model.passage import Note, Passage
from gripway.route.solve import Solver

PREFERENCE_MILLI = 500
"""A preference of a rule not followed, per note: `rule_preferred_effort` in tables/effort/figures.csv."""


def is_unusual(candidate: Candidate) -> bool:
    """Neither a standard grip nor one of the three B-flats (one of Tb, Sb, R1), which every player knows."""
    forms = sum(candidate.row_grip.has(touch) for touch in ("Tb", "Sb", "R1"))
    b_flat = candidate.pitch in (70, 82) and candidate.kind == "alternate" and forms >= 1
    return candidate.kind != "standard" and not b_flat


@dataclass(frozen=True)
class Costs:
    """Columns with holding costs, and the cost of every allowed change, in thousandths of an effort."""

    columns: list[dict[Candidate, int]]
    changes: list[dict[tuple[int, int], int]]
    charging: Charging


def costs_of(passage: Passage, solver: Solver, left_out: Iterable[Learnt] = ()) -> Costs:
    """Every cost of a passage, asked for one by one; grips that do not stay worth it may be left out."""
    barred = {(grip.pitch, grip.grip) for grip in left_out}
    between = linked(passage, solver)
    about = settings(passage.notes, tuple(between), solver.tables)
    held = []
    for k, column in enumerate(columns_of(passage, solver)):
        ledgers = {c: solver.model.holding(c, about[k]) for c in column if new_grip(c) not in barred}
        held.append({c: ledger.total for c, ledger in ledgers.items() if ledger is not None})
    changes: list[dict[tuple[int, int], int]] = [{}]
    for k in range(1, len(held)):
        found = {}
        for j, a in enumerate(held[k - 1]):
            for i, b in enumerate(held[k]):
                change = moved(solver, a, b, between[k])
                if change is not None:
                    found[j, i] = change.total
        changes.append(found)
    return Costs(held, changes, charging_of(passage, solver))


def tenths(candidate: Candidate) -> int:
    """The size of the lean the JSON prints, in tenths of a cent."""
    return 0 if candidate.tendency.cents is None else round(abs(round(candidate.tendency.cents, 1)) * 10)


def plate(candidate: Candidate) -> str:
    """Where the thumb is, down or resting."""
    return candidate.position.left[0].replace("-", "")


def figure_keys(notes: tuple[Note, ...]) -> list[Any]:
    """For every note what makes it the same figure as another, read off its first time.

    The pitches before, here and after, written length, ornament, dynamic, slurs from and to it, and its
    tempo: of all with the rest alike, those at most a tenth above the slowest of their group.
    """
    first: dict[str, int] = {}
    for k, note in enumerate(notes):
        first.setdefault(note.id, k)
    plain = [_surroundings(notes, first[note.id]) for note in notes]
    tempos = [float(notes[first[n.id]].length) / notes[first[n.id]].length_ms for n in notes]
    slowest = {}
    for key in set(plain):
        groups: list[float] = []
        for k in sorted((k for k, own in enumerate(plain) if own == key), key=lambda k: tempos[k]):
            if not groups or tempos[k] > groups[-1] * 1.1000001:
                groups.append(tempos[k])
            slowest[k] = groups[-1]
    return [(key, slowest[k]) for k, key in enumerate(plain)]


def _surroundings(notes: tuple[Note, ...], k: int) -> Any:
    around = tuple(notes[n].pitch.number if 0 <= n < len(notes) else None for n in (k - 1, k, k + 1))
    ornament, extra = notes[k].ornament, None
    if ornament is not None:
        touched = [pitch.number if pitch else None for pitch in (ornament.upper, ornament.lower)]
        extra = (ornament.kind, *touched)
    slurs = notes[k].slurred, k + 1 < len(notes) and notes[k + 1].slurred
    return around, notes[k].length, extra, notes[k].dynamic, slurs, notes[k].grace


@dataclass
class FlowModel:
    """The model, its node variables, and how its answer reads."""

    model: Any
    nodes: list[list[Any]]
    columns: list[list[Candidate]]

    def solve(self, seconds: float = 60.0) -> tuple[int | None, int, str]:
        """Least thousandths (None: no answer), bound, and the status by name."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.linearization_level = 2
        solver.parameters.cp_model_presolve = False
        solver.parameters.max_time_in_seconds = seconds
        status = solver.solve(self.model)
        value = None
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            value = round(solver.objective_value)
        return value, round(solver.best_objective_bound), solver.status_name(status)


def flow_model(
    passage: Passage, costs: Costs, limits: Limits, known: frozenset[Any] = frozenset()
) -> FlowModel:
    """The plain flow model of a passage (without gaps) under limits whose rules name no bars."""
    model = cp_model.CpModel()
    notes = passage.notes
    columns = [list(column) for column in costs.columns]
    nodes = [[model.new_bool_var("") for _ in column] for column in columns]
    terms = []
    for k, column in enumerate(columns):
        model.add_exactly_one(nodes[k])
        for c, x in zip(column, nodes[k], strict=True):
            terms.append((costs.columns[k][c] + slighted(limits, notes, k, c)) * x)
            if not allowed_here(limits, notes, k, c):
                model.add(x == 0)
    for k in range(1, len(columns)):
        into, out = defaultdict(list), defaultdict(list)
        for (j, i), cost in costs.changes[k].items():
            stays = any(_both_in(thumb, k) for thumb in limits.thumb)
            if stays and plate(columns[k - 1][j]) != plate(columns[k][i]):
                continue
            change = model.new_bool_var("")
            into[i].append(change)
            out[j].append(change)
            terms.append(cost * change)
        for i, x in enumerate(nodes[k]):
            model.add(sum(into[i]) == x)
        for j, x in enumerate(nodes[k - 1]):
            model.add(sum(out[j]) == x)
    _rows(model, notes, columns, nodes, limits, known)
    terms += _charges(model, columns, nodes, costs.charging)
    model.minimize(sum(terms))
    return FlowModel(model, nodes, columns)


def _both_in(thumb: Any, k: int) -> bool:
    return thumb.span is None or (int(thumb.span.first) <= k and k + 1 <= int(thumb.span.last))


def allowed_here(limits: Limits, notes: tuple[Note, ...], k: int, c: Candidate) -> bool:
    """The worst lean, and what rules forbid or require."""
    if limits.worst_cents is not None and tenths(c) > limits.worst_cents * 10:
        return False
    touches = set(c.grip.touches)
    for rule in limits.rules:
        if not _meant(rule, notes, k):
            continue
        for_all = [set(holds.grip.touches) for holds in rule.holds]
        if rule.action == "forbid" and any(touches & own for own in for_all):
            return False
        if rule.action == "require" and not any(own <= touches for own in for_all):
            return False
    return True


def _charges(
    model: Any, columns: list[list[Candidate]], nodes: list[list[Any]], charging: Charging
) -> list[Any]:
    """What new grips cost once each, and pitches that return with another grip."""
    users: dict[object, list[Any]] = defaultdict(list)
    for column, own in zip(columns, nodes, strict=True):
        for c, x in zip(column, own, strict=True):
            if (key := new_grip(c)) is not None:
                users[key].append(x)
    terms = []
    for own in users.values():
        learnt = model.new_bool_var("")
        model.add_max_equality(learnt, own)
        terms.append(charging.grip_milli * learnt)
    for pair in charging.returns:
        changed = model.new_bool_var("")
        rows: dict[object, tuple[list[Any], list[Any]]] = defaultdict(lambda: ([], []))
        for side, k in enumerate(pair):
            for c, x in zip(columns[k], nodes[k], strict=True):
                rows[row_of(c)][side].append(x)
        for first, second in rows.values():
            model.add(changed >= sum(first) - sum(second))
        terms.append(charging.return_milli * changed)
    return terms


def slighted(limits: Limits, notes: tuple[Note, ...], k: int, c: Candidate) -> int:
    """Thousandths for the preferences a grip does not follow."""
    touches, total = set(c.grip.touches), 0
    for rule in limits.rules:
        if rule.action == "prefer" and _meant(rule, notes, k):
            total += PREFERENCE_MILLI * (not any(set(h.grip.touches) <= touches for h in rule.holds))
    return total


def _meant(rule: Any, notes: tuple[Note, ...], k: int) -> bool:
    when = rule.when
    next_pitch = notes[k + 1].pitch.number if k + 1 < len(notes) else None
    return (
        (when.pitch is None or when.pitch == notes[k].pitch.number)
        and (when.before is None or when.before == next_pitch)
        and (when.faster_than_ms is None or notes[k].length_ms < when.faster_than_ms)
    )


def _rows(model: Any, notes: Any, columns: Any, nodes: Any, limits: Limits, known: Any) -> None:
    everything = [
        (c, x) for column, own in zip(columns, nodes, strict=True) for c, x in zip(column, own, strict=True)
    ]
    if limits.unusual is not None:
        model.add(sum(x for c, x in everything if is_unusual(c)) <= limits.unusual)
    if limits.tuning_cents is not None:
        model.add(sum(tenths(c) * x for c, x in everything) <= round(limits.tuning_cents * 10))
    if limits.learnt is not None:
        learnt = defaultdict(list)
        for c, x in everything:
            if is_unusual(c) and (c.pitch, c.row_grip) not in known:
                learnt[c.pitch, c.row_grip].append(x)
        chosen = []
        for uses in learnt.values():
            known_now = model.new_bool_var("")
            for x in uses:
                model.add_implication(x, known_now)
            chosen.append(known_now)
        model.add(sum(chosen) <= limits.learnt)
    if limits.same_figure:
        figures = defaultdict(list)
        for k, key in enumerate(figure_keys(notes)):
            figures[key].append(k)
        for figure in figures.values():
            grips = sorted({c.row_grip.mask for k in figure for c in columns[k]})
            for grip in grips:
                shared = model.new_bool_var("")
                for k in figure:
                    same = [x for c, x in zip(columns[k], nodes[k], strict=True) if c.row_grip.mask == grip]
                    model.add(sum(same) == shared)
