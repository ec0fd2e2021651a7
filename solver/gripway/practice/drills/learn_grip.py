"""A new grip against the standard one of its pitch, for tone and tuning, then the change it is taken for."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.model.passage import Passage
from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.cells import Cell, fingered
from gripway.practice.cells.hardness import is_new
from gripway.practice.cells.short_passages import Laid
from gripway.route.result import OPTIMAL, RouteNote
from gripway.route.solve import Solver

SLURRED = True


def learn_grip(cell: Cell, solver: Solver, grid: BeatGrid) -> Iterator[list[Laid]]:
    """Each unusual grip of a cell: long alone, after its standard grip, then into its neighbour in the part.

    The worst change of the cell ends it. Of a trill only the grip of the written note is learnt: the other
    is heard in the trill alone.
    """
    half, rest = grid.half_bar, grid.bar - grid.half_bar
    before, after = cell.notes[cell.worst - 1 : cell.worst + 1]
    for place, new in enumerate(cell.notes[: 1 if cell.trill else None]):
        if not is_new(fingered(new)):
            continue
        laid = [Laid(new, grid.bar)]
        if standard := _with_its_standard_grip(new, solver):
            laid += [Laid(standard, half), Laid(new, half, not SLURRED, rest)]
        if place not in (cell.worst - 1, cell.worst):
            beside = cell.notes[place + 1 if place < cell.worst else place - 1]
            laid += [Laid(new, half), Laid(beside, half, SLURRED, rest)]
        yield [*laid, Laid(before, half), Laid(after, half, SLURRED, rest)]


def _with_its_standard_grip(new: RouteNote, solver: Solver) -> RouteNote | None:
    """A note with the standard grip of its pitch; None where that has none."""
    plain = replace(new.note, ornament=None, grace=False)
    route = solver.solve(Passage((plain,)), Wishes(choose=STANDARD_ONLY, others=0))
    if route.status != OPTIMAL:
        return None
    return replace(new, note=plain, candidate=route.notes[0].candidate, ornament=None)
