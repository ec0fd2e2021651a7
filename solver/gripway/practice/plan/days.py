"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.drills.tempo_ladder import minutes_of, sittings
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule import SLOT_S, Frame, Schedule, Work

WEIGHT_OF_HARDNESS = 20
"""Weights are whole numbers: so much for a change that just begins to be worth practising."""


def work_of(planned: PlannedCell, frame: Frame, figures: PracticeFigures) -> Work:
    """What the scheduling model is told of a cell."""
    cell = planned.cell
    more = min(len(cell.places) + len(cell.back), figures.weight_places) - 1
    weight = cell.hardness(figures) * (1 + figures.weight_place * more)
    if planned.ladder.done:
        weight *= figures.reached_share
    longest = min(frame.slots, frame.spot)
    (first,) = sittings(planned.ladder, 1, figures)
    minutes = (minutes_of(drill, planned.ladder, figures, first) for drill in planned.drills)
    slots = tuple(min(longest, round(each * 60 / SLOT_S)) for each in minutes)
    return Work(max(1, round(weight * WEIGHT_OF_HARDNESS)), slots, min(planned.met, len(slots)))


def days_of(
    found: Schedule,
    works: Sequence[Work],
    cells: Sequence[PlannedCell],
    first_day: int,
    figures: PracticeFigures,
) -> tuple[Day, ...]:
    """The days with their items, each with the tempos its cell climbs that day if all goes well.

    An item takes what that day's climb takes: less than was planned for once the tempos are higher.
    """
    visits = [0] * len(works)
    climbs = [sittings(planned.ladder, len(found.days), figures) for planned in cells]
    days = []
    for number, chosen in enumerate(found.days):
        items = []
        for cell, drill in chosen:
            climb = climbs[cell][visits[cell]]
            lasts = minutes_of(cells[cell].drills[drill], cells[cell].ladder, figures, climb)
            planned = works[cell].slots[drill] * SLOT_S / 60
            items.append(Item(cell, drill, min(planned, lasts), *climb))
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        rests = long_rests_after(items, figures)
        days.append(Day(first_day + number, tuple(items), figures.rest, rests, figures.long_rest))
    return tuple(days)


def long_rests_after(items: Sequence[Item], figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: before work lasts over `long_rest_every` minutes."""
    found: list[int] = []
    worked = 0.0
    for place, item in enumerate(items[:-1]):
        worked += item.minutes + figures.rest / 60
        if worked + items[place + 1].minutes > figures.long_rest_every:
            found.append(place)
            worked = 0.0
    return tuple(found)
