"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import is_early
from gripway.practice.drills.drill_minutes import item_steps, longest_item, minutes_of
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.tempo_ladder import Ladder, sittings
from gripway.practice.plan.course import Course, course_before
from gripway.practice.plan.drone import Drone
from gripway.practice.plan.filled_day import filled_day
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule_rules import SLOT_S, CellWork, Schedule, TimeFrame
from gripway.practice.plan.studies import HardPlace, Spot, StudyMaker, spot_of
from gripway.practice.plan.way_conditions import is_singing, is_slow
from gripway.practice.plan.whole_passage import Working, minutes_for, share_of, working_at

DAILY_KINDS = ("overlap", "even")
"""Kinds of drills that are music, and may come day after day."""

FIRST_KINDS = ("octave", "hold", "stop")
"""Kinds of drills a cell is met with; once it is known there is little in them."""

WEIGHT_OF_HARDNESS = 20
"""Weights are whole numbers: so much for a change that just begins to be worth practising."""


def weight_of(cell: Cell, figures: PracticeFigures) -> float:
    """How much a cell counts: its hardness, more for each place of its changes, less for what pupils have."""
    hang = (len(cell.places) + len(cell.back)) * (len(cell.notes) - 1)
    more = min(hang, figures.weight_places) - 1
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    early = is_early(before, after, figures)
    share = figures.weight_early_share if early else 1.0
    return cell.hardness(figures) * (1 + figures.weight_place_share * more) * share


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
    climbs = sittings(planned.ladder, frame.days, figures)
    foot, top = climbs[min(1, len(climbs) - 1)][0], climbs[-1][1]
    at_goal = planned.ladder.done or (bool(later) and top == planned.ladder.goal)
    return CellWork(
        max(1, round(weight * WEIGHT_OF_HARDNESS)),
        slots,
        min(planned.met, len(slots)),
        tuple(later),
        planned.ladder.done,
        plain=frozenset(_of_kinds(planned, FIRST_KINDS)),
        daily=frozenset(daily_drills(planned, figures)),
        music=frozenset(_of_kinds(planned, DAILY_KINDS)),
        kept=figures.kept_drills if at_goal else len(planned.drills),
        signs=tuple(signs_of(drill, figures) for drill in planned.drills),
        slow=frozenset(
            place for place, drill in enumerate(planned.drills) if not drill.free and drill.fastest < foot
        ),
    )


def signs_of(drill: Drill, figures: PracticeFigures) -> int:
    """How much there is to read in a drill: its notes and its clef; what stands in the part is known."""
    return figures.drill_signs + len(drill.passage.notes) * (drill.kind != IN_THE_PART)


def daily_drills(planned: PlannedCell, figures: PracticeFigures) -> Iterator[int]:
    """The drills of a cell that may come on two days running: music, and all where there are few."""
    few = len(planned.drills) < 2 * figures.visit_drills
    return iter(range(len(planned.drills))) if few else _of_kinds(planned, DAILY_KINDS)


def _of_kinds(planned: PlannedCell, kinds: Sequence[str]) -> Iterator[int]:
    return (place for place, drill in enumerate(planned.drills) if drill.kind in kinds)


