"""The days of a plan: cells and ladders to the scheduling model, and its answer to items with tempos."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.effort.load import LATE
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.tempo_ladder import sittings
from gripway.practice.plan.cell_work import FIRST_KINDS, MEETING_VISITS, signs_of, sitting_of
from gripway.practice.plan.course import Course, course_before
from gripway.practice.plan.day_items import (
    Climbed,
    climbed_before,
    day_items,
    drilled_to,
    is_first,
    is_in_part,
    one_more,
    ready_of,
)
from gripway.practice.plan.easy_cells import is_hard_trill, is_light
from gripway.practice.plan.filled_day import filled_day
from gripway.practice.plan.held_back import (
    HeldBack,
    around_of,
    left_out_places,
    played_after,
    still_around,
)
from gripway.practice.plan.in_the_part import most_in_the_part
from gripway.practice.plan.passage_tempo import goes_on_around, no_faster, no_leap
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.schedule.schedule_rules import (
    Schedule,
    most_drills,
)
from gripway.practice.studies.studies import StudyMaker
from gripway.practice.studies.study_day import Found
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.drone import Drone
from gripway.practice.ways.questions import NO_QUESTIONS, Questions
from gripway.practice.ways.spots import HardPlace, Spot, spot_of
from gripway.practice.ways.whole_passage import (
    Working,
    bar_of,
    is_long,
    minutes_for,
    seconds_of,
    share_of,
    working_at,
)


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
    the note they lead to. `found` is what all days share.
    """

    notes: Sequence[Note]
    others: Sequence[HeldBack]
    kept: float
    places: Sequence[HardPlace] = ()
    drone: Drone | None = None
    questions: Questions = NO_QUESTIONS
    cell_bars: Sequence[Sequence[Ends]] = ()
    hard: Mapping[str, float] = field(default_factory=dict)
    found: Found = field(default_factory=Found)


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

        Where it leaves time before the passage is at its tempo it has one more drill of a cell that it has.
        On the first day at its tempo what is hard has its drills in the part, where else it would be `bare`.
        """
        figures, chosen = self.tables.figures, self._chosen(number, begun)
        made = self._made(number, chosen, begun, days)
        if self._is_bare(made[0], days):
            made = self._made(number, self._chosen(number, begun, bare=True), begun, days)
        day = made[0]
        last = number == len(self.found.days) - 1
        climbs = not last and day.passage is not None and day.passage.share < 1
        if not climbs or day.minutes >= (1 - figures.free_share) * self.minutes:
            return made
        for known in self._known(number, begun, chosen):
            fuller = self._made(number, sorted([*chosen, known]), begun, days)
            if day.minutes < fuller[0].minutes <= self.minutes:
                return fuller
        return made

    def _known(
        self, number: int, begun: _Begun, chosen: Sequence[tuple[int, int]]
    ) -> Iterator[tuple[int, int]]:
        """The other drills of a day's cells that are not done, those that were met first; no first steps.

        Nor those that end below where the cell begins by now, nor more than can be read for the first time.
        """
        figures = self.tables.figures
        if len(chosen) >= most_drills(self.minutes, figures):
            return
        beside = {each for day in self.found.days[max(0, number - 1) : number + 2] for each in day}
        read = self._read(chosen, begun)
        new = {
            (cell, drill)
            for cell, _ in chosen
            if (drill := self._next_of(cell, begun, chosen)) is not None
            and read + signs_of(self._drill(cell, drill), figures) <= figures.day_new_signs
        }
        for cell, drill in (*sorted(begun.met - beside - {*chosen}), *sorted(new - beside)):
            done = self._is_done(cell, begun.climbed[cell])
            here = any(cell == other for other, _ in chosen)
            made = self._drill(cell, drill)
            slow = made.fastest < begun.climbed[cell].climb(self.cells[cell].ladder, figures)[0]
            if here and not done and not slow and made.kind not in FIRST_KINDS:
                yield cell, drill

    def _read(self, chosen: Sequence[tuple[int, int]], begun: _Begun) -> int:
        """How much there is to read in drills that no day before had."""
        return sum(signs_of(self._drill(*each), self.tables.figures) for each in {*chosen} - begun.met)

    def _drill(self, cell: int, drill: int) -> Drill:
        return self.cells[cell].drills[drill]

    def _next_of(self, cell: int, begun: _Begun, chosen: Sequence[tuple[int, int]]) -> int | None:
        """The first drill of a cell that no day had yet."""
        had = begun.met | {*chosen}
        return next((at for at in range(len(self.cells[cell].drills)) if (cell, at) not in had), None)

    def _made(
        self, number: int, chosen: Sequence[tuple[int, int]], begun: _Begun, days: Sequence[Day]
    ) -> tuple[Day, _Begun]:
        """The next day of these drills, and what there is after it.

        What stands in the part is no faster than the rest of its bar and the passage let it: it is made
        slower until that is so, or left out. In time that a day leaves it goes further up.
        """
        most: dict[int, float] = {}
        longer: dict[int, float] = {}
        while True:
            items = self._items_on(number, chosen, begun, days, most, longer)
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
            if not slower and (longer or not (longer := self._longer(day))):
                return day, after
            most |= slower

    def _longer(self, day: Day) -> dict[int, float]:
        """Minutes that drills in the part may take that end below their goal, in time that is left."""
        left = self.minutes - day.minutes
        if left < self.tables.figures.item_least_min:
            return {}
        below = [
            item
            for item in day.items
            if is_in_part(item, self.cells) and item.end < self.cells[item.cell].ladder.goal
        ]
        return {item.cell: item.minutes + left / len(below) for item in below}

    def _items_on(
        self,
        number: int,
        chosen: Sequence[tuple[int, int]],
        begun: _Begun,
        days: Sequence[Day],
        most: Mapping[int, float],
        longer: Mapping[int, float],
    ) -> list[Item]:
        """The drills of a day, those in the part at `most` a share of their tempo, and perhaps `longer`."""
        cells, figures = self.cells, self.tables.figures
        climbs = [sittings(planned.ladder, len(self.found.days), figures) for planned in cells]
        items = day_items(
            chosen,
            cells,
            self._from_where(chosen, begun),
            [each[visit] for each, visit in zip(climbs, begun.visits, strict=True)],
            most,
            {item.cell: item.end for day in days for item in day.items if is_in_part(item, cells)},
            longer,
            self.minutes,
            self.tables,
        )
        near = {drill for day in self.found.days[max(0, number - 1) : number + 2] for _, drill in day}
        near |= {item.drill for item in days[-1].items} if days else set()
        last = number == len(self.found.days) - 1
        if len(cells) == 1 and not last and not begun.climbed[0].is_sure(figures):
            more = one_more(items, cells[0], near, days, self.minutes, self.tables)
            items = sorted((*items, *more), key=lambda item: item.drill) if more else items
        return items

    def _from_where(self, chosen: Sequence[tuple[int, int]], begun: _Begun) -> list[Climbed]:
        """How far each cell is: a hard trill with a drill that is new not yet sure, and further down."""
        figures = self.tables.figures
        new = {cell for cell, _ in {*chosen} - begun.met if is_hard_trill(self.cells[cell], figures)}
        return [
            replace(each, notches=each.foot(figures), at_goal=0) if cell in new else each
            for cell, each in enumerate(begun.climbed)
        ]

    def _is_done(self, cell: int, climbed: Climbed) -> bool:
        """Whether a cell needs no drill more than are planned: it is sure, or easy and was at its goal.

        What has no time to spare was there once more: on the day after it is as new as before.
        """
        figures = self.tables.figures
        once_more = self.cells[cell].cell.load > LATE
        sure = climbed.at_goal >= figures.sure_days + once_more
        return sure or bool(climbed.at_goal and is_light(self.cells[cell], figures))

    def _is_bare(self, day: Day, days: Sequence[Day]) -> bool:
        """Whether a day is the first at the tempo of the passage, has no drills, and is half empty."""
        climbed = days and days[-1].passage and days[-1].passage.share < 1
        ready = day.passage is not None and day.passage.share >= 1
        return bool(climbed) and ready and not day.items and day.minutes <= self.minutes / 2

    def _chosen(self, number: int, begun: _Begun, *, bare: bool = False) -> list[tuple[int, int]]:
        """The drills that were found for a day; where these leave most of it, known cells in their bars too.

        Those come that are not sure and that the day has not, the hardest first, as many as half of it holds.
        An easy one that has been at its goal and in its bar comes once more, on the last of its days. A
        `bare` day has all of them, sure or not.
        """
        climbs = begun.climbed
        later = {cell for day in self.found.days[number + 1 :] for cell, _ in day}
        done = {
            cell
            for cell in later
            if climbs[cell].at_goal
            and begun.visits[cell] >= MEETING_VISITS
            and is_light(self.cells[cell], self.tables.figures)
        }
        chosen = [item for item in self.found.days[number] if item[0] not in done]
        climb = [
            each.climb(cell.ladder, self.tables.figures)
            for each, cell in zip(climbs, self.cells, strict=True)
        ]

        def lasts(cell: int, drill: int) -> float:
            return (
                sitting_of(self.cells[cell], drill, climb[cell], self.minutes, self.tables)[1]
                + self.tables.figures.rest_s / 60
            )

        room = self.minutes / 2 - sum(lasts(*each) for each in chosen)
        most = most_drills(self.minutes, self.tables.figures)
        for cell in range(len(self.cells)):
            if not begun.visits[cell] or any(cell == other for other, _ in chosen):
                continue
            for drill in self._coming_back(cell, begun, bare=bare):
                read = self._read([*chosen, (cell, drill)], begun)
                readable = read <= self.tables.figures.day_new_signs
                if len(chosen) < most and lasts(cell, drill) <= room and readable:
                    chosen.append((cell, drill))
                    room -= lasts(cell, drill)
        return chosen if {*chosen} <= {*self.found.days[number]} else sorted(chosen)

    def _coming_back(self, cell: int, begun: _Begun, *, bare: bool) -> Sequence[int]:
        """The drills with which a known cell comes on a day that has room: that in its bar, if it was met.

        None where it is sure, but on a `bare` day. A trill has no bar: what is new of a hard one comes.
        """
        planned = self.cells[cell]
        known = [(cell, drill) in begun.met for drill in range(len(planned.drills))]
        if is_hard_trill(planned, self.tables.figures):
            return [drill for drill, met in enumerate(known) if not met]
        if self._is_done(cell, begun.climbed[cell]) and not bare:
            return ()
        return [drill for drill, met in enumerate(known) if met and planned.drills[drill].kind == IN_THE_PART]

    def _day_of(
        self, number: int, items: Sequence[Item], begun: _Begun, days: Sequence[Day]
    ) -> tuple[Day, _Begun]:
        """The day of these items, with the passage at the tempo at which they let it go."""
        cells, context, figures = self.cells, self.context, self.tables.figures
        today = drilled_to(items, cells)
        known = drilled_to([each for each in items if not is_first(each, cells)], cells)
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
        rebuilt = {
            bar_of(context.notes, cells[item.cell].cell.place): item.end / cells[item.cell].ladder.target
            for item in items
            if is_in_part(item, cells) and context.notes[cells[item.cell].cell.place].bar
            if (made := cells[item.cell].drills[item.drill]).in_bar and not made.bar
        }
        shares = [
            *_cell_shares(cells, ups, drilled, context),
            *((_other_share(each, number, rebuilt, figures), each.bars) for each in context.others),
        ]
        left = len(self.found.days) - number
        share = no_leap(
            min((each for each, _ in shares), default=1.0), left, days, figures, holds=bool(shares)
        )
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
            rebuilt=rebuilt,
            ready=ready_of(cells, drilled, context.notes),
        )
        had = before.passage.around if before and before.passage else None
        brought = begun.course, begun.played, rebuilt, context.notes, context.places, figures, had
        day = no_faster(make, share, around, *brought)
        still = still_around(shares, share, had, figures)
        if had and still and not goes_on_around(had, day):
            day = no_faster(make, share, still, *brought, least=had.share)
        played = played_after(begun.played, [*day.studies, day.passage], context.notes)
        course = begun.course.after(day.day, day.studies, rebuilt)
        drills = begun.met | {(item.cell, item.drill) for item in items}
        return day, _Begun(climbed, visits, drilled, course, played, drills)


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


def _other_share(
    other: HeldBack, number: int, rebuilt: Mapping[Ends, float], figures: PracticeFigures
) -> float:
    """The share of its tempo that a hard change without drills lets the passage have after so many days.

    It is that of a drill of the day where this is its bar.
    """
    drilled = min((rebuilt.get(bar, 0.0) for bar in other.bars), default=0.0)
    return min(1.0, max(other.share_at(number, figures), drilled))


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
        before = days[-1] if days else None
        days.append(_day(number, (), minutes, spots, 1.0, None, course, context, tables, left, before))
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
    rebuilt: Mapping[Ends, float] | None = None,
    ready: Mapping[str, float] | None = None,
) -> Day:
    """A day of these items, with the passage around one of its spots and other work on it.

    The passage is played `around` few hard bars first; `before_day` is the day before; `touch` is a cell with
    a new grip that no item is about; `held` are the cells with the bars they are hard in, `rebuilt` those
    bars that a drill of the day is, with its share; `ready` how far cells are by the notes they lead to.
    """
    figures = tables.figures
    maker = StudyMaker(
        context.notes,
        spots,
        share,
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
        rebuilt or {},
        context.found,
        ready or {},
    )
    spot = spots[(number - 1) % len(spots)]
    widest = partial(_working, spot, share, around=around, context=context, figures=figures)
    return filled_day(number, items, minutes, widest, context.kept, context.notes, figures, maker)
