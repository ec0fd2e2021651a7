"""The trade-off of effort against tuning as a small drawing with a table beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gripway.page.markup import filled
from gripway.page.scale import Scale, round_ticks

WIDTH, HEIGHT = 640, 400
LEFT, RIGHT, TOP, BOTTOM = 80, 24, 20, 64


@dataclass(frozen=True, slots=True)
class PlotPoint:
    """One route: effort (tuning apart), lean in cents a note, what differs, and whether it is the answer."""

    effort: float
    cents: float
    words: str = ""
    chosen: bool = False


def tradeoff_plot(points: Sequence[PlotPoint]) -> Markup:
    """Drawing and table of the routes, numbered in the order given. Needs a point."""
    return filled(
        "tradeoff_plot.html",
        points=points,
        x=Scale(round_ticks([point.effort for point in points]), LEFT, WIDTH - RIGHT),
        y=Scale(round_ticks([point.cents for point in points]), HEIGHT - BOTTOM, TOP),
        width=WIDTH,
        height=HEIGHT,
    )
