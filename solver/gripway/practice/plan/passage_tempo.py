"""At which tempo a day has the passage: without leaps, and no faster than what has been worked on."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.course import Course
from gripway.practice.plan.held_back import faster_than, least_played, most_beside_rows, played_after
from gripway.practice.plan.plan import Day
from gripway.practice.schedule.schedule_rules import LAST_FROM_DAYS
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.spots import HardPlace


def no_leap(share: float, left: int, days: Sequence[Day], figures: PracticeFigures, *, holds: bool) -> float:
    """The share of its tempo that the passage has: `passage_notches` over the day before at most, no less.

    On the first of more days `back_notches` below its tempo at least, where something `holds` it back.
    Beyond `passage_near_share`, and on the last of three days or more, `closing_notches` at most; but where
    all that is hard has been drilled to its tempo as far as on any day, from what the passage had without few
    hard bars; less than a notch below that it is that. `left` are the days with this. Half a notch more is
    taken where that is the tempo.
    """
    if not days or days[-1].passage is None:
        first = not days and left > 1 and share >= 1 and holds
        return min(1.0, share) * (1 + figures.notch_share) ** -(figures.back_notches * first)
    last = days[-1].passage.share
    closes = left == 1 and len(days) >= LAST_FROM_DAYS - 1
    ready = share >= 1
    notches = figures.closing_notches if closes and not ready else figures.passage_notches
    around = days[-1].passage.around
    begin = max(last, around.share) if around and closes and ready else last
    step = 1 + figures.notch_share
    if closes and begin * step**notches < 1:
        notches = figures.closing_notches
    most = begin * step**notches
    if not closes:
        most = max(begin * step**figures.closing_notches, min(most, figures.passage_near_share))
    if around and most < around.share <= most * step:
        most = around.share
    nearly = not closes and most * (1 + figures.notch_share / 2) >= 1
    return max(last, min(1.0, share, 1.0 if nearly else most))


def no_faster(
    make: Callable[..., Day],
    share: float,
    around: Around | None,
    course: Course,
    played_before: Mapping[str, float],
    rebuilt: Mapping[Ends, float],
    notes: Sequence[Note],
    hard: Sequence[HardPlace],
    figures: PracticeFigures,
    had: Around | None,
    least: float = 0.0,
) -> Day:
    """A day whose passage is no faster than the hard bars have been worked at by then: slower if need be.

    Nor is it faster without those that are left out than the other hard bars have been, nor more than
    `around_ahead_notches` beyond what any other bar has been, nor much faster than rows of the day; but it
    has the `least` share in any case. `had` is what the day before was played without.
    `make` makes it with a share, and with what is left out.
    """
    places = [place for place in hard if place.holds_back]
    while True:
        day = make(share=share, around=around)
        kept = [each for each in places if around and not around.leaves_out(each.first, each.last)]
        wanted = {each.first: around.share for each in kept if around}
        wanted |= {each.first: share for each in places if each not in kept}
        behind = course.after(day.day, day.studies, rebuilt).behind(wanted)
        slow = [behind[each.first] for each in kept if each.first in behind]
        if around:
            ahead = (1 + figures.notch_share) ** figures.around_ahead_notches
            played = played_after(played_before, day.studies, notes)
            slow.append(ahead * least_played(around, played, notes))
            slow.append(most_beside_rows(around, day.studies, figures))
        if around and max(least, min(slow)) < around.share - 1e-9:
            slower = replace(around, share=max(least, min(slow)))
            around = faster_than(share, slower, figures, begins=had is None)
        elif behind and (
            whole := [behind[each.first] for each in places if each not in kept and each.first in behind]
        ):
            share = min(whole)
        else:
            return day


def goes_on_around(had: Around, day: Day) -> bool:
    """Whether the bars that went without few hard ones the day before are no slower on a day."""
    has = day.passage.around if day.passage else None
    return has is not None and has.share >= had.share - 1e-9
