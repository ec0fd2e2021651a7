"""A plan made in one pass, the hardest cells first: the solver begins with it and falls back on it."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from functools import partial

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.schedule.schedule_rules import (
    LAST_FROM_DAYS,
    CellWork,
    TimeFrame,
    bar_comes,
    can_take_turns,
    cell_ahead,
    days_between_visits,
    drill_ahead,
    last_to_begin,
    lasts_no_longer,
    least_drills,
    least_on,
    may_be_new,
)

Drills = list[tuple[int, int]]
Days = list[Drills]


def greedy(works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures) -> Days:
    """Drills by day, each cell's in order: every rule is kept, the most gain is not sought.

    A cell that the last day would not meet again is not begun.
    """
    out: set[int] = set()
    while True:
        days = _without(out, works, frame, figures)
        begun = {cell for day in days for cell, _ in day}
        lost = begun - {cell for cell, _ in days[-1]}
        if not lost:
            return days
        out.add(max(lost))


def _without(
    out: Collection[int], works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures
) -> Days:
    """Drills by day without some of the cells."""
    met = [work.met for work in works]
    visits = [0] * len(works)
    last: list[int | None] = [None] * len(works)
    leasts = [[least_drills(work, frame, figures, first=first) for work in works] for first in (False, True)]
    days: Days = []
    for day in range(frame.days):
        free = [
            cell
            for cell in range(len(works))
            if cell not in out
            if (then := last[cell]) is None
            or day - then <= days_between_visits(figures)
            or visits[cell] >= works[cell].mastered
            if met[cell] or day <= last_to_begin(frame)
            if not (last[cell] == day - 1 and visits[cell] > works[cell].mastered)
            if day != frame.days - 2 or visits[cell] < works[cell].mastered
        ]
        today = [
            replace(work, slots=work.slots_on(visit), later=(), kept=work.most_on(visit))
            for work, visit in zip(works, visits, strict=True)
        ]
        wanted = partial(
            _wanted, works=works, met=tuple(met), frame=frame, before=tuple(days), visits=tuple(visits)
        )
        enough = [
            1 if visits[cell] >= works[cell].mastered else least_on(day, leasts[not met[cell]][cell], frame)
            for cell in range(len(works))
        ]
        closes = 0 < day == frame.days - 1 and frame.days >= LAST_FROM_DAYS
        chosen = _day(free, today, partial(wanted, day=day), frame, enough, tuple(met), closes=closes)
        for cell in {cell for cell, _ in chosen}:
            visits[cell] += 1
        for cell, drill in chosen:
            met[cell], last[cell] = max(met[cell], drill + 1), day
        days.append(chosen)
    return days


def _day(
    rank: Sequence[int],
    works: Sequence[CellWork],
    wanted: Callable[[int, Drills], list[int]],
    frame: TimeFrame,
    leasts: Sequence[int],
    met: Sequence[int],
    *,
    closes: bool,
) -> Drills:
    """First the least a visit needs of each cell while there is room, then one drill more of each in turn.

    A day that `closes` has one drill of each cell that is no music, at most.
    """
    turns = frame.interleaved and len(works) > 1
    chosen: Drills = []
    for cell in rank:
        least = leasts[cell]
        more = [(cell, drill) for drill in wanted(cell, chosen)[:least]]
        if (
            len(more) == least
            and _fits(chosen + more, works, frame)
            and _fresh(chosen + more, met, works, frame)
        ):
            chosen += more
    if turns and not _in_turns(chosen):
        return []
    for cell in [cell for cell in rank if any(cell == other for other, _ in chosen)]:
        for drill in wanted(cell, chosen):
            if (cell, drill) in chosen:
                continue
            if sum(cell == other for other, _ in chosen) >= works[cell].kept:
                break
            music = works[cell].music
            if closes and drill not in music and any(c == cell and d not in music for c, d in chosen):
                continue
            more = [*chosen, (cell, drill)]
            if not _fits(more, works, frame) or (turns and not _in_turns(more)):
                break
            if _fresh(more, met, works, frame):
                chosen = more
    return chosen


def _reach(
    cell: int,
    chosen: Drills,
    works: Sequence[CellWork],
    met: Sequence[int],
    frame: TimeFrame,
    visits: Sequence[int],
) -> int:
    """How many drills of a cell may have been met by the end of the day: no more than the cell ahead has.

    One that has been at its goal on two days holds nobody up.
    """
    ahead, count = cell_ahead(cell, works), met[cell]
    if ahead is not None and visits[ahead] >= works[ahead].mastered:
        ahead = None
    while ahead is not None and count < len(works[cell].slots):
        other = drill_ahead(count, works[ahead], frame)
        if other is not None and other >= met[ahead] and (ahead, other) not in chosen:
            return count
        count += 1
    return len(works[cell].slots)


def _wanted(
    cell: int,
    chosen: Drills,
    works: Sequence[CellWork],
    met: Sequence[int],
    frame: TimeFrame,
    before: Sequence[Drills],
    visits: Sequence[int],
    day: int,
) -> list[int]:
    """The drills of a cell not met yet in order, then those met, the latest first; not those of `before`.

    Back into the bar is the first on the second visit; nothing simpler is new after it.
    """
    work, reach = works[cell], _reach(cell, chosen, works, met, frame, visits)
    played = [{drill for c, drill in drills if c == cell} for drills in before]
    rested = set[int]().union(*played[-1:]) - work.daily
    rested |= set[int]().union(*played[-2:]) & work.apart
    known = {*range(work.met)}.union(*played)
    if day == frame.days - 1 and frame.days >= LAST_FROM_DAYS:
        rested = set()
    goes = [drill for drill in range(reach) if work.goes_on(visits[cell], drill)]
    if visits[cell] >= work.mastered:
        goes = [drill for drill in goes if (first := work.first_before(drill)) is None or first < met[cell]]
    again = [drill for drill in reversed(goes) if drill < met[cell]]
    again = [drill for drill in again if drill not in work.once and drill not in rested]
    again = [drill for drill in again if drill in known or drill not in work.simple]
    new = [drill for drill in goes if drill >= met[cell] and may_be_new(drill, day, work, frame)]
    if visits[cell] == 1 and work.bar in new and bar_comes(work, frame):
        new = sorted(new, key=lambda drill: drill != work.bar)
    return [*new, *again]


def _fits(chosen: Sequence[tuple[int, int]], works: Sequence[CellWork], frame: TimeFrame) -> bool:
    """Whether the day and each cell's part of it are long enough."""
    spots: dict[int, int] = {}
    for cell, drill in chosen:
        spots[cell] = spots.get(cell, 0) + works[cell].slots[drill]
    fits: bool = lasts_no_longer(sum(spots.values()), len(chosen), frame)
    return fits and len(chosen) <= frame.most and max(spots.values()) <= frame.spot


def _fresh(chosen: Drills, met: Sequence[int], works: Sequence[CellWork], frame: TimeFrame) -> bool:
    """Whether no more is new to read than a day may have."""
    return sum(works[cell].reads(drill) for cell, drill in chosen if drill >= met[cell]) <= frame.fresh


def _in_turns(chosen: Sequence[tuple[int, int]]) -> bool:
    """Whether the drills can be ordered so that no cell follows itself."""
    cells = [cell for cell, _ in chosen]
    return all(can_take_turns(cells.count(cell), len(cells)) for cell in set(cells))
