"""The front of effort against tuning as a player reads it."""

from itertools import pairwise

from rich.console import Console

from gripway.cli.text.differences_text import differences_text
from gripway.cli.text.route_text import print_head
from gripway.cli.text.terminal import Cell, paint, print_table, rendered, words
from gripway.compare.corners import CORNERS, NOT_COMPLETE
from gripway.compare.route_diff import differences
from gripway.compare.tradeoff import Tradeoff
from gripway.model.instrument import Instrument
from gripway.route.result import Route
from gripway.route.words.sentence import CAUTION

MOST_POINTS = 10
"""Points told; of a longer front those that show its bend best."""

COLUMNS = ("point", "effort", "cents", "from the point above")
LEGEND = """\
effort: of the fingers and the flute, what tuning costs left out; cents: how far a note leans from
equal temperament on average, long notes counting by their length
"""


@rendered
def tradeoff_text(console: Console, route: Route, instrument: Instrument, found: Tradeoff) -> None:
    """The front in at most 100 columns: each point told with what changes from the one above."""
    print_head(console, route, instrument, "your answer, by your dials")
    shown = shown_points(found)
    rows = [_row(route, found, place, before) for before, place in zip([None, *shown], shown, strict=False)]
    print_table(console, _title(found, len(shown)), COLUMNS, rows)
    console.print(words(LEGEND))
    console.print(words(f"{_yours(found)}\n"))
    if found.status == NOT_COMPLETE:
        console.print(words(f"{_not_complete(found)}\n"))
    console.print(CAUTION)


def _title(found: Tradeoff, shown: int) -> str:
    what = "corners" if found.status == CORNERS else "points"
    count = len(found.points)
    if count == 1:
        return "Effort against tuning: one route is best in both"
    some = f"{shown} of {count} {what} (--format csv has all)" if shown < count else f"{count} {what}"
    return f"Effort against tuning: {some}, from the least effort to the best in tune"


def _row(route: Route, found: Tradeoff, place: int, before: int | None) -> tuple[Cell, ...]:
    point = found.points[place]
    told = ""
    if before is not None:
        above = found.points[before]
        changes = differences(route.passage, found.places, above.candidates, point.candidates)
        told = f"+{point.effort - above.effort:.2f} effort: {differences_text(route.passage, changes)}"
    if place == found.yours_at:
        told = f"YOUR ANSWER{'; ' if told else ''}{told}"
    number = paint(str(place + 1), "bold" if place == found.yours_at else "")
    return number, f"{point.effort:.2f}", f"{point.cents:.1f}", told


def _yours(found: Tradeoff) -> str:
    yours = f"effort {found.yours.effort:.2f}, {found.yours.cents:.1f} cents"
    if found.yours_at is not None:
        return f"Your answer ({yours}) is point {found.yours_at + 1}."
    less_effort, less_cents = found.off
    after = sum(point.effort <= found.yours.effort for point in found.points)
    where = f"between points {after} and {after + 1}" if 0 < after < len(found.points) else "beside the front"
    if less_effort <= 0 and less_cents <= 0:
        return f"Your answer ({yours}) lies {where}, and no point beats it in both."
    saved = [
        *([f"as well in tune one takes {less_effort:.2f} less effort"] if less_effort >= 0.005 else []),
        *([f"at no more effort one is {less_cents:.1f} cents nearer"] if less_cents >= 0.05 else []),
    ]
    trifle = " and ".join(saved) or "by a trifle"
    return (
        f"Your answer ({yours}) lies {where}, off the front: {trifle}. Your dials "
        "weigh a far lean more than in proportion, a short note's less, and think of loud and soft."
    )


def _not_complete(found: Tradeoff) -> str:
    places = f"{found.missing} stretch{'es' * (found.missing != 1)}"
    return (
        f"Front not complete: between its corners {places} had too many routes to look at all. The corners "
        "are all there; choose fewer --bars for every point."
    )


def shown_points(found: Tradeoff, most: int = MOST_POINTS) -> list[int]:
    """Both ends, your answer, and then again and again the point that lies furthest off the line so far."""
    last = len(found.points) - 1
    chosen = sorted({0, last} | ({found.yours_at} if found.yours_at is not None else set()))
    while len(chosen) < min(most, last + 1):
        gains = [_furthest(found, low, high) for low, high in pairwise(chosen)]
        best = max((each for each in gains if each), key=lambda each: (each[0], -each[1]))
        chosen = sorted([*chosen, best[1]])
    return chosen


def _furthest(found: Tradeoff, low: int, high: int) -> tuple[float, int] | None:
    """The point between two others that lies furthest off the line between them, and how far."""
    (x1, y1), (x2, y2) = _scaled(found, low), _scaled(found, high)
    off = [
        (abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)), k)
        for k in range(low + 1, high)
        for x, y in [_scaled(found, k)]
    ]
    return max(off, key=lambda each: (each[0], -each[1]), default=None)


def _scaled(found: Tradeoff, place: int) -> tuple[float, float]:
    """A point with the front's whole span as 1 on either axis."""
    first, last, point = found.points[0], found.points[-1], found.points[place]
    wide, high = last.effort - first.effort, first.cents - last.cents
    return (point.effort - first.effort) / wide, (first.cents - point.cents) / high
