"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.tempo_ladder import Ladder, item_steps, minutes_of, sittings
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule import SLOT_S, Frame, Schedule, Work
from gripway.practice.plan.whole_passage import Working, minutes_for, played, share_of, working_at

WEIGHT_OF_HARDNESS = 20
"""Weights are whole numbers: so much for a change that just begins to be worth practising."""


def weight_of(cell: Cell, figures: PracticeFigures) -> float:
    """How much a cell counts: its hardness, more for each of its places."""
    more = min(len(cell.places) + len(cell.back), figures.weight_places) - 1
    return cell.hardness(figures) * (1 + figures.weight_place * more)


def work_of(planned: PlannedCell, frame: Frame, tables: PracticeTables) -> Work:
    """What the scheduling model is told of a cell: how long a drill takes on each of its visits."""
    figures = tables.figures
    weight = weight_of(planned.cell, figures) * (figures.reached_share if planned.ladder.done else 1)
    slots, *later = (
        tuple(
            round(_item(planned, drill, climb, tables)[1] * 60 / SLOT_S)
            for drill in range(len(planned.drills))
        )
        for climb in dict.fromkeys(sittings(planned.ladder, frame.days, figures))
    )
    return Work(
        max(1, round(weight * WEIGHT_OF_HARDNESS)),
        slots,
        min(planned.met, len(slots)),
        tuple(later),
        planned.ladder.done,
    )


def _item(
    planned: PlannedCell, drill: int, climb: tuple[int, int], tables: PracticeTables
) -> tuple[tuple[int, ...], float]:
    """The tempos of a drill in a sitting, and its minutes."""
    made = planned.drills[drill]
    steps = item_steps(made, planned.ladder, climb, tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


def minutes_reserved(cells: Sequence[PlannedCell], context: "Context", figures: PracticeFigures) -> float:
    """Minutes the scheduling model leaves to the passage: `passage_times` at its slowest at most."""
    ladders = [*(planned.ladder for planned in cells), *context.others]
    share = share_of(ladders, [0] * len(ladders))
    around = [_working(planned, share, context.kept, context, figures) for planned in cells]
    wanted = [minutes_for(each, figures.passage_times) for each in around if each]
    return min(context.kept, max(wanted, default=context.kept))


def _working(
    planned: PlannedCell, share: float, most: float, context: "Context", figures: PracticeFigures
) -> Working | None:
    """What is played of the passage for a cell."""
    cell = planned.cell
    return working_at(context.notes, cell.first + cell.worst, share, cell.quarters, most, figures)


@dataclass(frozen=True, slots=True)
class Context:
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
    context: Context,
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
            steps, lasts = _item(cells[cell], drill, climbs[cell][visits[cell]], tables)
            items.append(Item(cell, drill, lasts, steps))
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        ups = [
            max(number, planned.ladder.steps.index(climb[visit][0]))
            for planned, climb, visit in zip(cells, climbs, visits, strict=True)
        ]
        share = share_of(
            [*(planned.ladder for planned in cells), *context.others],
            [*ups, *(number for _ in context.others)],
        )
        around = cells[items[0].cell if items else 0]
        plain = _day(first_day + number, items, None, minutes, context.notes, figures)
        left = min(context.kept, minutes - plain.minutes - figures.rest / 60 * bool(items))
        working = _working(around, share, left, context, figures) if left > 0 else None
        days.append(_day(first_day + number, items, working, minutes, context.notes, figures))
    return tuple(days)


def _day(
    number: int,
    items: Sequence[Item],
    working: Working | None,
    minutes: float,
    notes: Sequence[Note],
    figures: PracticeFigures,
) -> Day:
    """A day of these items, with the passage as often as there is time for."""
    lasting = [item.minutes for item in items]
    plain = Day(number, tuple(items), figures.rest, long_rests_after(lasting, figures), figures.long_rest)
    if working is None:
        return plain
    for times in range(figures.passage_most, 0, -1):
        rests = long_rests_after([*lasting, minutes_for(working, times)], figures)
        day = replace(plain, passage=played(working, times, notes), long_rests=rests)
        if day.minutes <= minutes:
            return day
    return plain


def long_rests_after(lasting: Iterable[float], figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: before work lasts over `long_rest_every` minutes."""
    lasting = list(lasting)
    found: list[int] = []
    worked = 0.0
    for place, minutes in enumerate(lasting[:-1]):
        worked += minutes + figures.rest / 60
        if worked + lasting[place + 1] > figures.long_rest_every:
            found.append(place)
            worked = 0.0
    return tuple(found)
