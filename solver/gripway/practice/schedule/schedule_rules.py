"""Which drills on which day: a small scheduling model, and the order of the drills within a day.

What is planned: every cell has drills in a fixed order, each of some minutes, other ones on each of
the cell's visits as its tempos climb. A day holds drills
with a rest between two of them and long rests, within the player's minutes; one cell gets no
more than `spot_most_min` minutes of it. A cell that is practised on a day gets `visit_drills`
drills at least; a drill is met only when the one before it has been; between two days
with a cell lie no more than `gap_most_days` days without it. No cell gets a new drill before the harder
one ahead of it has had as many, unless that one has reached its tempo. A drill comes on two days running
only where it is music (back into the bar), and where a cell has enough drills on no other day of three, so
that days differ; back into the bar comes on the second visit of a cell, and nothing simpler is new after it;
the last of three days or more may have again what there was before; a cell that has been
at its goal keeps to a few, one that has been there on two days to its last drill, back in the part, and not
on two days running: no gap is too long for it. A drill that ends too far below the tempos of a visit is not
played on it, and nobody waits for it. A day has `day_most_drills` drills at most.
A hold or a stop is not played again on another day. Music may be met once half of the drills before it
have been, what stands in the part once the first two have. A day has no more than `day_new_signs` notes to
read that are new. On the last two days no cell is new, of three or fewer on the last alone; of three days or
more no drill is new on the last but the music of a trill, and a cell has no more than one that is no music;
every cell that was begun is met there, with one drill at least.
The first day has drills where it can.
Interleaved days can be ordered so that no two drills of one cell follow each other.

What is best: the most gain, each cell's part times its weight (load, places, log):
`visit_gain` for a day with the cell, `visit_less_gain` less for each further one, `return_gain` for the
second, as what is begun goes on, `sure_gain` for one on which the cell is sure;
`drill_gain` for each drill met and `again_gain` for each further time (`again_plain_gain` for a plain
one); `last_gain` for the last drill on the last day; `first_gain` for the
first cell, the hardest, on the first day, and for one that was missed, `second_gain` for the first on the
second. All sizes are rows of
tables/practice/figures.csv.
"""

from collections import deque
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gripway.catalog.tables.practice_figures import INTERLEAVED, MIXED, PracticeFigures

SLOT_S = 30
"""Time is planned in slots of half a minute."""


MOST_DRILLS = 1000
"""No cell has so many drills."""

MEETING_DRILLS = 2
"""So many drills a cell is met with."""

MOST_SIGNS = 1_000_000
"""No plan has so much to read."""


