"""The tempos a player has reached with a cell, as a small drawing."""

from collections.abc import Sequence

from gripway.page.markup import Markup, tag
from gripway.page.sheet.sheet_model import TempoPoint

WIDTH, HEIGHT = 260, 92
LEFT, RIGHT, TOP, BOTTOM = 34, 34, 12, 20
MOST_POINTS = 12
LETTERS = 10
"""Height of a line of figures."""


def tempo_plot(points: Sequence[TempoPoint], target: int) -> Markup:
    """Tempos in their order, the last of them at most MOST_POINTS, against the tempo of the part.

    Needs a point.
    """
    shown = points[-MOST_POINTS:]
    tempos = [point.quarters for point in shown]
    low = min(target // 2, *tempos)
    high = max(target, low + 1, *tempos)

    def up(quarters: float) -> float:
        return HEIGHT - BOTTOM - (quarters - low) / (high - low) * (HEIGHT - TOP - BOTTOM)

    def across(place: int) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (place + 0.5) / len(shown)

    line = " ".join(f"{across(k):.1f},{up(point.quarters):.1f}" for k, point in enumerate(shown))
    discs = [
        tag("circle", cx=f"{across(k):.1f}", cy=f"{up(point.quarters):.1f}", r="3.2", class_="fill")
        for k, point in enumerate(shown)
    ]
    last = shown[-1]
    days = [_day(shown[0].day, across(0))]
    days += [_day(last.day, across(len(shown) - 1))] if last.day != shown[0].day else []
    words = ", ".join(f"{point.quarters} on {point.day}" for point in shown)
    return tag(
        "svg",
        tag("path", d=f"M{LEFT} {TOP - 6}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}", class_="axis"),
        tag("path", d=f"M{LEFT} {up(target):.1f}H{WIDTH - RIGHT}", class_="aim"),
        tag("text", str(target), x=str(WIDTH - RIGHT + 3), y=f"{up(target) + 4:.1f}"),
        tag("text", str(low), x=str(LEFT - 4), y=f"{up(low):.1f}", text_anchor="end"),
        tag("polyline", points=line, class_="climb"),
        *discs,
        tag(
            "text",
            str(last.quarters),
            x=f"{across(len(shown) - 1) + 6:.1f}",
            y=f"{_beside(up(last.quarters), up(target)):.1f}",
            class_="strong",
        ),
        *days,
        viewbox=f"0 0 {WIDTH} {HEIGHT}",
        class_="tempos",
        role="img",
        aria_label=f"Clean at quarter = {words}; the part is at {target}",
    )


def _beside(last: float, target: float) -> float:
    """Where the last tempo's figure stands: clear of the days under the axis and of the target's figure."""
    return min(max(last + 12, target + 4 + LETTERS), HEIGHT - BOTTOM - 3)


def _day(day: str, x: float) -> Markup:
    """A day under the axis, without the year."""
    return tag("text", day[5:] or day, x=f"{x:.1f}", y=str(HEIGHT - 5), text_anchor="middle")
