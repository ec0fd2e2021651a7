"""Figures as horizontal bars, each with its words: a small drawing that says its numbers."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gripway.page.markup import filled

WIDTH, LABEL, ROW, BAR = 860, 330, 24, 280
"""The drawing's width, that of the labels, the height of a row, the length of the longest bar."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: what it is, how long it is, and its figure in words."""

    label: str
    value: float
    words: str


@dataclass(frozen=True, slots=True)
class BarPlot:
    """A plot: its title, the unit of its bars, and the bars from above."""

    title: str
    unit: str
    bars: Sequence[Bar]


def bar_plot(plot: BarPlot) -> Markup:
    """The drawing of a plot; needs a bar."""
    longest = max(bar.value for bar in plot.bars) or 1.0
    rows = [(bar, place * ROW, BAR * bar.value / longest) for place, bar in enumerate(plot.bars)]
    return filled(
        "bar_plot.html", plot=plot, rows=rows, width=WIDTH, label=LABEL, row=ROW, height=len(rows) * ROW + 4
    )