@dataclass(frozen=True, slots=True)
class CellWork:
    """What is planned of one cell: its weight, the slots each drill takes, and how many are met already.

    A cell that is `done` has reached its tempo; one that was `missed` comes first again.
    `plain` are drills that a cell is met with, and that are worth little once it is known; those that are
    `daily` may come on two days running; those that are `music` stand in the part. From the visit `kept_from`
    on (none: the last one stated) it has no more than `kept` drills; from the visit `mastered` on the last
    drill alone, and on no two days running.
    `until` says on how many of its visits a drill goes with the tempos (empty, or as many as are stated: on
    all). Drills that are `apart` come once in three days.
    `bar` is the drill back in the bar (None: it has none): on the second visit, and `simple` ones are not new
    after it.
    `signs` say how much there is to read in each drill (empty: 1 each).
    `slots` are those of the first visit, `later` those of the visits after it; the last hold on.
    """

    weight: int
    slots: tuple[int, ...]
    met: int = 0
    later: tuple[tuple[int, ...], ...] = ()
    done: bool = False
    missed: bool = False
    plain: frozenset[int] = frozenset()
    daily: frozenset[int] = frozenset()
    music: frozenset[int] = frozenset()
    kept: int = MOST_DRILLS
    kept_from: int | None = None
    mastered: int = MOST_DRILLS
    signs: tuple[int, ...] = ()
    until: tuple[int, ...] = ()
    apart: frozenset[int] = frozenset()
    bar: int | None = None
    simple: frozenset[int] = frozenset()

    def first_before(self, drill: int) -> int | None:
        """The drill that is met before a drill: the one before it, for music that is not simple one half way.

        Before the bar, and what is not simple beside it, no more than the first two are met. What is too slow
        on visits on which the drill is not holds it up no more.
        """
        half = drill in self.music - self.simple and drill > 1
        place = drill // 2 if half else drill - 1
        if self.bar is not None and drill not in self.simple:
            place = min(place, 1)
        while place >= 0 and self.visits_of(place) < self.visits_of(drill):
            place -= 1
        return place if place >= 0 else None

    def visits_of(self, drill: int) -> int:
        """On how many visits a drill goes with the tempos."""
        stated = not self.until or self.until[drill] >= len(self.visits)
        return MOST_DRILLS if stated else self.until[drill]

    def goes_on(self, visit: int, drill: int) -> bool:
        """Whether a drill goes with the tempos of a visit (from 0), and is of use on it.

        Back into the bar is none of the first visit where three others lead to it, or two it is met with.
        """
        if drill == self.bar and not visit and self.later and not self.met:
            leading = {other for other in range(drill) if self.visits_of(other) > 0}
            if len(leading) > MEETING_DRILLS or len(leading & self.plain) >= MEETING_DRILLS:
                return False
        return visit < self.visits_of(drill) and (visit < self.mastered or drill == len(self.slots) - 1)

    def reads(self, drill: int) -> int:
        """How much there is to read in a drill, 1 where it is not said."""
        return self.signs[drill] if self.signs else 1

    @property
    def once(self) -> frozenset[int]:
        """The drills that come on one day only."""
        return self.plain - self.daily

    def again(self, drill: int, figures: PracticeFigures) -> int:
        """What a further time of a drill is worth."""
        return figures.again_plain_gain if drill in self.plain else figures.again_gain

    @property
    def visits(self) -> tuple[tuple[int, ...], ...]:
        """The slots of each drill, visit by visit, until they no longer change."""
        return (self.slots, *self.later)

    def slots_on(self, visit: int) -> tuple[int, ...]:
        """The slots of each drill on a visit (from 0)."""
        return self.visits[min(visit, len(self.later))]

    def most_on(self, visit: int) -> int:
        """How many drills a visit (from 0) may have."""
        first = len(self.later) if self.kept_from is None else self.kept_from
        return self.kept if visit >= first else len(self.slots)


@dataclass(frozen=True, slots=True)
class TimeFrame:
    """The time there is: days, slots a day without the long rests, and the limits in slots.

    Cells go in turn on `interleaved` days, on `mixed` ones those that have been met on a day before. No more
    than `fresh` signs are new on a day, which has no more than `most` drills.
    """

    days: int
    slots: int
    rest: int
    spot: int
    interleaved: bool
    mixed: bool = False
    fresh: int = MOST_SIGNS
    most: int = MOST_DRILLS


