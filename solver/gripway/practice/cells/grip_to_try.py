"""One other grip to try in a cell whose standard grips come late: quicker, with what it costs in tuning."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from gripway.asked.wishes import STANDARD_ONLY, Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.candidate import Candidate
from gripway.effort.load import LATE
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import is_new
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.route.tempo.tempo_threshold import around

REACH = 3
"""Notes around the change that are tried with the grip."""

IN_MOTION = frozenset({"any", "quick", "motion", "alternation"})
"""Uses of a grip that is taken in fast music."""

HARMONIC, UNSURE = "harmonic", "low"
"""A kind of grip that changes the tone, and how sure a grip is that few know."""


@dataclass(frozen=True, slots=True)
class GripToTry:
    """A grip of one pitch of a cell, and the highest load there with it."""

    pitch: str
    candidate: Candidate
    load: float


def grip_to_try(
    cell: Cell, route: Route, wishes: Wishes, solver: Solver, figures: PracticeFigures
) -> GripToTry | None:
    """The quickest other grip for one of the pitches of a hard change; None where there is no need or none.

    There is need where the change comes late with grips every player has. The grip is taught for fast music
    and no harmonic, it leans no more than `try_most_cents`, and takes `try_less_load` or more off the highest
    load in the cell and beside it, the other notes with their standard grips.
    """
    if cell.trill or cell.load <= LATE or any(is_new(candidate) for candidate in cell.candidates):
        return None
    plain = _highest(cell, route, replace(wishes, pins=(), choose=STANDARD_ONLY, others=0), solver)
    if plain is None:
        return None
    tried = [
        GripToTry(cell.pitches[at], candidate, load)
        for at in (cell.worst - 1, cell.worst)
        for candidate in _others(cell, at, solver, figures)
        if (load := _with(cell, at, candidate, route, wishes, solver)) is not None
    ]
    best = min(tried, key=lambda each: (each.load, abs(each.candidate.tendency.cents or 0.0)), default=None)
    return best if best and best.load <= plain - figures.try_less_load else None


def _others(cell: Cell, at: int, solver: Solver, figures: PracticeFigures) -> Iterator[Candidate]:
    """The other grips of a note of a cell that are for fast music beside its neighbours, and near in tune."""
    pitch = cell.candidates[at].pitch
    beside = {each.pitch for each in cell.candidates}
    for candidate in solver.book.column(pitch, False, False):
        cents = candidate.tendency.cents
        near = cents is not None and abs(cents) <= figures.try_most_cents
        taught = candidate.kind != HARMONIC and candidate.confidence != UNSURE
        meant = candidate.uses & IN_MOTION and (not candidate.partners or candidate.partners & beside)
        if is_new(candidate) and taught and meant and near:
            yield candidate


def _with(
    cell: Cell, at: int, candidate: Candidate, route: Route, wishes: Wishes, solver: Solver
) -> float | None:
    """The highest load with a grip wherever its pitch is near the change."""
    part = around(route.passage, cell.place, REACH).notes
    pins = [
        Pin(place, candidate.row_grip)
        for place, note in enumerate(part)
        if note.pitch.number == candidate.pitch
    ]
    return _highest(cell, route, replace(wishes, pins=tuple(pins), choose=STANDARD_ONLY, others=0), solver)


def _highest(cell: Cell, route: Route, wishes: Wishes, solver: Solver) -> float | None:
    """The highest load near the change under some wishes; None where they make no route."""
    found = solver.solve(around(route.passage, cell.place, REACH), wishes)
    if any(note.candidate is None for note in found.notes):
        return None
    return max((change.load for change in found.changes), default=None)


def to_try_words(found: GripToTry | None) -> str:
    """What to try, its cents, and what the notes then take; empty where there is nothing."""
    if found is None:
        return ""
    return (
        f"To try, if it stays uneven: {_leaning(found)}; "
        f"with it the notes here take {round(100 * found.load)} % of the time there is."
    )


def to_try_briefly(found: GripToTry | None, *, again: bool = False) -> str:
    """The same beside a cell on paper: `if uneven try F#6 T 1 3 | 2 Eb, 6 cents sharp`.

    Told `again` it is the grip alone.
    """
    if found is None:
        return ""
    told = f"{found.pitch} {found.candidate.grip.short}" if again else _leaning(found)
    return f"if uneven try {told}"


def _leaning(found: GripToTry) -> str:
    """A grip to try with its cents."""
    cents = round(found.candidate.tendency.cents or 0.0)
    lean = f"{abs(cents)} cents {'sharp' if cents > 0 else 'flat'}" if cents else "in tune"
    return f"{found.pitch} {found.candidate.grip.short}, {lean}"
