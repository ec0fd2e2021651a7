"""Hard changes that stand in grace notes or endings of trills only: they do not hold the passage back."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, between_rests
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.short_passages import TRILL
from gripway.route.result import Route

ENDING_NOTES, ENDING_VALUE = 3, Fraction(1, 8)
"""A written ending of a trill has so many notes at most, none longer than this nor than half of the trill
(judgement)."""


def is_of_ornament(cell: Cell, route: Route, figures: PracticeFigures) -> bool:
    """Whether the change of a cell is hard in grace notes or the ending of a trill, and nowhere else.

    The steps into and out of them count with them. A trill is none: its own notes are drilled at a tempo of
    their own.
    """
    if cell.trill:
        return False
    notes = route.passage.notes
    return all(_is_graced(notes, to) for to in hard_changes(cell, route, figures))


def is_in_ornament(cell: Cell, route: Route) -> bool:
    """Whether a cell is hardest in grace notes or the ending of a trill: it is drilled from there."""
    return not cell.trill and _is_graced(route.passage.notes, cell.place)


def plain_changes(cell: Cell, route: Route, figures: PracticeFigures) -> tuple[int, ...]:
    """The notes that the hard changes of a cell lead to where these stand in no ornament."""
    notes = route.passage.notes
    return tuple(to for to in hard_changes(cell, route, figures) if not _is_graced(notes, to))


def plain_load(cell: Cell, route: Route, figures: PracticeFigures) -> float:
    """The highest load of a cell outside ornaments; 0 where it is hard in these only."""
    loads = {change.to: change.load for change in route.changes}
    return max((loads[to] for to in plain_changes(cell, route, figures)), default=0.0)


def ornament_load(cell: Cell, route: Route, figures: PracticeFigures) -> float:
    """The load by which the ladder of an ornament begins: whoever plays the part has played such ones.

    That of an easy change where its notes are not quick.
    """
    quick = graced_changes(cell, route, figures)
    return min(cell.load, figures.trill_start_load if quick else figures.start_easy_load)


def load_to_begin(cell: Cell, route: Route, figures: PracticeFigures) -> float:
    """The load by which the ladder of a plain cell begins: few notes between rests as one of a trill."""
    hard = {*hard_changes(cell, route, figures)}
    groups = between_rests(route.passage.notes)
    there = (len(group) for group in groups if hard & {*group})
    few = len(groups) > 1 and max(there, default=figures.cell_notes) <= figures.cell_usual_notes
    return min(cell.load, figures.trill_start_load) if few else cell.load


def is_of_ending(cell: Cell, route: Route, figures: PracticeFigures) -> bool:
    """Whether the change of a cell is hard in endings of trills, and nowhere else."""
    notes = route.passage.notes
    hard = hard_changes(cell, route, figures)
    return not cell.trill and all(any(is_ending(notes, at) for at in (to - 1, to)) for to in hard)


def graced_changes(cell: Cell, route: Route, figures: PracticeFigures) -> tuple[int, ...]:
    """The notes that the hard changes of a cell lead to where these stand in quick ornaments.

    The same grace notes elsewhere go with them, though there be a little more time.
    """
    notes = route.passage.notes
    hard = [to for to in hard_changes(cell, route, figures) if _is_graced(notes, to)]
    quick = {to for to in hard if _is_quick(notes, to, figures)}
    alike = {grace_figure(notes, to) for to in quick} - {()}
    return tuple(to for to in hard if to in quick or grace_figure(notes, to) in alike)


def grace_figure(notes: Sequence[Note], to: int) -> tuple[int, ...]:
    """The pitches of the grace notes that a change is in, with the note they lead to."""
    own = graces_around(notes, to)
    return tuple(note.pitch.number for note in notes[own.start : own.stop + 1]) if own else ()


def hard_changes(cell: Cell, route: Route, figures: PracticeFigures) -> list[int]:
    """The notes that the changes of a cell lead to where they are hard."""
    loads = {change.to: change.load for change in route.changes}
    there = {place.index + (cell.worst if place.whole else 1) for place in (*cell.places, *cell.back)}
    return sorted(to for to in {*there, cell.place} if loads.get(to, 0.0) >= figures.hard_load)


def graces_left(cells: Sequence[Cell], route: Route, figures: PracticeFigures) -> frozenset[int]:
    """The grace notes (by index) that the passage is first played without: those of hard ornaments, whole."""
    notes = route.passage.notes
    left: set[int] = set()
    for cell in (each for each in cells if is_in_ornament(each, route)):
        for to in graced_changes(cell, route, figures):
            left.update(graces_around(notes, to))
    return frozenset(left)


def graces_around(notes: Sequence[Note], to: int) -> range:
    """The grace notes that the change to a note is in, by index; none where it is in none."""
    first = last = to if notes[to].grace else to - 1
    if not notes[first].grace:
        return range(0)
    while first and notes[first - 1].grace:
        first -= 1
    while last + 1 < len(notes) and notes[last + 1].grace:
        last += 1
    return range(first, last + 1)


def without_twins(cells: Sequence[Cell], route: Route) -> list[Cell]:
    """Cells without those that are hardest in the grace notes of one before them: these are one."""
    notes = route.passage.notes
    found: list[Cell] = []
    taken: set[int] = set()
    for cell in cells:
        own = set() if cell.trill else {*graces_around(notes, cell.place)}
        if not own & taken:
            found.append(cell)
        taken |= own
    return found


def _is_graced(notes: Sequence[Note], to: int) -> bool:
    """Whether the change to a note is one of grace notes or of the ending of a trill."""
    return any(notes[at].grace or is_ending(notes, at) for at in (to - 1, to))


def _is_quick(notes: Sequence[Note], to: int, figures: PracticeFigures) -> bool:
    """Whether the notes of an ornament leave no room around the change to a note."""
    graces = (at for at in (to - 1, to) if notes[at].grace)
    endings = (at for at in (to - 1, to) if is_ending(notes, at))
    return any(notes[at].length_ms < figures.grace_easy_ms - 1e-6 for at in graces) or any(
        notes[at].length_ms < figures.ending_easy_ms for at in endings
    )


def is_ending(notes: Sequence[Note], at: int) -> bool:
    """Whether a note is of a trill's written ending: short notes after it, on to a longer one."""
    for trill in range(at - 1, max(-1, at - 1 - ENDING_NOTES), -1):
        ornament = notes[trill].ornament
        if ornament and ornament.kind == TRILL:
            ending = notes[trill + 1 : at + 1]
            longest = min(ENDING_VALUE, notes[trill].length / 2)
            return all(0 < note.length <= longest for note in ending) and _leads_on(notes, trill, at)
    return False


def _leads_on(notes: Sequence[Note], trill: int, at: int) -> bool:
    """Whether no more than an ending of short notes lies between a trill and the next longer note."""
    short = notes[at].length
    after = next((place for place in range(at + 1, len(notes)) if notes[place].length > short), None)
    return after is not None and after - trill - 1 <= ENDING_NOTES