@dataclass(frozen=True, slots=True)
class Schedule:
    """Drills by day as (cell, drill), in the order they are played.

    `gain` is what the plan is worth, `bound` what no plan can exceed: `proved` when they meet.
    """

    days: tuple[tuple[tuple[int, int], ...], ...]
    gain: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no plan is worth more."""
        return self.gain >= self.bound


def frame_of(minutes: int, days: int, order: str, figures: PracticeFigures, kept: float = 0.0) -> TimeFrame:
    """The frame of so many minutes on so many days, `kept` of them and a rest for what is no drill."""
    rests = long_rests(minutes, figures)
    rest = -int(-figures.rest_s // SLOT_S)
    return TimeFrame(
        days=days,
        slots=_slots(_room(minutes, rests, figures)) - (_slots(kept) + rest if kept else 0),
        rest=rest,
        spot=_slots(spot_most(minutes, figures)),
        interleaved=order == INTERLEAVED,
        mixed=order == MIXED,
        fresh=figures.day_new_signs,
        most=most_drills(minutes, figures),
    )


def spot_most(minutes: float, figures: PracticeFigures) -> float:
    """Minutes that one cell has at most on a day of so many."""
    return min(figures.spot_most_min, max(figures.spot_usual_min, figures.spot_share * minutes))


def most_drills(minutes: float, figures: PracticeFigures) -> int:
    """Drills that a day of so many minutes has at most."""
    return figures.day_most_drills + more_things(minutes, figures)


def most_things(minutes: float, figures: PracticeFigures) -> int:
    """Things that a day of so many minutes has at most, the passage among them."""
    return figures.day_most_things + more_things(minutes, figures)


def more_things(minutes: float, figures: PracticeFigures) -> int:
    """How many things more a day of so many minutes may have than one of `day_usual_min`."""
    return int(max(0.0, minutes - figures.day_usual_min) // figures.study_way_min)


def long_rests(minutes: float, figures: PracticeFigures) -> int:
    """How many long rests are kept free for in so many minutes: those that leave most time for work.

    Of as much work with one more rest and without it, the rest is taken.
    """
    most = int(minutes // long_rest_of(minutes, figures))
    return max(range(most + 1), key=lambda rests: (_room(minutes, rests, figures), rests))


def long_rest_of(minutes: float, figures: PracticeFigures) -> int:
    """Minutes of a long rest on a day of so many: a share of it, `long_rest_min` at most."""
    return max(1, min(figures.long_rest_min, int(minutes * figures.long_rest_share)))


def _room(minutes: float, rests: int, figures: PracticeFigures) -> float:
    """Minutes of work and short rests beside so many long rests, no stretch over `long_rest_every_min`.

    Drills are not cut, so a stretch may end before a drill that no longer fits: it has at
    least `sure` minutes with the short rest that its long rest stands for.
    """
    left, half = minutes - rests * long_rest_of(minutes, figures), SLOT_S / 60
    if not rests:
        return min(left, figures.long_rest_every_min)
    sure = figures.long_rest_every_min - figures.item_most_min + half
    return min(left, sure * (rests + 1) + half)


def _slots(minutes: float) -> int:
    return int(minutes * 60 // SLOT_S)


def least_drills(work: CellWork, frame: TimeFrame, figures: PracticeFigures, *, first: bool = False) -> int:
    """Drills a visit has at least: `visit_drills`, or as many of the first as a day can hold.

    No more than go with the tempos of every visit, and come again; the `first` visit has no such bound.
    """
    last = len(work.later)
    drills = range(len(work.slots))
    steady = sum(work.visits_of(drill) > last and drill not in work.once for drill in drills)
    if first:
        steady = sum(work.goes_on(0, drill) for drill in drills[work.met :])
    elif work.bar is not None and not _fits_beside_the_bar(work, frame):
        return 1
    taken, count = 0, 0
    for slots in work.slots:
        taken += slots + (frame.rest if count else 0)
        if taken > min(frame.slots, frame.spot + frame.rest * count):
            break
        count += 1
    return max(1, min(figures.visit_drills, count, steady))


def _fits_beside_the_bar(work: CellWork, frame: TimeFrame) -> bool:
    """Whether a day can hold the drill back in the bar and the shortest other one that comes again."""
    longest = [max(slots) for slots in zip(*work.visits, strict=True)]
    others = [slots for drill, slots in enumerate(longest) if drill != work.bar and drill not in work.once]
    both = longest[work.bar or 0] + min(others, default=0)
    return bool(both + frame.rest <= frame.slots and both <= frame.spot)


def least_on(day: int, least: int, frame: TimeFrame) -> int:
    """Drills a visit on a day has at least: one on the last of several, where every cell is met again."""
    return 1 if 0 < day == frame.days - 1 else least


def bar_comes(work: CellWork, frame: TimeFrame) -> bool:
    """Whether back into the bar comes on the second visit: it goes with its tempos, and into a day."""
    if work.bar is None or work.bar < work.met or not work.goes_on(1, work.bar):
        return False
    return bool(work.slots_on(1)[work.bar] <= min(frame.slots, frame.spot))


def last_to_begin(frame: TimeFrame) -> int:
    """The last day (from 0) on which a cell may be new: the middle one."""
    return middle_day(frame.days) - 1


def middle_day(days: int) -> int:
    """The day (from 1) by which all that is hard has been begun; of two days the first.

    >>> [middle_day(days) for days in (1, 2, 3, 4, 5, 6)]
    [1, 1, 2, 2, 3, 3]
    """
    return (days + 1) // 2


def cell_ahead(cell: int, works: Sequence[CellWork]) -> int | None:
    """The nearest harder cell that still climbs, None for the first and for a cell that is done itself."""
    if works[cell].done:
        return None
    return next((other for other in range(cell - 1, -1, -1) if not works[other].done), None)


def drill_ahead(drill: int, ahead: CellWork, frame: TimeFrame) -> int | None:
    """Which drill of the cell ahead comes first: the same, or its last; None where it was met or is too long.

    A cell with a drill that goes into no day holds nobody up, nor does one that some visits are too fast for.
    """
    other = min(drill, len(ahead.slots) - 1)
    while other >= 0 and ahead.visits_of(other) <= len(ahead.later):
        other -= 1
    if other < 0:
        return None
    long = any(max(slots[: other + 1]) > min(frame.slots, frame.spot) for slots in ahead.visits)
    return None if other < ahead.met or long else other


def turns_on(
    before: Sequence[Sequence[tuple[int, int]]], works: Sequence[CellWork], frame: TimeFrame
) -> set[int]:
    """The cells that go in turn on a day, after those days."""
    if len(works) == 1 or not (frame.interleaved or frame.mixed):
        return set()
    known = {cell for day in before for cell, _ in day} | {c for c, work in enumerate(works) if work.met}
    return set(range(len(works))) if frame.interleaved else known


def lasts_no_longer(slots: Any, drills: Any, frame: TimeFrame) -> Any:
    """Whether so many drills of so many slots go into a day, with the rests between them.

    This rule, the next and the gain are of numbers or of a solver's variables alike.
    """
    return slots + frame.rest * drills <= frame.slots + frame.rest


def can_take_turns(own: Any, everything: Any) -> Any:
    """Whether the drills of a day can be ordered so that the `own` ones of a cell never follow each other."""
    return 2 * own <= everything + 1


def may_be_new(drill: int, day: int, work: CellWork, frame: TimeFrame) -> bool:
    """Whether a drill of a cell that has been met may be new on a day: on the last of three only a trill."""
    trill = work.bar is None and drill in work.music
    return day < frame.days - 1 or frame.days < LAST_FROM_DAYS or trill


LAST_FROM_DAYS = 3
"""Of so many days or more the last has no new drill; a shorter plan would have none after its first day."""


def days_between_visits(figures: PracticeFigures) -> int:
    """From a day with a cell to the next one with it, at most."""
    return figures.gap_most_days + 1


def visit_gain(number: int, work: CellWork, figures: PracticeFigures) -> int:
    """Gain of a cell's visit, the first having number 0; the second has `return_gain` more.

    One on which it is sure has `sure_gain` more: it is not put off.
    """
    more = figures.return_gain * (number == 1) + figures.sure_gain * (number >= work.mastered)
    return more + max(0, figures.visit_gain - number * figures.visit_less_gain)


@dataclass(frozen=True, slots=True)
class CellPlan:
    """What a plan has of one cell, as numbers or as a solver's variables.

    `visits` say whether there is a first visit, a second and so on; `times` how often each drill is played;
    `new` whether a drill not met before is met, by drill. `closes`: the last drill stands on the last day;
    `opens`: the cell is the first or was missed, and on the first day; `goes_on`: the first is on the second.
    """

    visits: Sequence[Any]
    times: Sequence[Any]
    new: Mapping[int, Any]
    closes: Any
    opens: Any
    goes_on: Any = 0


def gain_of_cell(plan: CellPlan, work: CellWork, figures: PracticeFigures) -> Any:
    """What a plan is worth for one cell."""
    gain: Any = sum(visit_gain(number, work, figures) * one for number, one in enumerate(plan.visits))
    for drill, times in enumerate(plan.times):
        gain += work.again(drill, figures) * times
        if drill in plan.new:
            gain += (figures.drill_gain - work.again(drill, figures)) * plan.new[drill]
    gain += figures.last_gain * plan.closes + figures.first_gain * plan.opens
    return work.weight * (gain + figures.second_gain * plan.goes_on)


def gain_of(
    days: Sequence[Sequence[tuple[int, int]]], works: Sequence[CellWork], figures: PracticeFigures
) -> int:
    """What a plan is worth, drills by day as (cell, drill)."""
    total = 0
    for cell, work in enumerate(works):
        drills = [[drill for other, drill in day if other == cell] for day in days]
        times = [sum(day.count(drill) for day in drills) for drill in range(len(work.slots))]
        plan = CellPlan(
            visits=[1] * sum(map(bool, drills)),
            times=times,
            new={drill: int(times[drill] > 0) for drill in range(work.met, len(times))},
            closes=int(len(work.slots) - 1 in drills[-1]),
            opens=int((cell == 0 or work.missed) and bool(drills[0])),
            goes_on=int(cell == 0 and len(drills) > 1 and bool(drills[1])),
        )
        total += gain_of_cell(plan, work, figures)
    return total


def most_gain(works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures) -> int:
    """What no plan is worth more than: every drill of every cell on every day, as if there were time."""
    everything = [(cell, drill) for cell, work in enumerate(works) for drill in range(len(work.slots))]
    willing = replace(figures, again_plain_gain=max(0, figures.again_plain_gain))
    return gain_of([everything] * frame.days, works, willing)


def arranged(
    chosen: Sequence[tuple[int, int]], turns: Collection[int] = (), *, strict: bool = True
) -> tuple[tuple[int, int], ...]:
    """The drills of a day in playing order: first the cells that go in turn, then the others cell by cell.

    Cells and their drills keep their order. In turn, no cell follows itself where that can be: of what
    leaves that open the first cell that has not begun goes next, then the one with the most drills left.
    Where turns are not `strict` every cell first begins in its order, though one may then follow itself.
    """
    blocks = sorted(item for item in chosen if item[0] not in turns)
    by_cell: dict[int, deque[tuple[int, int]]] = {}
    for cell, drill in sorted(item for item in chosen if item[0] in turns):
        by_cell.setdefault(cell, deque()).append((cell, drill))
    ordered: list[tuple[int, int]] = []
    while any(by_cell.values()):
        last = ordered[-1][0] if ordered else None
        left = {cell: len(queue) for cell, queue in by_cell.items() if queue}
        free = [cell for cell in left if cell != last] or [*left]
        begun = {cell for cell, _ in ordered}
        if strict or not left.keys() - begun:
            free = [cell for cell in free if _leaves_turns(cell, left)] or free
        most = max(free, key=lambda cell: (left[cell], -cell))
        ordered.append(by_cell[next((cell for cell in free if cell not in begun), most)].popleft())
    return (*ordered, *blocks)


def _leaves_turns(cell: int, left: Mapping[int, int]) -> bool:
    """Whether, after a drill of this cell, the drills left can be played with no cell after itself."""
    rest = sum(left.values()) - 1
    counts = {**left, cell: left[cell] - 1}
    others = (2 * count <= rest + 1 for each, count in counts.items() if each != cell)
    return 2 * counts[cell] <= rest and all(others)
