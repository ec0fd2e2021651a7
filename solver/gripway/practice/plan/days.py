"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import is_early
from gripway.practice.drills.drill_minutes import item_steps, longest_item, minutes_of, tempos_of
from gripway.practice.drills.drills import IN_THE_PART, LEARN, Drill
from gripway.practice.drills.tempo_ladder import Ladder, sittings
from gripway.practice.plan.course import Course, course_before
from gripway.practice.plan.filled_day import filled_day
from gripway.practice.plan.held_back import (
    HeldBack,
    around_of,
    faster_than,
    least_played,
    left_out_places,
    played_after,
)
from gripway.practice.plan.in_the_part import most_in_the_part
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.plan.schedule_rules import (
    LAST_FROM_DAYS,
    MOST_DRILLS,
    SLOT_S,
    CellWork,
    Schedule,
    TimeFrame,
    spot_most,
)
from gripway.practice.plan.studies import StudyMaker
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.drone import Drone
from gripway.practice.ways.questions import NO_QUESTIONS, Questions
from gripway.practice.ways.spots import HardPlace, Spot, spot_of
from gripway.practice.ways.way_conditions import is_calm, is_singing, runs
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

SIMPLE_KINDS = (*FIRST_KINDS, LEARN, "pair", "before", "after", "around", "added")
"""Kinds that lead to the bar: none of them comes for the first time after it."""

SHORT_KINDS = (IN_THE_PART, "pair")
"""Kinds that stand beside another drill of their cell, or tire: no long ones."""

