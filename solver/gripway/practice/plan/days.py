"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.drill_minutes import item_steps, longest_item, minutes_of
from gripway.practice.drills.tempo_ladder import Ladder, sittings
from gripway.practice.plan.filled_day import filled_day
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule_rules import SLOT_S, CellWork, Schedule, TimeFrame
from gripway.practice.plan.whole_passage import Working, minutes_for, share_of, working_at

FIRST_KINDS = ("hold", "stop")
"""Kinds of drills a cell is met with; once it is known there is little in them."""

WEIGHT_OF_HARDNESS = 20
"""Weights are whole numbers: so much for a change that just begins to be worth practising."""


def weight_of(cell: Cell, figures: PracticeFigures) -> float:
    """How much a cell counts: its hardness, more for each of its places."""
    more = min(len(cell.places) + len(cell.back), figures.weight_places) - 1
    return cell.hardness(figures) * (1 + figures.weight_place_share * more)


def work_of(planned: PlannedCell, frame: TimeFrame, minutes: float, tables: PracticeTables) -> CellWork:
    """What the scheduling model is told of a cell: how long a drill takes on each of its visits."""
    figures = tables.figures
    weight = weight_of(planned.cell, figures) * (figures.reached_share if planned.ladder.done else 1)
    slots, *later = (
        tuple(
            round(_item(planned, drill, climb, minutes, tables)[1] * 60 / SLOT_S)
            for drill in range(len(planned.drills))
        )
        for climb in dict.fromkeys(sittings(planned.ladder, frame.days, figures))
    )
    return CellWork(
        max(1, round(weight * WEIGHT_OF_HARDNESS)),
        slots,
        min(planned.met, len(slots)),
        tuple(later),
        planned.ladder.done,
        frozenset(place for place, drill in enumerate(planned.drills) if drill.kind in FIRST_KINDS),
    )


def _item(
    planned: PlannedCell, drill: int, climb: tuple[int, int], minutes: float, tables: PracticeTables
) -> tuple[tuple[int, ...], float]:
    """The tempos of a drill in a sitting on a day of so many minutes, and its own minutes."""
    made = planned.drills[drill]
    steps = item_steps(made, planned.ladder, climb, longest_item(minutes, tables.figures), tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


def minutes_reserved(cells: Sequence[PlannedCell], context: "DayContext", figures: PracticeFigures) -> float:
    """Minutes the scheduling model leaves to the passage: `passage_times` at its slowest at most."""
    ladders = [*(planned.ladder for planned in cells if not planned.cell.trill), *context.others]
    share = share_of(ladders, [0] * len(ladders))
    around = [_working(planned, share, context.kept, context=context, figures=figures) for planned in cells]
    wanted = [minutes_for(each, figures.passage_times) for each in around if each]
    return min(context.kept, max(wanted, default=context.kept))


def _working(
    planned: PlannedCell, share: float, most: float, *, context: "DayContext", figures: PracticeFigures
) -> Working | None:
    """What is played of the passage for a cell."""
    cell = planned.cell
    return working_at(context.notes, cell.place, share, cell.part_quarters, most, figures)


@dataclass(frozen=True, slots=True)
class DayContext:
    """The notes of the passage, the ladders of the cells no drills are planned for, and the minutes kept."""

    notes: Sequence[Note]
    others: Sequence[Ladder]
    kept: float


def days_of(
    found: Schedule,
    cells: Sequence[PlannedCell],
    minutes: float,
    first_day: int,
    tables: PracticeTables,
    context: DayContext,
) -> tuple[Day, ...]:
    """The days with their items, each with the tempos its cell climbs that day if all goes well.

    An item takes what that day's climb takes. What the drills leave of a day goes to the passage.
    """
    figures = tables.figures
    visits = [0] * len(cells)
    climbs = [sittings(planned.ladder, len(found.days) + 1, figures) for planned in cells]
    days = []
    for number, chosen in enumerate(found.days):
        items = []
        for cell, drill in chosen:
            steps, lasts = _item(cells[cell], drill, climbs[cell][visits[cell]], minutes, tables)
            items.append(Item(cell, drill, lasts, steps))
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        ups = [
            max(number, planned.ladder.steps.index(climb[visit][0]))
            for planned, climb, visit in zip(cells, climbs, visits, strict=True)
            if not planned.cell.trill
        ]
        share = share_of(
            [*(planned.ladder for planned in cells if not planned.cell.trill), *context.others],
            [*ups, *(number for _ in context.others)],
        )
        around = cells[items[0].cell if items else 0]
        widest = partial(_working, around, share, context=context, figures=figures)
        days.append(
            filled_day(first_day + number, items, minutes, widest, context.kept, context.notes, figures)
        )
    return tuple(days)
