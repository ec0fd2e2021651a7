"""Cells in which there is time: few drills and days, so that these go to harder work."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import STANDARD
from gripway.practice.plan.plan import PlannedCell, is_familiar_cell
from gripway.practice.schedule.schedule_rules import Schedule


def is_least(cell: Cell, figures: PracticeFigures) -> bool:
    """Whether a change takes so little of its time that it is a cell only where none is harder; no trill."""
    return not cell.trill and cell.load < figures.least_cell_load and _is_standard(cell)


def eased(planned: PlannedCell, figures: PracticeFigures, *, run: bool) -> PlannedCell:
    """An easy cell with its first drills and the one in its bar alone.

    Easy is a load up to `easy_cell_load` with standard grips, up to `beside_run_load` where a run leads; what
    is familiar anyhow. The least, and those where one finger moves alone, have fewer.
    """
    cell, drills, most = planned.cell, planned.drills, figures.easy_cell_drills
    easy = figures.beside_run_load if run else figures.easy_cell_load
    if is_familiar_cell(cell, figures):
        easy = figures.familiar_load
    alone = len(cell.change.movers) == 1 and not cell.trill
    if not _is_standard(cell) or planned.learns or not (cell.load <= easy or alone):
        return planned
    if alone or is_least(cell, figures):
        most = figures.least_cell_drills
    return replace(planned, drills=(*drills[: most - 1], drills[-1])) if len(drills) > most else planned


def soon_done(found: Schedule, cells: Sequence[PlannedCell], figures: PracticeFigures) -> Schedule:
    """A schedule without the days of the least cells after their `least_cell_days`."""
    left = {
        number: max(1, figures.least_cell_days - len({entry.when[:10] for entry in planned.reached}))
        for number, planned in enumerate(cells)
        if is_least(planned.cell, figures)
    }
    days = []
    for day in found.days:
        days.append(tuple(item for item in day if left.get(item[0], 1) > 0))
        left = {cell: count - any(cell == other for other, _ in day) for cell, count in left.items()}
    return replace(found, days=tuple(days))


def _is_standard(cell: Cell) -> bool:
    return all(each.case == STANDARD for each in cell.candidates)
