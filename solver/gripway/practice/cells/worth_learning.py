"""Is the other grip worth learning? For one cell: tempo, cents, and how often it pays in the part."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.charges.charging import charge_of
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.tempo import tempo_words
from gripway.practice.cells.cells import Cell, fingered
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.cells.grip_to_try import GripToTry, grip_to_try
from gripway.practice.cells.with_standard_grips import StandardCell, standard_cell
from gripway.route.result import Route, RouteNote
from gripway.route.solve import Solver
from gripway.route.tempo.tempo_threshold import Threshold, around, threshold
from gripway.route.words.place_words import places_in_words
from gripway.route.words.trill_words import grips_words, is_told, moving, moving_words

FULL = 1_000_000
"""Notes of a passage that is charged for learning in full: what is practised is learnt, however short."""

REACH = 3
"""Notes around the change that are tried at other tempos."""


@dataclass(frozen=True, slots=True)
class Alternate:
    """A grip of a cell that is not the standard one, and on how many notes of its pitch it is taken.

    `trills` are the notes that have it, where all of them are trills or tremolos; of the first of these the
    standard grips would have to move so many fingers (`standard_fingers`, None: they have none for it).
    """

    pitch: str
    candidate: Candidate
    taken: int
    notes: int
    trills: tuple[RouteNote, ...] = ()
    standard_fingers: int | None = None


@dataclass(frozen=True, slots=True)
class CellWorth:
    """Standard grips or others, for one cell.

    `standard_load` is the highest load in the cell with standard grips (None: they make no route),
    `threshold` where other grips begin to pay around it (None when it was not asked),
    `saves` the effort that the cell's new grips save the whole part (0: none is new, or under limits),
    `costs` what learning them is charged; `learn` whether they are worth learning. `stays` is the cell
    with standard grips where the advice is to stay with them: what is then practised. `to_try` is one other
    grip where these come late.
    """

    alternates: tuple[Alternate, ...]
    standard_load: float | None
    threshold: Threshold | None
    learn: bool
    advice: str
    stays: StandardCell | None = None
    saves: float = 0.0
    costs: float = 0.0
    to_try: GripToTry | None = None


TAKE_THESE = "Take these fingerings for the trill."


def trill_worth(cell: Cell, route: Route, wishes: Wishes, solver: Solver) -> CellWorth:
    """Of a trill the route has the pair: where a grip is new with its place, and why it is taken."""
    found = (_with_standard(each, route, wishes, solver) for each in _alternates(cell, route))
    new = tuple(each for each in found if each.trills)
    advice = " ".join(map(_trill_advice, new)) or TAKE_THESE
    return CellWorth(new, cell.load, None, learn=bool(new), advice=advice, costs=_learning(new, solver))


def worth_of(cell: Cell, route: Route, wishes: Wishes, solver: Solver, figures: PracticeFigures) -> CellWorth:
    """Whether to stay with the standard grips in a cell.

    Others are worth learning where they save the part more effort than the route's charge for learning
    them, and where the standard ones come late (`comes_late`). Grips the player knows are kept.
    """
    alternates = _alternates(cell, route)
    alternates = tuple(_with_standard(each, route, wishes, solver) for each in alternates)
    plain = replace(wishes, pins=(), choose=LEAST_EFFORT)
    to = cell.first + cell.worst
    standard = _standard_load(cell, route, plain, solver) if alternates else cell.load
    found = threshold(around(route.passage, to, REACH), plain, solver) if alternates else None
    saves, costs = saved(alternates, route), _learning(alternates, solver)
    learn = bool(alternates) and (saves > costs or comes_late(standard, cell.load, figures))
    stays = None if learn or not alternates else standard_cell(cell, route, wishes, solver)
    if stays:
        standard = stays.cell.load
        stands = {(candidate.pitch, candidate.grip) for candidate in stays.cell.candidates}
        alternates = tuple(
            each for each in alternates if (each.candidate.pitch, each.candidate.grip) not in stands
        )
    beat = beat_of_cell(cell, figures)
    advice = _advice(cell, alternates, standard, found, beat, learn=learn, standard_drills=stays is not None)
    if learn and saves > costs and not all(each.trills for each in alternates):
        advice = f"{advice} Over the whole part that is worth the learning."
    other = grip_to_try(stays.cell if stays else cell, route, wishes, solver, figures)
    return CellWorth(alternates, standard, found, learn, advice, stays, saves, costs, other)


def _learning(new: Sequence[Alternate], solver: Solver) -> float:
    """The effort that learning new grips is charged."""
    return len(new) * charge_of(FULL, solver.model) / MILLI


def comes_late(standard: float | None, load: float, figures: PracticeFigures) -> bool:
    """Whether standard grips load a cell above `pays_load`, others `pays_less_load` less; None: no route."""
    return standard is None or standard > max(figures.pays_load, load + figures.pays_less_load)


def saved(new: Sequence[Alternate], route: Route) -> float:
    """Effort that new grips save the part, as the route has it; 0 where that is not worked out."""
    keys = {(each.candidate.pitch, each.candidate.row_grip) for each in new}
    learnt = route.charges.learn if route.charges else ()
    return sum(each.saves_milli or 0 for each in learnt if (each.pitch, each.grip) in keys) / MILLI


def _alternates(cell: Cell, route: Route) -> tuple[Alternate, ...]:
    found: dict[tuple[int, str], Alternate] = {}
    for note in cell.notes:
        candidate = fingered(note)
        if candidate.case == "standard":
            continue  # known to every player, such as the three B-flats, or to this one
        alike = (other for other in route.notes if other.note.pitch.number == candidate.pitch)
        same = [*{other.note.id: other for other in alike}.values()]  # a repeat plays them again
        takes = [each for each in same if each.candidate and each.candidate.row_grip == candidate.row_grip]
        trills = tuple(takes) if all(is_told(each) for each in takes) else ()
        key = (candidate.pitch, candidate.row_grip.text)
        found.setdefault(key, Alternate(note.note.pitch.name, candidate, len(takes), len(same), trills))
    return tuple(found.values())


def _with_standard(alternate: Alternate, route: Route, wishes: Wishes, solver: Solver) -> Alternate:
    """With the fingers that its trill would move with standard grips."""
    if not alternate.trills:
        return alternate
    place = alternate.trills[0].index
    written = route.passage.notes[place]
    part = around(route.passage, place, REACH)
    standard = solver.solve(part, replace(wishes, pins=(), choose=STANDARD_ONLY, others=0))
    note = next((each for each in standard.notes if each.note is written), None)
    if note is None or note.ornament is None or not is_told(note):
        return alternate
    return replace(alternate, standard_fingers=len(moving(note.ornament)))


def _standard_load(cell: Cell, route: Route, wishes: Wishes, solver: Solver) -> float | None:
    """Highest load inside the cell with standard grips; None where they make no route."""
    to = cell.first + cell.worst
    part = around(route.passage, to, REACH)
    place = next(place for place, note in enumerate(part.notes) if note is route.passage.notes[to])
    inside = range(place - cell.worst + 1, place - cell.worst + len(cell.notes))
    standard = solver.solve(part, replace(wishes, choose=STANDARD_ONLY, others=0))
    loads = [change.load for change in standard.changes if change.to in inside]
    return max(loads) if len(loads) == len(inside) else None


def _advice(
    cell: Cell,
    alternates: tuple[Alternate, ...],
    standard: float | None,
    found: Threshold | None,
    beat: Fraction,
    *,
    learn: bool,
    standard_drills: bool,
) -> str:
    if learn and alternates and all(each.trills for each in alternates):
        return " ".join(_trill_advice(each) for each in alternates)
    if not alternates and all(candidate.usual for candidate in cell.candidates):
        return "These notes have their standard grips: stay with them."
    if not alternates:
        return "You know these grips: stay with them."
    names = "; ".join(map(_told, alternates))
    tempo = _tempo_words(found, beat, cell.quarters, learn=learn or standard is None)
    if standard is None:
        return f"Learn {names}: the standard grips cannot be played here in time. {tempo}"
    loads = f"the standard grips take {standard:.0%} of the time there is, these {cell.load:.0%}"
    if learn and f"{standard:.0%}" == f"{cell.load:.0%}":
        return f"Learn {names}: no quicker than the standard grips, but easier to hold or in tune. {tempo}"
    if learn:
        return f"Learn {names}: {loads}. {tempo}"
    if standard_drills:
        same = f"{standard:.0%}" == f"{cell.load:.0%}"
        loads = (
            f"both take {standard:.0%} of the time there is"
            if same
            else f"they take {standard:.0%} of the time there is, others {cell.load:.0%}"
        )
        return (
            f"Stay with the standard grips, as in the drills: {loads}. "
            f"The part could also take {names}. {tempo}"
        )
    loads = f"they take {standard:.0%} of the time there is, these {cell.load:.0%}"
    return f"The standard grips do as well: {loads}. Used in the drills, as pinned: {names}. {tempo}"


def _trill_advice(alternate: Alternate) -> str:
    """`For the trill in bar 48 learn F6 ... with G6 ...: the left thumb trills; ...`: which, where, why."""
    first = alternate.trills[0].ornament
    if first is None:
        return ""
    where = places_in_words([(note.note.bar, note.index) for note in alternate.trills])
    many = "s" * (len(alternate.trills) > 1)
    ours, standard = len(moving(first)), alternate.standard_fingers
    why = ""
    if standard is None:
        why = " The standard grips have no trill here."
    elif standard > ours:
        why = f" With the standard grips {standard} fingers would have to move together."
    return f"For the {first.kind}{many} {where} learn {grips_words(first)}: {moving_words(first)}.{why}"


def _told(alternate: Alternate) -> str:
    candidate, tendency = alternate.candidate, alternate.candidate.tendency
    cents = "" if tendency.cents is None else f", {tendency.cents:+.0f} cents"
    if tendency.cents is not None and tendency.spread_cents is not None:
        cents += f" ±{tendency.spread_cents:.0f}"
    often = _often(alternate)
    return f"{alternate.pitch} {candidate.grip.short} ({candidate.kind}{cents}; {often})"


def _often(alternate: Alternate) -> str:
    """`on every F#6 here`, `4 times here, F#6 comes 20 times`: written notes, whatever is repeated."""
    if alternate.notes == 1:
        return f"for the one {alternate.pitch} here"
    if alternate.taken == alternate.notes:
        return f"on every {alternate.pitch} here"
    return f"{_times(alternate.taken)} here, {alternate.pitch} comes {_times(alternate.notes)}"


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _tempo_words(found: Threshold | None, beat: Fraction, goal: float, *, learn: bool) -> str:
    """Up to or from which tempo the other verdict holds; empty where that would go against this one."""
    if found is None:
        return ""
    if found.standard_quarters is not None:
        well = found.fastest if found.slow_quarters is None else found.standard_quarters
        if learn and well >= goal:
            return ""
        if found.slow_quarters is None:
            return f"Up to {tempo_words(beat, found.fastest)} the standard grips do as well."
        return f"Below {tempo_words(beat, found.standard_quarters)} the standard grips do as well."
    if found.slow_quarters is None:
        return "Other grips help at any tempo, for tuning or response."
    return (
        "Other grips help even slowly, for tuning or response; "
        f"from {tempo_words(beat, found.slow_quarters)} on they help the fingers too."
    )
