"""Cells in which there is time: few drills and days, so that these go to harder work."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import STANDARD
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.few_drills import FIRST_TO_GO
from gripway.practice.plan.cell_work import FIRST_KINDS, TO_AND_FRO
from gripway.practice.plan.plan import PlannedCell, is_familiar_cell
from gripway.practice.schedule.schedule_rules import Schedule


def is_least(cell: Cell, figures: PracticeFigures) -> bool:
    """Whether a change takes so little of its time that it is a cell only where none is harder; no trill."""
    return not cell.trill and cell.load < figures.least_cell_load and _is_standard(cell)


def eased(planned: PlannedCell, figures: PracticeFigures, *, run: bool) -> PlannedCell:
    """An easy cell with few drills and the one in its bar: in time there is nothing to look ahead to.

    Easy is a load up to `easy_cell_load` with standard grips, up to `beside_run_load` where a run leads; what
    is familiar anyhow. The least, those where one finger moves alone and ornaments of few fingers have one,
    music where there is such, and their bar. An ordinary trill has its first drill and its last: into its
    ending, where it has one.
    """
    cell, drills = planned.cell, planned.drills
    if is_ordinary_trill(planned, figures):
        timed = tuple(drill for drill in drills if not drill.free)
        return replace(planned, drills=(*timed[:1], *timed[1:][-1:]))
    easy = figures.beside_run_load if run else figures.easy_cell_load
    if is_familiar_cell(cell, figures):
        easy = figures.familiar_load
    alone = not cell.trill and _moves_little(planned, figures)
    if not _is_standard(cell) or planned.learns or drills[-1].kind != IN_THE_PART:
        return planned
    if not (cell.load <= easy or alone):
        return planned
    others = [drill for drill in drills[:-1] if drill.kind != FIRST_TO_GO] or [*drills[:-1]]
    most = figures.easy_cell_drills
    if alone or is_least(cell, figures):
        most = figures.least_cell_drills
        others = [drill for drill in others if _is_music(drill, drills[-1])] or others
    return replace(planned, drills=(*others[: most - 1], drills[-1]))


def is_ordinary_trill(planned: PlannedCell, figures: PracticeFigures) -> bool:
    """Whether a cell is a trill of few fingers that teaches no grip: it soon runs."""
    few = len(planned.cell.change.movers) <= figures.trill_fingers
    return planned.cell.trill is not None and few and not planned.learns


def is_hard_trill(planned: PlannedCell, figures: PracticeFigures) -> bool:
    """Whether a cell is a trill of many fingers or with a grip to learn: it needs more than two days."""
    return planned.cell.trill is not None and not is_ordinary_trill(planned, figures)


def _is_music(drill: Drill, bar: Drill) -> bool:
    """Whether a drill is music around the change, and not all that stands in the bar."""
    notes, known = ([note.pitch.number for note in each.passage.notes] for each in (drill, bar))
    return drill.kind not in FIRST_KINDS and notes != known


def _moves_little(planned: PlannedCell, figures: PracticeFigures) -> bool:
    """Whether one finger moves alone, in an ornament no more than `easy_fingers`."""
    return len(planned.cell.change.movers) <= (figures.easy_fingers if planned.of_ornament else 1)


def lightened(found: Schedule, cells: Sequence[PlannedCell], figures: PracticeFigures) -> Schedule:
    """A schedule without the days of least cells and ordinary trills after `least_cell_days`.

    Beside other drills of a cell there is no hold of few fingers, and beside the bar of an easy one no drill
    that was there before, nor the first of a trill. Of an ordinary trill's two drills to and fro one comes on
    each of its days. Cells begin in their order.
    """
    met: set[tuple[int, int]] = set()
    left = {
        number: max(1, figures.least_cell_days - len({entry.when[:10] for entry in planned.reached}))
        for number, planned in enumerate(cells)
        if is_least(planned.cell, figures) or is_ordinary_trill(planned, figures)
    }
    days = []
    for number, day in enumerate(found.days):
        there = [item for item in day if left.get(item[0], 1) > 0]
        kept = [item for item in there if not _is_needless(item, there, met, cells, figures)]
        later = {cell for then in found.days[number + 1 : -1] for cell, _ in then}
        kept = [item for item in kept if item[0] not in later or not _is_doubled(item, kept, cells, figures)]
        turns = [*dict.fromkeys(cell for cell, _ in kept)]
        days.append(tuple(kept if turns == sorted(turns) else sorted(kept)))
        left = {cell: count - any(cell == other for other, _ in day) for cell, count in left.items()}
        met |= {*there}
    return replace(found, days=tuple(days))


def _is_needless(
    item: tuple[int, int],
    day: Sequence[tuple[int, int]],
    met: Collection[tuple[int, int]],
    cells: Sequence[PlannedCell],
    figures: PracticeFigures,
) -> bool:
    """Whether a drill is one that its cell can do without on a day that has others of it."""
    planned = cells[item[0]]
    kind = planned.drills[item[1]].kind
    beside = {planned.drills[drill].kind for cell, drill in day if cell == item[0]} - {kind}
    if is_ordinary_trill(planned, figures):
        return bool(beside) and item in met and item[1] == 0
    if kind == FIRST_TO_GO:
        return bool(beside) and len(planned.cell.change.movers) < figures.hold_least_fingers
    return IN_THE_PART in beside and item in met and is_light(planned, figures)


def _is_doubled(
    item: tuple[int, int],
    day: Sequence[tuple[int, int]],
    cells: Sequence[PlannedCell],
    figures: PracticeFigures,
) -> bool:
    """Whether a drill of an ordinary trill goes to and fro as an earlier one of the day has."""
    planned = cells[item[0]]
    before = [drill for cell, drill in day if cell == item[0] and drill < item[1]]
    alike = all(planned.drills[drill].kind in TO_AND_FRO for drill in (item[1], *before))
    return is_ordinary_trill(planned, figures) and bool(before) and alike


def is_light(planned: PlannedCell, figures: PracticeFigures) -> bool:
    """Whether a cell is easy: by its load, or as few fingers move; no trill. At its tempo it is done."""
    cell = planned.cell
    easy = cell.load <= figures.easy_cell_load or _moves_little(planned, figures)
    return easy and not cell.trill and not planned.learns and _is_standard(cell)


def _is_standard(cell: Cell) -> bool:
    return all(each.case == STANDARD for each in cell.candidates)