def _item(
    planned: PlannedCell, drill: int, climb: tuple[int, int], minutes: float, tables: PracticeTables
) -> tuple[tuple[int, ...], float]:
    """The tempos of a drill in a sitting on a day of so many minutes, and its own minutes."""
    made = planned.drills[drill]
    longest = longest_item(minutes, tables.figures)
    steps = item_steps(made, planned.ladder, climb, longest, minutes, tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


def _sure(ladder: Ladder, climb: Sequence[tuple[int, int]], visits: int) -> int:
    """How many notches up a cell is sure after so many sittings: where the next begins.

    At its goal once an earlier sitting than the last has been there.
    """
    if visits > 1 and climb[visits - 2][1] == ladder.goal:
        return len(ladder.steps) - 1
    return ladder.steps.index(climb[visits][0])


def minutes_reserved(
    cells: Sequence[PlannedCell], context: "DayContext", minutes: float, figures: PracticeFigures
) -> float:
    """Minutes left to the passage, `passage_times` at its slowest at most, and to studies."""
    ladders = [*(planned.ladder for planned in cells if not planned.cell.trill), *context.others]
    share = share_of(ladders, [0] * len(ladders))
    spots = [spot_of(number, planned.cell) for number, planned in enumerate(cells)]
    around = [_working(spot, share, context.kept, context=context, figures=figures) for spot in spots]
    wanted = [minutes_for(each, figures.passage_times) for each in around if each]
    studies = minutes * figures.study_share if minutes >= figures.study_from_min else 0.0
    return min(context.kept, max(wanted, default=context.kept)) + studies * 2 // 1 / 2


def _working(
    spot: Spot, share: float, most: float, *, context: "DayContext", figures: PracticeFigures
) -> Working | None:
    """What is played of the passage around a spot."""
    return working_at(context.notes, spot.place, share, spot.quarters, most, figures)


@dataclass(frozen=True, slots=True)
class DayContext:
    """The notes of the passage, the ladders of hard changes without drills and their places, minutes kept.

    `drone` is the note that may lie under it.
    """

    notes: Sequence[Note]
    others: Sequence[Ladder]
    kept: float
    places: Sequence[HardPlace] = ()
    drone: Drone | None = None


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
    course = course_before(first_day, [place.first for place in context.places], tables)
    days: list[Day] = []
    drilled: dict[int, int] = {}
    for number, chosen in enumerate(found.days):
        items = _items(
            chosen,
            cells,
            [climb[v] for climb, v in zip(climbs, visits, strict=True)],
            drilled,
            minutes,
            tables,
        )
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        ups = [
            max(number, _sure(planned.ladder, climb, visit))
            for planned, climb, visit in zip(cells, climbs, visits, strict=True)
        ]
        changes = [
            (planned.ladder, up) for planned, up in zip(cells, ups, strict=True) if not planned.cell.trill
        ]
        share = share_of(
            [*(ladder for ladder, _ in changes), *context.others],
            [*(up for _, up in changes), *(number * figures.others_notches for _ in context.others)],
        )
        share = min(share, _most_share(days, cells, drilled, figures))
        drilled |= _drilled(items, cells, drilled)
        met = list(dict.fromkeys(item.cell for item in items)) or [0]
        spots = [spot_of(cell, cells[cell].cell) for cell in met]
        left = len(found.days) - number
        days.append(_day(first_day + number, items, minutes, spots, share, course, context, tables, left))
        course = course.after(days[-1].day, days[-1].studies)
    return tuple(days)


def _items(
    chosen: Sequence[tuple[int, int]],
    cells: Sequence[PlannedCell],
    climbs: Sequence[tuple[int, int]],
    drilled: Mapping[int, int],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """The drills of a day with their tempos.

    What stands in the part goes no more than `part_notches` beyond the other drills of its cell that day, or
    beyond what the cell was `drilled` to before.
    """
    items = []
    for cell, drill in chosen:
        steps, lasts = _item(cells[cell], drill, climbs[cell], minutes, tables)
        items.append(Item(cell, drill, lasts, steps))
    for place, item in enumerate(items):
        planned = cells[item.cell]
        others = [
            other.end
            for other in items
            if other.cell == item.cell and other.drill != item.drill and not planned.drills[other.drill].free
        ]
        if others and planned.drills[item.drill].kind == IN_THE_PART:
            known = max(*others, drilled.get(item.cell, 0), planned.ladder.reached or 0)
            above = [step for step in planned.ladder.steps if step > known]
            most = max([known, *above[: tables.figures.part_notches]])
            steps = tuple(step for step in item.steps if step <= most) or (known,)
            lasts = minutes_of(planned.drills[item.drill], planned.ladder, steps, tables.figures)
            items[place] = Item(item.cell, item.drill, lasts, steps)
    return items


def _drilled(
    items: Sequence[Item], cells: Sequence[PlannedCell], before: Mapping[int, int]
) -> dict[int, int]:
    """Up to which tempo the cells of a day have been drilled, on that day or `before`."""
    found: dict[int, int] = {}
    for item in items:
        if not (cells[item.cell].cell.trill or cells[item.cell].drills[item.drill].free):
            found[item.cell] = max(item.end, found.get(item.cell, before.get(item.cell, 0)))
    return found


def _most_share(
    days: Sequence[Day], cells: Sequence[PlannedCell], drilled: Mapping[int, int], figures: PracticeFigures
) -> float:
    """The share of its tempo that the passage may have at most: `passage_notches` over the day before.

    Nor more than its cells were `drilled` to by then. On the first day there is no such bound.
    """
    shares = [tempo / cells[cell].ladder.target for cell, tempo in drilled.items()]
    last = days[-1].passage if days else None
    if last:
        shares.append(last.share * (1 + figures.notch_share) ** figures.passage_notches)
    return min(shares, default=1.0)


def days_of_music(
    spots: Sequence[Spot],
    minutes: float,
    first_day: int,
    count: int,
    tables: PracticeTables,
    context: DayContext,
) -> tuple[Day, ...]:
    """Days for a passage in which nothing is hard: work on its music, and the passage itself.

    Slow music and a quiet line are worked on at their tempo; the other comes to it notch by notch, by the
    last day.
    """
    figures = tables.figures
    course = course_before(first_day, [place.first for place in context.places], tables)
    days = []
    for number in range(first_day, first_day + count):
        left = first_day + count - number
        at_tempo = is_slow(context.notes, figures) or is_singing(context.notes, figures)
        below = 0 if at_tempo else left - 1
        share = max(figures.music_start_share, (1 + figures.notch_share) ** -below)
        days.append(_day(number, (), minutes, spots, share, course, context, tables, left))
        course = course.after(number, days[-1].studies)
    return tuple(days)


def _day(
    number: int,
    items: Sequence[Item],
    minutes: float,
    spots: Sequence[Spot],
    share: float,
    course: Course,
    context: DayContext,
    tables: PracticeTables,
    left: int,
) -> Day:
    """A day of these items, with the passage around one of its spots and other work on it."""
    figures = tables.figures
    maker = StudyMaker(
        context.notes, spots, share, number, course, tables, minutes, context.places, left, context.drone
    )
    widest = partial(_working, spots[(number - 1) % len(spots)], share, context=context, figures=figures)
    return filled_day(number, items, minutes, widest, context.kept, context.notes, figures, maker)
