"""Hard changes that stand in grace notes only: they do not hold the passage back."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.route.result import Route


def is_of_ornament(cell: Cell, route: Route, figures: PracticeFigures) -> bool:
    """Whether the change of a cell is hard in grace notes, or in the step out of them, and nowhere else.

    A trill is none: its own notes are drilled at a tempo of their own.
    """
    if cell.trill:
        return False
    notes = route.passage.notes
    loads = {change.to: change.load for change in route.changes}
    there = {place.index + (cell.worst if place.whole else 1) for place in (*cell.places, *cell.back)}
    hard = [to for to in (*there, cell.place) if loads.get(to, 0.0) >= figures.hard_load]
    return all(_is_graced(notes, to) for to in hard)


def graces_left(cells: Sequence[Cell], route: Route, figures: PracticeFigures) -> frozenset[int]:
    """The grace notes (by index) that the passage is first played without: those of hard ornaments, whole."""
    notes = route.passage.notes
    left: set[int] = set()
    for cell in (each for each in cells if is_of_ornament(each, route, figures)):
        first = last = cell.place if notes[cell.place].grace else cell.place - 1
        while first and notes[first - 1].grace:
            first -= 1
        while last + 1 < len(notes) and notes[last + 1].grace:
            last += 1
        left.update(range(first, last + 1))
    return frozenset(left)


def _is_graced(notes: Sequence[Note], to: int) -> bool:
    """Whether the change to a note is one of grace notes."""
    return notes[to].grace or notes[to - 1].grace
