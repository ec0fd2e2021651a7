"""The tempos a player has reached with a cell, as a small drawing."""

from collections.abc import Sequence

from markupsafe import Markup

from gripway.page.markup import filled
from gripway.page.scale import Scale
from gripway.page.sheet.sheet_model import TempoPoint

WIDTH, HEIGHT = 260, 92
LEFT, RIGHT, TOP, BOTTOM = 34, 34, 12, 20
MOST_POINTS = 12
LETTERS = 10
"""Height of a line of figures."""


def tempo_plot(points: Sequence[TempoPoint], target: int, beat: str = "quarter") -> Markup:
    """Tempos in their order, the last of them at most MOST_POINTS, against the tempo of the part.

    Needs a point.
    """
    shown = points[-MOST_POINTS:]
    tempos = [point.beats for point in shown]
    low = min(target // 2, *tempos)
    y = Scale((low, max(target, low + 1, *tempos)), HEIGHT - BOTTOM, TOP)
    clear_of_target = max(y(tempos[-1]) + 12, y(target) + 4 + LETTERS)
    return filled(
        "tempo_plot.html",
        points=shown,
        target=target,
        beat=beat,
        low=low,
        x=Scale((0, len(shown)), LEFT, WIDTH - RIGHT),
        y=y,
        last_figure_y=min(clear_of_target, HEIGHT - BOTTOM - 3),  # and of the days under the axis
        width=WIDTH,
        height=HEIGHT,
    )
