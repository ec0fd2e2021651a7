"""The trade-off of effort against tuning as a small drawing with a table beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.page.markup import Markup, join, tag
from gripway.page.report.table import table

WIDTH, HEIGHT = 640, 400
LEFT, RIGHT, TOP, BOTTOM = 80, 24, 20, 64
HEADS = ("No.", "Effort", "Cents a note", "Grips that differ (notes)")
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class PlotPoint:
    """One route: effort (tuning apart), lean in cents a note, what differs, and whether it is the answer."""

    effort: float
    cents: float
    words: str = ""
    chosen: bool = False


def tradeoff_plot(points: Sequence[PlotPoint]) -> Markup:
    """Drawing and table of the routes, numbered in the order given. Needs a point."""
    across = scale([point.effort for point in points])
    up = scale([point.cents for point in points])
    drawn = join(_point(number, point, across, up) for number, point in enumerate(points, start=1))
    line = " ".join(
        f"{_x(p.effort, across):.0f},{_y(p.cents, up):.0f}"
        for p in sorted(points, key=lambda p: p.effort)
        if not p.chosen or len(points) == 1
    )
    svg = tag(
        "svg",
        _axes(across, up),
        tag("polyline", points=line, class_="front"),
        drawn,
        viewbox=f"0 0 {WIDTH} {HEIGHT}",
        class_="plot",
        role="img",
        aria_label="Effort against cents off; the figures stand in the table beside it",
    )
    rows = (_row(number, point) for number, point in enumerate(points, start=1))
    return tag("div", svg, table("Routes that trade effort for tuning", HEADS, rows), class_="beside")


def scale(values: Sequence[float]) -> list[float]:
    """Round figures from below the least to above the greatest value."""
    low, high = min(values), max(values)
    span = max(high - low, abs(high) * 0.05, 0.1)
    power = 10.0 ** len(str(int(span / 4))) / 10 if span >= 4 else 10.0 ** -len(str(int(4 / span)))
    step = next(power * s for s in STEPS if power * s * 5 >= span)
    first = (low - span * 0.08) // step
    ticks = [first * step]
    while ticks[-1] < high + span * 0.08:
        ticks.append((first + len(ticks)) * step)
    return ticks


def _x(value: float, ticks: Sequence[float]) -> float:
    return LEFT + (value - ticks[0]) / (ticks[-1] - ticks[0]) * (WIDTH - LEFT - RIGHT)


def _y(value: float, ticks: Sequence[float]) -> float:
    return HEIGHT - BOTTOM - (value - ticks[0]) / (ticks[-1] - ticks[0]) * (HEIGHT - TOP - BOTTOM)


def _axes(across: Sequence[float], up: Sequence[float]) -> Markup:
    parts = [tag("path", d=f"M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}", class_="axis")]
    for value in across:
        x = _x(value, across)
        parts.append(tag("path", d=f"M{x:.0f} {HEIGHT - BOTTOM}v6", class_="axis"))
        parts.append(tag("text", f"{value:g}", x=x, y=float(HEIGHT - BOTTOM + 24), text_anchor="middle"))
    for value in up:
        y = _y(value, up)
        parts.append(tag("path", d=f"M{LEFT} {y:.0f}h-6", class_="axis"))
        parts.append(tag("text", f"{value:g}", x=float(LEFT - 12), y=y + 5, text_anchor="end"))
    middle = (TOP + HEIGHT - BOTTOM) / 2
    parts.append(
        tag(
            "text",
            "effort (tuning apart)",
            x=(LEFT + WIDTH - RIGHT) / 2,
            y=float(HEIGHT - 12),
            text_anchor="middle",
        )
    )
    turned = f"rotate(-90 20 {middle:.0f})"
    parts.append(tag("text", "cents off, a note", x=20.0, y=middle, text_anchor="middle", transform=turned))
    return join(parts)


def _point(number: int, point: PlotPoint, across: Sequence[float], up: Sequence[float]) -> Markup:
    """A disc with its number; the answer is a filled square."""
    x, y = _x(point.effort, across), _y(point.cents, up)
    if point.chosen:
        shape = tag("rect", x=x - 12, y=y - 12, width=24.0, height=24.0, class_="fill")
    else:
        shape = tag("circle", cx=x, cy=y, r="12", class_="point")
    return join(
        [
            shape,
            tag(
                "text",
                str(number),
                x=x,
                y=y + 5,
                text_anchor="middle",
                class_="inverse" if point.chosen else "",
            ),
        ]
    )


def _row(number: int, point: PlotPoint) -> Markup:
    words = "; ".join(filter(None, ["the answer above (square)" if point.chosen else "", point.words]))
    return tag(
        "tr",
        tag("th", str(number), scope="row"),
        tag("td", f"{point.effort:.2f}", class_="number"),
        tag("td", f"{point.cents:.1f}", class_="number"),
        tag("td", words),
    )
