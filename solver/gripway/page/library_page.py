"""The overview of a library as one HTML file: what to do first, then plots; the tables stand beside it."""

from collections.abc import Sequence

from gripway.page.bar_plot import BarPlot, bar_plot
from gripway.page.document import document
from gripway.page.markup import filled

TITLE = "The library at a glance"


def library_page(advice: str, plots: Sequence[BarPlot]) -> str:
    """One page that needs nothing else; plots without a bar say that there is nothing."""
    drawn = [(plot, bar_plot(plot) if plot.bars else None) for plot in plots]
    return document(
        TITLE, "library_page.css", filled("library.html", title=TITLE, advice=advice, plots=drawn)
    )
