"""One day: its drills, the passage in what they leave of it, and where the long rests come."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations, pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.plan import Day, Item
from gripway.practice.schedule.schedule_rules import long_rest_of, most_things
from gripway.practice.studies.studies import StudyMaker
from gripway.practice.ways.whole_passage import Working, played

PASSAGE_SHARE = 0.4
"""The passage as a whole has no more of a day than this (judgement)."""

ARRIVING_TIMES = 2
"""So often the passage is played where the last day is the first at its tempo (judgement)."""

WHOLE_LEFT = 2
"""With so many days left the passage is played whole where the day has time for it, all bars of it."""


def filled_day(
    number: int,
    items: Sequence[Item],
    minutes: float,
    widest: Callable[[float], Working | None],
    kept: float,
    notes: Sequence[Note],
    figures: PracticeFigures,
    studies: StudyMaker | None = None,
) -> Day:
    """A day of these items, then work on the passage in other ways, and the passage itself.

    `widest` gives the notes around the day's first cell that are played once in so many minutes: tried
    are those `kept` for it, all that the drills leave, and these without a long rest. Most of the day
    is used. `studies` fill what is left; only then the passage comes more often.
    """
    pause = long_rest_of(minutes, figures)
    plain = _rested(Day(number, tuple(items), figures.rest_s, (), pause), figures)
    left = minutes - replace(plain, long_rests=()).minutes - figures.rest_s / 60 * bool(items)
    sizes = (min(kept, left), min(figures.item_most_min, max(kept, figures.run_share * minutes), left))
    days = [plain]
    for most in dict.fromkeys(sizes if kept else ()):
        if most > 0 and (working := widest(most)):
            often = _most_times(working, minutes, figures)
            if studies:
                least = max(_least_times(working), int(studies.left <= WHOLE_LEFT))
                arrives = studies.left == 1 and studies.before and studies.before.share < 1 <= working.share
                if arrives and _times_in(PASSAGE_SHARE * minutes, working) >= ARRIVING_TIMES:
                    least = ARRIVING_TIMES
                often = max(least, min(often, _times_in(kept, working)))
            for day in _with_passage(plain, working, minutes, notes, figures, often):
                days += _again(_studied(day, minutes, studies, figures), working, minutes, notes, figures)
    return max(days, key=lambda day: (day.passage is not None, day.minutes, len(day.studies)))


def _has_all(day: Day, minutes: float, figures: PracticeFigures) -> bool:
    """Whether a day has as many things as it may have, its passage among them."""
    return _things(day) >= most_things(minutes, figures)


def _is_last(day: Day, minutes: float, figures: PracticeFigures) -> bool:
    """Whether a day has room for one thing more, and time for a long one: then sections are that."""
    last = _things(day) == most_things(minutes, figures) - 1
    return last and minutes - day.minutes >= figures.study_least_min + figures.rest_s / 60


def _things(day: Day) -> int:
    """How many things a day has with its passage."""
    return len(day.items) + len(day.studies) + 1


def _studied(day: Day, minutes: float, studies: StudyMaker | None, figures: PracticeFigures) -> Day:
    """The day with as much other work on the passage as goes into its minutes."""
    refused: list[str] = []
    while studies and not _has_all(day, minutes, figures):
        fresh, first = _full(day, minutes, figures), _is_last(day, minutes, figures)
        left, way = _left(day, minutes, figures), ""
        for most in (left, left - day.long_rest):
            more = studies.more(most, day.studies, refused, fresh=fresh, first=first)
            if more is None:
                break
            way = way or more.way
            made = replace(day, studies=studies.in_order((*day.studies, more)))
            fuller = _rested(made, figures)
            if fuller.minutes <= minutes:
                day = fuller
                break
        else:
            refused.append(way)
            continue
        if more is None:
            if not way:
                break
            refused.append(way)
    return day


def _left(day: Day, minutes: float, figures: PracticeFigures) -> float:
    """Minutes one more thing may take: as long as a drill, or half of what a long day keeps for such work."""
    most = max(figures.item_most_min, minutes * figures.study_share / 2)
    return min(most, minutes - day.minutes - figures.rest_s / 60)


def _full(day: Day, minutes: float, figures: PracticeFigures) -> bool:
    """Whether a day leaves so little of its time that nothing need be said."""
    return day.minutes >= (1 - figures.free_share) * minutes


def _again(
    day: Day, working: Working, minutes: float, notes: Sequence[Note], figures: PracticeFigures
) -> list[Day]:
    """The day with the passage as often as there is time for, at least as often as it has it."""
    has = day.passage.times if day.passage else _least_times(working)
    often = min(_most_times(working, minutes, figures), _times_in(PASSAGE_SHARE * minutes, working))
    return _with_passage(day, working, minutes, notes, figures, max(has, often)) or [day]


def _times_in(minutes: float, working: Working) -> int:
    """How often the whole passage goes into so many minutes, once without hard bars where these are few."""
    return int((minutes * 60 - working.around_s) // working.once_s)


def _most_times(working: Working, minutes: float, figures: PracticeFigures) -> int:
    """How often the passage is played at most, one of them without hard bars where these are few."""
    if _drags(working, figures):
        return 0
    long = working.once_s > figures.passage_long_s
    most = figures.passage_long_times if long else figures.passage_most_times
    climbs = working.share < 1 and working.once_s <= figures.passage_short_s
    if minutes < figures.study_from_min or climbs:
        most = figures.passage_short_times
    return max(1, most - (working.around is not None))


def _drags(working: Working, figures: PracticeFigures) -> bool:
    """Whether the whole passage is far slower than what of it is played without hard bars."""
    around = working.around
    return around is not None and working.share < figures.around_whole_share * around.share


def _least_times(working: Working) -> int:
    """How often the whole passage is played at least: not where it is played without hard bars."""
    return 0 if working.around else 1


def _with_passage(
    plain: Day,
    working: Working,
    minutes: float,
    notes: Sequence[Note],
    figures: PracticeFigures,
    most: int,
) -> list[Day]:
    """The day with the passage as often as goes into its minutes; none where it does not go once."""
    for times in range(most, _least_times(working) - 1, -1):
        day = _rested(replace(plain, passage=played(working, times, notes)), figures)
        if day.minutes <= minutes:
            return [day]
    return []


def _rested(day: Day, figures: PracticeFigures) -> Day:
    """The day with the long rests it needs."""
    return replace(day, long_rests=long_rests_after(day.lasting, figures))


def long_rests_after(lasting: Sequence[float], figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: before work lasts over `long_rest_every_min` minutes.

    Of no more rests than that asks for, none before the last item alone, each after as much work as can be.
    """
    rest, most = figures.rest_s / 60, float(figures.long_rest_every_min)
    found = _parted(lasting, most, rest)
    if not found:
        return found

    def size(first: int, last: int) -> float:
        return sum(lasting[first:last]) + rest * (last - first - 1)

    def worth(places: tuple[int, ...]) -> tuple[bool, float]:
        ends = [0, *(place + 1 for place in places), len(lasting)]
        return places[-1] < len(lasting) - 2, min(size(*ends_of) for ends_of in pairwise(ends))

    sizes = {size(*ends) for ends in combinations(range(len(lasting) + 1), 2)}
    tried = [found]
    for longest in (each for each in sizes if max(lasting) <= each <= most):
        back = _parted(lasting[::-1], longest, rest)
        tried += [
            _parted(lasting, longest, rest),
            tuple(len(lasting) - 2 - place for place in reversed(back)),
        ]
    return max((places for places in tried if len(places) == len(found)), key=worth)


def _parted(lasting: Sequence[float], longest: float, rest: float) -> tuple[int, ...]:
    """After which items work is parted so that no stretch, rests in it counted, is over `longest` minutes."""
    found: list[int] = []
    worked = 0.0
    for place, minutes in enumerate(lasting[:-1]):
        worked += minutes + rest
        if worked + lasting[place + 1] > longest + 1e-9:
            found.append(place)
            worked = 0.0
    return tuple(found)
