"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import is_early
from gripway.practice.drills.drill_minutes import item_steps, longest_item, minutes_of, tempos_of
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.tempo_ladder import Ladder, sittings
from gripway.practice.plan.course import Course, course_before
from gripway.practice.plan.filled_day import filled_day
from gripway.practice.plan.held_back import HeldBack, around_of, faster_than
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule_rules import SLOT_S, CellWork, Schedule, TimeFrame, spot_most
from gripway.practice.plan.studies import StudyMaker
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.drone import Drone
from gripway.practice.ways.questions import NO_QUESTIONS, Questions
from gripway.practice.ways.spots import HardPlace, Spot, spot_of
from gripway.practice.ways.way_conditions import is_singing, is_slow
from gripway.practice.ways.whole_passage import (
    Working,
    is_long,
    minutes_for,
    seconds_of,
    share_of,
    working_at,
)

DAILY_KINDS = ("overlap", "even", "added", "entry", "figure")
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
    climbs = list(dict.fromkeys(sittings(planned.ladder, frame.days, figures)))
    at_goal = planned.ladder.done or (len(climbs) > 1 and climbs[-1][1] == planned.ladder.goal)
    first = next((visit for visit, (_, top) in enumerate(climbs) if top == planned.ladder.goal), frame.days)
    mastered = first + max(0, figures.sure_days - planned.days_at_goal)
    kept_from = len(climbs) - 1
    climbs += climbs[-1:] * (min(mastered, frame.days - 1) - kept_from)
    slots, *later = (
        tuple(
            round(_item(planned, drill, climb, minutes, tables)[1] * 60 / SLOT_S)
            for drill in range(len(planned.drills))
        )
        for climb in climbs
    )
    return CellWork(
        max(1, round(weight * WEIGHT_OF_HARDNESS)),
        slots,
        min(planned.met, len(slots)),
        tuple(later),
        planned.ladder.done,
        planned.missed,
        plain=frozenset(_of_kinds(planned, FIRST_KINDS)),
        daily=frozenset(daily_drills(planned, figures)),
        music=frozenset(_of_kinds(planned, DAILY_KINDS)),
        kept=figures.kept_drills if at_goal else len(planned.drills),
        kept_from=kept_from,
        mastered=mastered,
        signs=tuple(signs_of(drill, figures) for drill in planned.drills),
        until=until_of(planned, climbs, figures),
        apart=apart_drills(planned, figures),
    )


def until_of(
    planned: PlannedCell, climbs: Sequence[tuple[int, int]], figures: PracticeFigures
) -> tuple[int, ...]:
    """On how many of the visits with these climbs each drill goes with the tempos.

    It does on the first where it ends no more than `back_notches` below the foot of the climb, later where it
    ends no lower than that foot, as tempos go up from day to day; the quickest does always.
    """
    drills = planned.drills
    quickest = max((drill.fastest for drill in drills if not drill.free), default=0)
    back = (1 + figures.notch_share) ** -figures.back_notches
    lowest = [round(foot * back) if not visit else foot for visit, (foot, _) in enumerate(climbs)]
    return tuple(
        len(climbs)
        if drill.free or drill.fastest == quickest
        else sum(drill.fastest >= tempo for tempo in lowest)
        for drill in drills
    )


