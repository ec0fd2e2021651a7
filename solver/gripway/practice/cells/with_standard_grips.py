"""A cell with its standard grips instead: the same notes, fingered as every player knows them."""

from dataclasses import dataclass, replace

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.practice.cells.cells import Cell
from gripway.route.result import Route, RouteNote
from gripway.route.solve import Solver
from gripway.route.tempo.tempo_threshold import around

REACH = 17
"""Notes around the change that get their standard grips too: as many as the longest drill has."""


@dataclass(frozen=True, slots=True)
class StandardCell:
    """A cell with standard grips, and all notes of the route with those around it so fingered."""

    cell: Cell
    notes: tuple[RouteNote, ...]


def standard_cell(cell: Cell, route: Route, wishes: Wishes, solver: Solver) -> StandardCell | None:
    """The cell with standard grips; None where they make no route, or a pin asks for a grip in it."""
    inside = range(cell.first, cell.first + len(cell.notes))
    named = {name for place in inside for name in (place, route.passage.notes[place].id)}
    if any(pin.note in named for pin in wishes.pins):
        return None
    part = around(route.passage, cell.first + cell.worst, REACH)
    start = max(0, cell.first + cell.worst - 1 - REACH)
    found = solver.solve(part, replace(wishes, pins=(), choose=STANDARD_ONLY, others=0))
    fingered = [replace(note, index=note.index + start) for note in found.notes]
    notes = (*route.notes[:start], *fingered, *route.notes[start + len(fingered) :])
    changes = [replace(change, to=change.to + start) for change in found.changes]
    ours = [change for change in changes if change.to in inside[1:] and change.movers]
    if not ours or any(notes[place].candidate is None for place in inside):
        return None
    worst = max(ours, key=lambda change: (change.load, -change.to))
    chosen = notes[inside.start : inside.stop]
    return StandardCell(replace(cell, notes=chosen, worst=worst.to - cell.first, change=worst), notes)
