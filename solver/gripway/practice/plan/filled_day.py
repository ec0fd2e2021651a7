"""One day: its drills, the passage in what they leave of it, and where the long rests come."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.plan import Day, Item
from gripway.practice.plan.schedule_rules import long_rest_of
from gripway.practice.plan.studies import StudyMaker
from gripway.practice.plan.whole_passage import Working, played

PASSAGE_SHARE = 0.4
"""Of a day without drills the passage as a whole has no more than this, while other work is left."""


WITHIN_CELL_MIN = 3.0
"""A long rest comes so much earlier or later rather than between two drills of one cell."""


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
    sizes = (min(kept, left), min(figures.item_most_min, left), left - pause)
    days = [plain]
    for most in dict.fromkeys(sizes if kept else ()):
        if most > 0 and (working := widest(most)):
            often = figures.passage_times if studies else figures.passage_most_times
            if studies and not items:
                often = max(1, min(often, int(PASSAGE_SHARE * minutes * 60 // working.once_s)))
            for day in _with_passage(plain, working, minutes, notes, figures, often):
                days += _again(_studied(day, minutes, studies, figures), working, minutes, notes, figures)
    return max(days, key=lambda day: (day.passage is not None, day.minutes, len(day.studies)))


def _studied(day: Day, minutes: float, studies: StudyMaker | None, figures: PracticeFigures) -> Day:
    """The day with as much other work on the passage as goes into its minutes."""
    refused: list[str] = []
    while studies:
        fresh = _full(day, minutes, figures)
        more = studies.more(_left(day, minutes, figures), day.studies, refused, fresh=fresh)
        if more is None:
            break
        made = replace(day, studies=studies.in_order((*day.studies, more)))
        fuller = _rested(made, figures)
        if fuller.minutes <= minutes:
            day = fuller
        else:
            refused.append(more.way)
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
    return _with_passage(day, working, minutes, notes, figures, figures.passage_most_times) or [day]


def _with_passage(
    plain: Day,
    working: Working,
    minutes: float,
    notes: Sequence[Note],
    figures: PracticeFigures,
    most: int,
) -> list[Day]:
    """The day with the passage as often as goes into its minutes; none where it does not go once."""
    for times in range(most, 0, -1):
        day = _rested(replace(plain, passage=played(working, times, notes)), figures)
        if day.minutes <= minutes:
            return [day]
    return []


def _rested(day: Day, figures: PracticeFigures) -> Day:
    """The day with its long rests: those it needs, else one in its middle from `long_rest_from_min` on."""
    needed = replace(day, long_rests=long_rests_after(day.lasting, figures))
    if needed.long_rests or len(day.lasting) < 2:
        return needed
    eased = replace(day, long_rests=(_middle(day),))
    return eased if eased.minutes >= figures.long_rest_from_min else needed


def _middle(day: Day) -> int:
    """After which of its works about half of a day is over: not before the last, nor within a cell."""
    cells = [item.cell for item in day.items]

    def beside(place: int) -> float:
        within = place + 1 < len(cells) and cells[place] == cells[place + 1]
        return abs(sum(day.lasting[: place + 1]) - day.playing / 2) + within * WITHIN_CELL_MIN

    return min(range(max(1, len(day.lasting) - 2)), key=beside)


def long_rests_after(lasting: Iterable[float], figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: before work lasts over `long_rest_every_min` minutes.

    One that would come before the last item comes an item earlier, where there are three.
    """
    lasting = list(lasting)
    found: list[int] = []
    worked = 0.0
    for place, minutes in enumerate(lasting[:-1]):
        worked += minutes + figures.rest_s / 60
        if worked + lasting[place + 1] > figures.long_rest_every_min:
            early = place == len(lasting) - 2 and place > (found[-1] + 1 if found else 0)
            found.append(place - early)
            worked = lasting[place] * early
    return tuple(found)
