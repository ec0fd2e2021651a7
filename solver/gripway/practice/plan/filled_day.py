"""One day: its drills, the passage in what they leave of it, and where the long rests come."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.plan import Day, Item
from gripway.practice.plan.schedule_rules import long_rests
from gripway.practice.plan.whole_passage import Working, played


def filled_day(
    number: int,
    items: Sequence[Item],
    minutes: float,
    widest: Callable[[float], Working | None],
    kept: float,
    notes: Sequence[Note],
    figures: PracticeFigures,
) -> Day:
    """A day of these items, with the passage as often as there is time for.

    `widest` gives the notes around the day's first cell that are played once in so many minutes: tried
    are those `kept` for it, all that the drills leave, and these without a long rest. Most of the day
    is used.
    """
    plain = _rested(Day(number, tuple(items), figures.rest_s, (), figures.long_rest_min), minutes, figures)
    left = minutes - _rested(plain, 0, figures).minutes - figures.rest_s / 60 * bool(items)
    sizes = (min(kept, left), min(figures.item_most_min, left), left - figures.long_rest_min)
    days = [plain]
    for most in dict.fromkeys(sizes if kept else ()):
        if most > 0 and (working := widest(most)):
            days += _with_passage(plain, working, minutes, notes, figures)
    return max(days, key=lambda day: (day.passage is not None, day.minutes))


def _with_passage(
    plain: Day, working: Working, minutes: float, notes: Sequence[Note], figures: PracticeFigures
) -> list[Day]:
    """The day with the passage as often as goes into its minutes; none where it does not go once."""
    for times in range(figures.passage_most_times, 0, -1):
        day = _rested(replace(plain, passage=played(working, times, notes)), minutes, figures)
        if day.minutes <= minutes:
            return [day]
    return []


def _rested(day: Day, minutes: float, figures: PracticeFigures) -> Day:
    """The day with its long rests: those it needs, else one in its middle where there is time for it."""
    needed = replace(day, long_rests=long_rests_after(day.lasting, figures))
    if needed.long_rests or not long_rests(minutes, figures) or needed.minutes < figures.long_rest_from_min:
        return needed
    eased = replace(day, long_rests=(_middle(day.lasting),)) if len(day.lasting) > 1 else needed
    return eased if eased.minutes <= minutes else needed


def _middle(lasting: Sequence[float]) -> int:
    """After which of the items (two at least) about half of their minutes are over."""
    half = sum(lasting) / 2
    return min(range(len(lasting) - 1), key=lambda place: abs(sum(lasting[: place + 1]) - half))


def long_rests_after(lasting: Iterable[float], figures: PracticeFigures) -> tuple[int, ...]:
    """After which items a long rest comes: before work lasts over `long_rest_every_min` minutes."""
    lasting = list(lasting)
    found: list[int] = []
    worked = 0.0
    for place, minutes in enumerate(lasting[:-1]):
        worked += minutes + figures.rest_s / 60
        if worked + lasting[place + 1] > figures.long_rest_every_min:
            found.append(place)
            worked = 0.0
    return tuple(found)