MEETING_VISITS = 2
"""On so many visits a cell is new: it is met, then goes back into its surroundings."""

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
    mastered = max(mastered, 0 if planned.days_at_goal else MEETING_VISITS)
    kept_from = len(climbs) - 1
    climbs += climbs[-1:] * (min(mastered, frame.days - 1) - kept_from)
    slots, *later = (
        tuple(
            round(_lasts(planned, drill, climb, minutes, tables, sure=visit >= mastered) * 60 / SLOT_S)
            for drill in range(len(planned.drills))
        )
        for visit, climb in enumerate(climbs)
    )
    until = until_of(planned, climbs, figures)
    if until[-1] < len(climbs):  # too slow to come back alone
        mastered = MOST_DRILLS
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
        until=until,
        apart=apart_drills(planned, figures),
        bar=next(_of_kinds(planned, (IN_THE_PART,)), None),
        simple=frozenset(_of_kinds(planned, SIMPLE_KINDS)),
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
    """The drills of a cell that may come on two days running: music, and all but the first where few are."""
    few = len(planned.drills) < 2 * figures.visit_drills
    known = [place for place, drill in enumerate(planned.drills) if drill.kind not in FIRST_KINDS]
    return iter(known or range(len(planned.drills))) if few else _of_kinds(planned, DAILY_KINDS)


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
    if made.kind in SHORT_KINDS:
        longest = min(longest, tables.figures.bar_most_min)
    steps = item_steps(made, planned.ladder, climb, longest, minutes, tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


def _lasts(
    planned: PlannedCell,
    drill: int,
    climb: tuple[int, int],
    minutes: float,
    tables: PracticeTables,
    *,
    sure: bool,
) -> float:
    """Minutes of a drill in a sitting, of one of a cell that is sure at its last tempos alone."""
    steps, lasts = _item(planned, drill, climb, minutes, tables)
    return _still_there(planned, drill, steps, tables.figures)[1] if sure else lasts


@dataclass(frozen=True, slots=True)
class Climbed:
    """How many notches of its ladder a cell has climbed, and on how many days it was at its goal."""

    notches: int = 0
    at_goal: int = 0

    def foot(self, figures: PracticeFigures) -> int:
        """Where the next day with it begins, in notches."""
        return max(0, self.notches - figures.back_notches)

    def is_sure(self, figures: PracticeFigures) -> bool:
        """Whether it was at its goal on `sure_days`."""
        return self.at_goal >= figures.sure_days

    def climb(self, ladder: Ladder, figures: PracticeFigures) -> tuple[int, int]:
        """From which tempo to which the next day climbs."""
        foot = self.foot(figures)
        top = min(len(ladder.steps) - 1, foot + figures.sitting_notches)
        return ladder.steps[foot], ladder.steps[top]

    def sure(self, ladder: Ladder, figures: PracticeFigures) -> int:
        """How many notches up it is sure: at its goal once it was there on `sure_days`."""
        return len(ladder.steps) - 1 if self.is_sure(figures) else self.foot(figures)

    def after(self, planned: PlannedCell, top: int, known: int) -> "Climbed":
        """After a day whose drills went up to a tempo, those that are no holds and stops to a `known` one.

        0 where there are none. A cell whose drills end below its goal is there at the end of these.
        """
        if not top:
            return self
        fastest = [drill.fastest for drill in planned.drills if drill.kind not in FIRST_KINDS]
        goal = min(planned.ladder.goal, max(fastest, default=planned.ladder.goal))
        notches = max(self.notches, sum(step <= top for step in planned.ladder.steps) - 1)
        return Climbed(notches, self.at_goal + (known >= goal))


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
    `questions` what its music asks for; `hard` has the loads of hard changes by the id of
    the note they lead to; `steady`: the tempo
    does not change inside.
    """

    notes: Sequence[Note]
    others: Sequence[HeldBack]
    kept: float
    places: Sequence[HardPlace] = ()
    drone: Drone | None = None
    questions: Questions = NO_QUESTIONS
    cell_bars: Sequence[Sequence[Ends]] = ()
    hard: Mapping[str, float] = field(default_factory=dict)
    steady: bool = True


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
    maker = _DayMaker(found, cells, minutes, first_day, tables, context)
    course = course_before(first_day, [place.first for place in context.places], tables)
    begun = _Begun(tuple(climbed_before(planned) for planned in cells), (0,) * len(cells), {}, course)
    days: list[Day] = []
    for number in range(len(found.days)):
        day, begun = maker.day(number, begun, days)
        days.append(day)
    return tuple(days)


@dataclass(frozen=True, slots=True)
class _Begun:
    """What the days before have brought: how far each cell climbed, on how many visits, and the course.

    `drilled` has the highest tempo of each cell that was drilled, `played` what notes have been played at,
    `met` are the drills that were played, as cell and place.
    """

    climbed: Sequence[Climbed]
    visits: Sequence[int]
    drilled: Mapping[int, int]
    course: Course
    played: Mapping[str, float] = field(default_factory=dict)
    met: frozenset[tuple[int, int]] = frozenset()


@dataclass(frozen=True, slots=True)
class _DayMaker:
    """Makes one day after another of the drills that were `found` for them."""

    found: Schedule
    cells: Sequence[PlannedCell]
    minutes: float
    first_day: int
    tables: PracticeTables
    context: DayContext

    def day(self, number: int, begun: _Begun, days: Sequence[Day]) -> tuple[Day, _Begun]:
        """The next day, and what there is after it.

        What stands in the part is no faster than the rest of its bar and the passage let it: it is made
        slower until that is so, or left out.
        """
        most: dict[int, float] = {}
        while True:
            items = self._items_on(number, begun, days, most)
            day, after = self._day_of(number, items, begun, days)
            limits = most_in_the_part(
                day,
                self.cells,
                after.drilled,
                after.course,
                self.context.notes,
                self.context.places,
                self.tables.figures,
            )
            slower = {cell: limit for cell, limit in limits.items() if limit < most.get(cell, 2.0) - 1e-9}
            if not slower:
                return day, after
            most |= slower

    def _items_on(
        self, number: int, begun: _Begun, days: Sequence[Day], most: Mapping[int, float]
    ) -> list[Item]:
        """The drills of a day, those in the part at no more than a share of their tempo."""
        cells, figures = self.cells, self.tables.figures
        climbs = [sittings(planned.ladder, len(self.found.days), figures) for planned in cells]
        items = _items(
            self._chosen(number, begun),
            cells,
            begun.climbed,
            [each[visit] for each, visit in zip(climbs, begun.visits, strict=True)],
            most,
            {item.cell: item.end for day in days for item in day.items if _is_in_part(item, cells)},
            self.minutes,
            self.tables,
        )
        near = {drill for day in self.found.days[max(0, number - 1) : number + 2] for _, drill in day}
        near |= {item.drill for item in days[-1].items} if days else set()
        last = number == len(self.found.days) - 1
        if len(cells) == 1 and not last and not begun.climbed[0].is_sure(figures):
            more = _one_more(items, cells[0], near, days, self.minutes, self.tables)
            items = sorted((*items, *more), key=lambda item: item.drill) if more else items
        return items

    def _chosen(self, number: int, begun: _Begun) -> list[tuple[int, int]]:
        """The drills that were found for a day; where these leave most of it, known cells in their bars too.

        Those come that are not sure and that the day has not, the hardest first, as many as half of it holds.
        """
        chosen, climbs = list(self.found.days[number]), begun.climbed
        climb = [
            each.climb(cell.ladder, self.tables.figures)
            for each, cell in zip(climbs, self.cells, strict=True)
        ]

        def lasts(cell: int, drill: int) -> float:
            return (
                _item(self.cells[cell], drill, climb[cell], self.minutes, self.tables)[1]
                + self.tables.figures.rest_s / 60
            )

        room = self.minutes / 2 - sum(lasts(*each) for each in chosen)
        for cell, planned in enumerate(self.cells):
            bar = next((place for place, each in enumerate(planned.drills) if each.kind == IN_THE_PART), None)
            known = begun.visits[cell] and not climbs[cell].is_sure(self.tables.figures)
            if bar is None or not known or any(cell == other for other, _ in chosen):
                continue
            if (cell, bar) in begun.met and lasts(cell, bar) <= room:
                chosen.append((cell, bar))
                room -= lasts(cell, bar)
        return chosen if len(chosen) == len(self.found.days[number]) else sorted(chosen)

    def _day_of(
        self, number: int, items: Sequence[Item], begun: _Begun, days: Sequence[Day]
    ) -> tuple[Day, _Begun]:
        """The day of these items, with the passage at the tempo at which they let it go."""
        cells, context, figures = self.cells, self.context, self.tables.figures
        today = _drilled(items, cells)
        known = _drilled([each for each in items if not _is_first(each, cells)], cells)
        there = {item.cell for item in items} | {cell for cell, _ in self.found.days[number]}
        visits = [visit + (cell in there) for cell, visit in enumerate(begun.visits)]
        climbed = [
            each.after(planned, today.get(cell, 0), known.get(cell, 0))
            for cell, (each, planned) in enumerate(zip(begun.climbed, cells, strict=True))
        ]
        ups = [
            max(number * figures.cell_notches, each.sure(planned.ladder, figures))
            for planned, each in zip(cells, climbed, strict=True)
        ]
        drilled = {**begun.drilled}
        drilled |= {cell: max(tempo, drilled.get(cell, 0)) for cell, tempo in today.items()}
        shares = [
            *_cell_shares(cells, ups, drilled, context),
            *((each.share_at(number, figures), each.bars) for each in context.others),
        ]
        left = len(self.found.days) - number
        share = _no_leap(min((each for each, _ in shares), default=1.0), left, days, figures)
        share = _above(share, left, cells, days, context, figures)
        before = days[-1] if days else None
        around = around_of(
            shares, share, before.passage if before else None, context.notes, context.hard, figures
        )
        met = list(dict.fromkeys(item.cell for item in items)) or [0]
        new = [cell for cell, planned in enumerate(cells) if planned.learns and visits[cell]]
        make = partial(
            _day,
            self.first_day + number,
            items,
            self.minutes,
            [spot_of(cell, cells[cell].cell) for cell in met],
            touch=next((spot_of(cell, cells[cell].cell) for cell in new if cell not in met), None),
            course=begun.course,
            context=context,
            tables=self.tables,
            left=left,
            before_day=before,
            is_kept=all(begun.climbed[item.cell].is_sure(figures) for item in items),
            held=tuple(zip([planned.cell for planned in cells], context.cell_bars, strict=True)),
            rebuilt=frozenset(
                bar for item in items if _is_in_part(item, cells) for bar in context.cell_bars[item.cell]
            ),
        )
        day = _no_faster(make, share, around, begun, context, figures)
        played = played_after(begun.played, [*day.studies, day.passage], context.notes)
        course = begun.course.after(day.day, day.studies)
        drills = begun.met | {(item.cell, item.drill) for item in items}
        return day, _Begun(climbed, visits, drilled, course, played, drills)


def _items(
    chosen: Sequence[tuple[int, int]],
    cells: Sequence[PlannedCell],
    climbed: Sequence[Climbed],
    planned_climbs: Sequence[tuple[int, int]],
    most_shares: Mapping[int, float],
    in_part: Mapping[int, int],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """The drills of a day with their tempos: each of a cell goes on where the one before it ended.

    What stands in the part begins no higher than it ended the last time (`in_part`, by the cell).
    What stands in the part goes no more than `part_notches` beyond them, or of what was known
    before; to no more than one of `most_shares` of its tempo, and not at all where that is below what the
    cell begins with. None takes longer than with the climb it was planned with.
    """
    reached: dict[int, int] = {}
    items = []
    for cell, drill in chosen:
        planned, figures = cells[cell], tables.figures
        ladder, made = planned.ladder, planned.drills[drill]
        foot, top = (ladder.steps.index(tempo) for tempo in climbed[cell].climb(ladder, figures))
        count = tempos_of(made, minutes, tables)
        first = min(reached.get(cell, foot), max(foot, top + 1 - max(count, figures.back_notches + 1)))
        last = top
        if made.kind == IN_THE_PART and cell in in_part:
            first = min(first, max(0, sum(step <= in_part[cell] for step in ladder.steps) - 1))
        if cell in reached and made.kind == IN_THE_PART:
            last = min(
                top,
                max(
                    first, reached[cell] + figures.part_notches, climbed[cell].notches + figures.part_notches
                ),
            )
        if made.kind == IN_THE_PART and cell in most_shares:
            last = min(last, sum(step <= most_shares[cell] * ladder.target for step in ladder.steps) - 1)
            if last < 0:
                continue
            first = min(first, last)
        most = _item(planned, drill, planned_climbs[cell], minutes, tables)[1]
        climb = (ladder.steps[first], ladder.steps[last])
        steps, lasts = _item(planned, drill, climb, minutes, tables, most)
        if climbed[cell].is_sure(figures):
            steps, lasts = _still_there(planned, drill, steps, figures)
        items.append(Item(cell, drill, lasts, steps))
        if not made.free:
            reached[cell] = max(reached.get(cell, foot), sum(step <= steps[-1] for step in ladder.steps) - 1)
    kept = [_in_a_sitting(item, items, cells[item.cell], minutes, tables) for item in items]
    return [_in_strides(item, kept[:place], cells[item.cell], tables) for place, item in enumerate(kept)]


def _still_there(
    planned: PlannedCell, drill: int, steps: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[int, ...], float]:
    """A drill of a cell that has been at its goal: its last `sure_tempos`, and what they take."""
    last = tuple(steps[-figures.sure_tempos :])
    return last, minutes_of(planned.drills[drill], planned.ladder, last, figures)


def _in_strides(item: Item, before: Sequence[Item], planned: PlannedCell, tables: PracticeTables) -> Item:
    """A drill at every second tempo where one of its cell has gone through as many before it that day."""
    figures, steps = tables.figures, item.steps
    ladders = [each.steps for each in before if each.cell == item.cell]
    if len(steps) < figures.stride_from_tempos or not any(len(each) >= len(steps) for each in ladders):
        return item
    between = [step for step in planned.ladder.steps if steps[0] <= step <= steps[-1]]
    thinned = tuple(sorted({steps[0], *between[::-2]}))
    if len(thinned) >= len(steps):
        return item
    made = planned.drills[item.drill]
    return replace(item, steps=thinned, minutes=minutes_of(made, planned.ladder, thinned, figures))


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


def _is_in_part(item: Item, cells: Sequence[PlannedCell]) -> bool:
    """Whether a drill is the bar itself, as it stands in the part."""
    return cells[item.cell].drills[item.drill].kind == IN_THE_PART


def _is_first(item: Item, cells: Sequence[PlannedCell]) -> bool:
    """Whether a drill is one that a cell is met with."""
    return cells[item.cell].drills[item.drill].kind in FIRST_KINDS


def _drilled(items: Sequence[Item], cells: Sequence[PlannedCell]) -> dict[int, int]:
    """Up to which tempo the cells of a day are drilled on it."""
    found: dict[int, int] = {}
    for item in items:
        if not cells[item.cell].drills[item.drill].free:
            found[item.cell] = max(item.end, found.get(item.cell, 0))
    return found


def _cell_shares(
    cells: Sequence[PlannedCell],
    ups: Sequence[int],
    drilled: Mapping[int, int],
    context: DayContext,
) -> Iterator[tuple[float, Sequence[Ends]]]:
    """The share of its tempo at which each cell lets the passage go, so many notches up, and its hard bars.

    No more than it is `drilled` to by then, unless it is drilled as an ornament: then its bars have no other
    tempo than the rest, as they are played without that.
    """
    for cell, (planned, up, bars) in enumerate(zip(cells, ups, context.cell_bars, strict=True)):
        if planned.holds_back:
            ladders = [planned.ladder, *([planned.plain] if planned.plain else [])]
            tempo = max(ladder.steps[min(up, len(ladder.steps) - 1)] for ladder in ladders)
            most = tempo if planned.plain else drilled.get(cell, tempo)
            yield min(tempo, most) / planned.ladder.target, () if planned.plain else bars


def _no_leap(share: float, left: int, days: Sequence[Day], figures: PracticeFigures) -> float:
    """The share of its tempo that the passage has: `passage_notches` over the day before at most, no less.

    On the last of three days or more `closing_notches` at most. `left` are the days with this.
    """
    if not days or days[-1].passage is None:
        return min(1.0, share)
    last = min(1.0, days[-1].passage.share)
    closes = left == 1 and len(days) >= LAST_FROM_DAYS - 1
    notches = figures.closing_notches if closes else figures.passage_notches
    return max(last, min(1.0, share, last * (1 + figures.notch_share) ** notches))


def _above(
    share: float,
    left: int,
    cells: Sequence[PlannedCell],
    days: Sequence[Day],
    context: DayContext,
    figures: PracticeFigures,
) -> float:
    """The share of a passage at its tempo since the day before: above it on the two days before the last.

    Only where nothing is really hard, and fast music has one tempo and no word of song or calm. `left` are
    the days with this.
    """
    before = days[-1].passage.share if days and days[-1].passage else 0.0
    easy = not context.others and all(each.cell.load <= figures.above_most_load for each in cells)
    if share < 1 or before < 1 or left not in ABOVE_LEFT or not easy or not context.steady:
        return share
    if not runs(context.notes, figures) or is_singing(context.notes, figures) or is_calm(context.notes):
        return share
    return before + figures.above_share


ABOVE_LEFT = (2, 3)
"""With so many days left a passage that is at its tempo is played above it."""


def _no_faster(
    make: Callable[..., Day],
    share: float,
    around: Around | None,
    begun: _Begun,
    context: DayContext,
    figures: PracticeFigures,
) -> Day:
    """A day whose passage is no faster than the hard bars have been worked at by then: slower if need be.

    Nor is it faster without those that are left out than the other hard bars have been, nor more than
    `around_ahead_notches` beyond what any other bar has been. `make` makes it with a share, and with what is
    left out.
    """
    places = [place for place in context.places if place.holds_back]
    while True:
        day = make(share=share, around=around)
        kept = [each for each in places if around and not around.leaves_out(each.first, each.last)]
        wanted = {each.first: around.share for each in kept if around}
        wanted |= {each.first: min(1.0, share) for each in places if each not in kept}
        behind = begun.course.after(day.day, day.studies).behind(wanted)
        slow = [behind[each.first] for each in kept if each.first in behind]
        if around:
            ahead = (1 + figures.notch_share) ** figures.around_ahead_notches
            played = played_after(begun.played, day.studies, context.notes)
            slow.append(ahead * least_played(around, played, context.notes))
        if around and min(slow) < around.share - 1e-9:
            around = faster_than(share, replace(around, share=min(slow)), figures)
        elif behind and (
            whole := [behind[each.first] for each in places if each not in kept and each.first in behind]
        ):
            share = min(whole)
        else:
            return day


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
    is_kept: bool = False,
    held: Sequence[tuple[Cell, Sequence[Ends]]] = (),
    rebuilt: Collection[Ends] = (),
) -> Day:
    """A day of these items, with the passage around one of its spots and other work on it.

    The passage is played `around` few hard bars first; `before_day` is the day before. Where the passage is
    above its tempo nothing else is; `touch` is a cell with a new grip that no item is about; `held` are the
    cells with the bars they are hard in, `rebuilt` those bars that a drill of the day is.
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
        is_kept,
        left_out_places(around, held, context.notes, figures),
        frozenset(rebuilt),
    )
    spot = spots[(number - 1) % len(spots)]
    widest = partial(_working, spot, share, around=around, context=context, figures=figures)
    return filled_day(number, items, minutes, widest, context.kept, context.notes, figures, maker)
