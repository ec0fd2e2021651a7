"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Sequence

from gripway.catalog.practice_figures import PracticeFigures
from gripway.practice.ladder import Ladder, minutes_of, sittings
from gripway.practice.plan import Day, Item, PlannedCell
from gripway.practice.schedule import SLOT_S, Frame, Schedule, Work, long_rests

WEIGHT_OF_LOAD = 20
"""Weights are whole numbers: so much for a load of 1."""


def work_of(planned: PlannedCell, frame: Frame, figures: PracticeFigures) -> Work:
    """What the scheduling model is told of a cell."""
    cell = planned.cell
    more = min(len(cell.places) + len(cell.back), figures.weight_places) - 1
    weight = cell.load * (1 + figures.weight_place * more)
    if planned.ladder.done:
        weight *= figures.reached_share
    longest = min(frame.slots, frame.spot)
    minutes = (minutes_of(drill, planned.ladder, figures) for drill in planned.drills)
    slots = tuple(min(longest, round(each * 60 / SLOT_S)) for each in minutes)
    return Work(max(1, round(weight * WEIGHT_OF_LOAD)), slots)


def days_of(
    found: Schedule,
    works: Sequence[Work],
    ladders: Sequence[Ladder],
    minutes: int,
    first_day: int,
    figures: PracticeFigures,
) -> tuple[Day, ...]:
    """The days with their items, each with the tempos its cell climbs that day if all goes well."""
    visits = [0] * len(works)
    climbs = [sittings(ladder, len(found.days), figures) for ladder in ladders]
    days = []
    for number, chosen in enumerate(found.days):
        items = []
        for cell, drill in chosen:
            start, end = climbs[cell][visits[cell]]
            items.append(Item(cell, drill, works[cell].slots[drill] * SLOT_S / 60, start, end))
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        rests = _long_rests(items, long_rests(minutes, figures), figures)
        days.append(Day(first_day + number, tuple(items), figures.rest, rests, figures.long_rest))
    return tuple(days)


def _long_rests(items: Sequence[Item], most: int, figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: each time `long_rest_every` minutes of work are full."""
    found: list[int] = []
    worked = 0.0
    for place, item in enumerate(items[:-1]):
        worked += item.minutes + figures.rest / 60
        if worked + items[place + 1].minutes > figures.long_rest_every and len(found) < most:
            found.append(place)
            worked = 0.0
    return tuple(found)