def apart_drills(planned: PlannedCell, figures: PracticeFigures) -> frozenset[int]:
    """The drills that come once in three days: those that are no music, where there are enough of them."""
    first, music = ({*_of_kinds(planned, kinds)} for kinds in (FIRST_KINDS, DAILY_KINDS))
    others = {*range(len(planned.drills))} - first - music
    return frozenset(others if len(others) >= 2 * figures.visit_drills else ())


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
    planned: PlannedCell,
    drill: int,
    climb: tuple[int, int],
    minutes: float,
    tables: PracticeTables,
    most: float | None = None,
) -> tuple[tuple[int, ...], float]:
    """The tempos of a drill in a sitting on a day of so many minutes, and its minutes, `most` if given."""
    made = planned.drills[drill]
    longest = longest_item(minutes, tables.figures) if most is None else most
    steps = item_steps(made, planned.ladder, climb, longest, minutes, tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


@dataclass(frozen=True, slots=True)
class Climbed:
    """How many notches of its ladder a cell has climbed, and on how many days it was at its goal."""

    notches: int = 0
    at_goal: int = 0

    def foot(self, figures: PracticeFigures) -> int:
        """Where the next day with it begins, in notches."""
        return max(0, self.notches - figures.back_notches)

    def climb(self, ladder: Ladder, figures: PracticeFigures) -> tuple[int, int]:
        """From which tempo to which the next day climbs."""
        foot = self.foot(figures)
        top = min(len(ladder.steps) - 1, foot + figures.sitting_notches)
        return ladder.steps[foot], ladder.steps[top]

    def sure(self, ladder: Ladder, figures: PracticeFigures) -> int:
        """How many notches up it is sure: at its goal once it was there on `sure_days`."""
        return len(ladder.steps) - 1 if self.at_goal >= figures.sure_days else self.foot(figures)

    def after(self, ladder: Ladder, top: int | None) -> "Climbed":
        """After a day whose drills went up to a tempo; None where they have none."""
        if top is None:
            return self
        notches = max(self.notches, sum(step <= top for step in ladder.steps) - 1)
        return Climbed(notches, self.at_goal + (top >= ladder.goal))


def climbed_before(planned: PlannedCell) -> Climbed:
    """What a cell has climbed by its log."""
    ladder = planned.ladder
    notches = sum(step <= (ladder.reached or 0) for step in ladder.steps[1:])
    return Climbed(notches, planned.days_at_goal)


def minutes_reserved(
    cells: Sequence[PlannedCell], context: "DayContext", minutes: float, figures: PracticeFigures
) -> float:
    """Minutes left to the passage, `passage_times` at its slowest at most, and to studies."""
    others = (each.ladder for each in context.others)
    ladders = [*(planned.plain or planned.ladder for planned in cells if planned.holds_back), *others]
    slowest = share_of(ladders, [0] * len(ladders))
    spots = [spot_of(number, planned.cell) for number, planned in enumerate(cells)]
    around = [_working(spot, slowest, context.kept, context=context, figures=figures) for spot in spots]
    wanted = [minutes_for(each, figures.passage_times) for each in around if each]
    long = is_long(context.notes, minutes, figures)
    share = figures.study_share + figures.section_share * long
    studies = minutes * share if minutes >= figures.study_from_min else 0.0
    return min(context.kept, max(wanted, default=context.kept)) + studies * 2 // 1 / 2


def _working(
    spot: Spot,
    share: float,
    most: float,
    around: Around | None = None,
    *,
    context: "DayContext",
    figures: PracticeFigures,
) -> Working | None:
    """What is played of the passage around a spot: as much as goes without few hard bars, where these are."""
    notes, quarters = context.notes, spot.quarters
    if around is None:
        return working_at(notes, spot.place, share, quarters, most, figures)
    wide = working_at(notes, spot.place, around.share, quarters, most, figures)
    if wide is None:
        return None
    left = around.within(wide.first, wide.last, notes)
    if left is None:
        return replace(wide, share=share, quarters=round(quarters * share))
    once = seconds_of(notes, wide.first, wide.last, share, figures)
    left = replace(left, quarters=wide.quarters)
    return Working(wide.first, wide.last, share, round(quarters * share), once, left, wide.once_s)


@dataclass(frozen=True, slots=True)
class DayContext:
    """The notes of the passage, what hard changes without drills hold back, their places, minutes kept.

    `cell_bars` are the bars in which each cell is hard, `drone` is the note that may lie under it,
    `questions` what its music asks for.
    """

    notes: Sequence[Note]
    others: Sequence[HeldBack]
    kept: float
    places: Sequence[HardPlace] = ()
    drone: Drone | None = None
    questions: Questions = NO_QUESTIONS
    cell_bars: Sequence[Sequence[Ends]] = ()


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
    climbed, visits = [climbed_before(planned) for planned in cells], [0] * len(cells)
    planned_climbs = [sittings(planned.ladder, len(found.days), figures) for planned in cells]
    course = course_before(first_day, [place.first for place in context.places], tables)
    days: list[Day] = []
    drilled: dict[int, int] = {}
    for number, chosen in enumerate(found.days):
        items = _items(
            chosen,
            cells,
            [each.climb(planned.ladder, figures) for each, planned in zip(climbed, cells, strict=True)],
            [climbs[visit] for climbs, visit in zip(planned_climbs, visits, strict=True)],
            [each.notches + figures.part_notches for each in climbed],
            minutes,
            tables,
        )
        near = {drill for day in found.days[max(0, number - 1) : number + 2] for _, drill in day}
        near |= {item.drill for item in days[-1].items} if days else set()
        if len(cells) == 1 and number < len(found.days) - 1 and climbed[0].at_goal < figures.sure_days:
            more = _one_more(items, cells[0], near, days, minutes, tables)
            items = sorted((*items, *more), key=lambda item: item.drill) if more else items
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        today = _drilled(items, cells)
        climbed = [
            each.after(planned.ladder, today.get(cell))
            for cell, (each, planned) in enumerate(zip(climbed, cells, strict=True))
        ]
        ups = [
            max(number, each.sure(planned.ladder, figures))
            for planned, each in zip(cells, climbed, strict=True)
        ]
        drilled |= {cell: max(tempo, drilled.get(cell, 0)) for cell, tempo in today.items()}
        shares = [
            *_cell_shares(cells, ups, drilled, context),
            *((each.share_at(number, figures), each.bars) for each in context.others),
        ]
        share = _no_leap(min((each for each, _ in shares), default=1.0), days, figures)
        met = list(dict.fromkeys(item.cell for item in items)) or [0]
        spots = [spot_of(cell, cells[cell].cell) for cell in met]
        left = len(found.days) - number
        share = _above(share, left, cells, days, context, figures)
        before = days[-1] if days else None
        last = before.passage if before else None
        around = around_of(shares, share, last, context.notes, figures)
        new = [cell for cell, planned in enumerate(cells) if planned.learns and visits[cell]]
        touch = next((spot_of(cell, cells[cell].cell) for cell in new if cell not in met), None)
        day = partial(
            _day, first_day + number, items, minutes, spots, touch=touch, course=course, context=context
        )
        days.append(
            _no_faster(
                partial(day, tables=tables, left=left, before_day=before),
                share,
                around,
                course,
                context,
                figures,
            )
        )
        course = course.after(days[-1].day, days[-1].studies)
    return tuple(days)


def _items(
    chosen: Sequence[tuple[int, int]],
    cells: Sequence[PlannedCell],
    climbs: Sequence[tuple[int, int]],
    planned_climbs: Sequence[tuple[int, int]],
    known: Sequence[int],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """The drills of a day with their tempos: each of a cell goes on where the one before it ended.

    What stands in the part goes no more than `part_notches` beyond them, or of what was `known`
    before. None takes longer than with the climb
    it was planned with.
    """
    reached: dict[int, int] = {}
    items = []
    for cell, drill in chosen:
        planned, figures = cells[cell], tables.figures
        ladder, made = planned.ladder, planned.drills[drill]
        foot, top = (ladder.steps.index(tempo) for tempo in climbs[cell])
        count = tempos_of(made, minutes, tables)
        first = min(reached.get(cell, foot), max(foot, top + 1 - max(count, figures.back_notches + 1)))
        last = top
        if cell in reached and made.kind == IN_THE_PART:
            last = min(top, max(first, reached[cell] + figures.part_notches, known[cell]))
        most = _item(planned, drill, planned_climbs[cell], minutes, tables)[1]
        climb = (ladder.steps[first], ladder.steps[last])
        steps, lasts = _item(planned, drill, climb, minutes, tables, most)
        items.append(Item(cell, drill, lasts, steps))
        if not made.free:
            reached[cell] = max(reached.get(cell, foot), sum(step <= steps[-1] for step in ladder.steps) - 1)
    kept = [_in_a_sitting(item, items, cells[item.cell], minutes, tables) for item in items]
    return [_in_strides(item, kept[:place], cells[item.cell], tables) for place, item in enumerate(kept)]


def _in_strides(item: Item, before: Sequence[Item], planned: PlannedCell, tables: PracticeTables) -> Item:
    """A drill at every second tempo where one of its cell has gone through as many before it that day."""
    figures, steps = tables.figures, item.steps
    ladders = [each.steps for each in before if each.cell == item.cell]
    if len(steps) < figures.stride_from_tempos or not any(len(each) >= len(steps) for each in ladders):
        return item
    steps = steps[::-2][::-1] if len(steps) % 2 else (steps[0], *steps[::-2][::-1])
    made = planned.drills[item.drill]
    return replace(item, steps=steps, minutes=minutes_of(made, planned.ladder, steps, figures))


def _one_more(
    items: Sequence[Item],
    planned: PlannedCell,
    near: Collection[int],
    days: Sequence[Day],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """One more drill of the only cell of a plan on a long day that has room for it; else none.

    It is none of those `near` (of the day, or the one before or after), is not too much to read, and goes
    with the tempos of the last one, fewer of them where there is no time for all.
    """
    figures, last = tables.figures, items[-1] if items else None
    room = spot_most(minutes, figures) - sum(item.minutes for item in items)
    if minutes <= figures.day_usual_min or last is None or planned.drills[last.drill].free:
        return []
    met = {item.drill for day in days for item in day.items}
    new = sum(signs_of(planned.drills[item.drill], figures) for item in items if item.drill not in met)
    for place, made in enumerate(planned.drills):
        reads = new + signs_of(made, figures) * (place not in met)
        slow = made.free or made.fastest < last.end
        if slow or place in near or made.kind in FIRST_KINDS or reads > figures.day_new_signs:
            continue
        steps = item_steps(made, planned.ladder, (last.start, last.end), room, minutes, tables)
        lasts = minutes_of(made, planned.ladder, steps, figures)
        if lasts <= room:
            return [_in_strides(Item(last.cell, place, lasts, steps), items, planned, tables)]
    return []


def _in_a_sitting(
    item: Item, items: Sequence[Item], planned: PlannedCell, day: float, tables: PracticeTables
) -> Item:
    """An item with no tempo more than `sitting_notches` above the lowest that its cell has on the day.

    `day` is how many minutes that has.
    """
    made, figures = planned.drills[item.drill], tables.figures
    if made.free:
        return item
    own = (each for each in items if each.cell == item.cell and not planned.drills[each.drill].free)
    known = planned.ladder.steps
    lowest = min(sum(step < each.start for step in known) for each in own)
    most = known[min(lowest + figures.sitting_notches, len(known) - 1)]
    steps = tuple(step for step in item.steps if step <= most)
    if not steps:  # one that begins higher ends there
        steps = item_steps(made, planned.ladder, (most, most), item.minutes, day, tables)
    return replace(item, steps=steps, minutes=minutes_of(made, planned.ladder, steps, figures))


def _drilled(items: Sequence[Item], cells: Sequence[PlannedCell]) -> dict[int, int]:
    """Up to which tempo the cells of a day are drilled on it."""
    found: dict[int, int] = {}
    for item in items:
        if not (cells[item.cell].cell.has_own_tempo or cells[item.cell].drills[item.drill].free):
            found[item.cell] = max(item.end, found.get(item.cell, 0))
    return found


def _cell_shares(
    cells: Sequence[PlannedCell],
    ups: Sequence[int],
    drilled: Mapping[int, int],
    context: DayContext,
) -> Iterator[tuple[float, Sequence[Ends]]]:
    """The share of its tempo at which each cell lets the passage go, so many notches up, and its hard bars.

    No more than it is `drilled` to by then, unless it is drilled as an ornament.
    """
    for cell, (planned, up, bars) in enumerate(zip(cells, ups, context.cell_bars, strict=True)):
        if planned.holds_back:
            ladder = planned.plain or planned.ladder
            tempo = ladder.steps[min(up, len(ladder.steps) - 1)]
            most = tempo if planned.plain else drilled.get(cell, tempo)
            yield min(tempo, most) / ladder.target, bars


def _no_leap(share: float, days: Sequence[Day], figures: PracticeFigures) -> float:
    """The share of its tempo that the passage has: `passage_notches` over the day before at most, no less."""
    if not days or days[-1].passage is None:
        return min(1.0, share)
    last = min(1.0, days[-1].passage.share)
    return max(last, min(1.0, share, last * (1 + figures.notch_share) ** figures.passage_notches))


def _above(
    share: float,
    left: int,
    cells: Sequence[PlannedCell],
    days: Sequence[Day],
    context: DayContext,
    figures: PracticeFigures,
) -> float:
    """The share of a passage at its tempo since the day before: above it on the two days before the last.

    Not where something is really hard, nor where the music is slow or sings. `left` are the days with this.
    """
    before = days[-1].passage.share if days and days[-1].passage else 0.0
    easy = not context.others and all(each.cell.load <= figures.above_most_load for each in cells)
    if share < 1 or before < 1 or left not in ABOVE_LEFT or not easy:
        return share
    if is_slow(context.notes, figures, figures.music_slow_ms) or is_singing(context.notes, figures):
        return share
    return before + figures.above_share


ABOVE_LEFT = (2, 3)
"""With so many days left a passage that is at its tempo is played above it."""


def _no_faster(
    make: Callable[..., Day],
    share: float,
    around: Around | None,
    course: Course,
    context: DayContext,
    figures: PracticeFigures,
) -> Day:
    """A day whose passage is no faster than the hard bars have been worked at by then: slower if need be.

    Nor is it faster without those that are left out than the others have been. `make` makes it with a share,
    and with what is left out.
    """
    places = [place for place in context.places if place.holds_back]
    while True:
        day = make(share=share, around=around)
        kept = [each for each in places if around and not around.leaves_out(each.first, each.last)]
        wanted = {each.first: around.share for each in kept if around}
        wanted |= {each.first: min(1.0, share) for each in places if each not in kept}
        behind = course.after(day.day, day.studies).behind(wanted)
        if not behind:
            return day
        slow = [behind[each.first] for each in kept if each.first in behind]
        if around and slow:
            around = faster_than(share, replace(around, share=min(slow)), figures)
        else:
            share = min(behind.values())


def days_of_music(
    spots: Sequence[Spot],
    minutes: float,
    first_day: int,
    count: int,
    tables: PracticeTables,
    context: DayContext,
) -> tuple[Day, ...]:
    """Days for a passage in which nothing is hard: work on its music, and the passage itself.

    It is at its tempo from the first day on.
    """
    course = course_before(first_day, [place.first for place in context.places], tables)
    days: list[Day] = []
    for number in range(first_day, first_day + count):
        left = first_day + count - number
        share = _above(1.0, left, (), days, context, tables.figures)
        before = days[-1] if days else None
        days.append(_day(number, (), minutes, spots, share, None, course, context, tables, left, before))
        course = course.after(number, days[-1].studies)
    return tuple(days)


def _day(
    number: int,
    items: Sequence[Item],
    minutes: float,
    spots: Sequence[Spot],
    share: float,
    around: Around | None,
    course: Course,
    context: DayContext,
    tables: PracticeTables,
    left: int,
    before_day: Day | None,
    touch: Spot | None = None,
) -> Day:
    """A day of these items, with the passage around one of its spots and other work on it.

    The passage is played `around` few hard bars first; `before_day` is the day before. Where the passage is
    above its tempo nothing else is; `touch` is a cell with a new grip that no item is about.
    """
    figures = tables.figures
    maker = StudyMaker(
        context.notes,
        spots,
        min(1.0, share),
        number,
        course,
        tables,
        minutes,
        context.places,
        left,
        context.drone,
        before_day.passage if before_day else None,
        context.questions,
        touch,
        around,
    )
    spot = spots[(number - 1) % len(spots)]
    widest = partial(_working, spot, share, around=around, context=context, figures=figures)
    return filled_day(number, items, minutes, widest, context.kept, context.notes, figures, maker)
