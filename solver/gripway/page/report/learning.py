"""The grips of a route that must be learnt or are known, as a table of the report."""

from collections.abc import Iterator

from gripway.effort.ledger import MILLI
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.learning_plot import curve_words, learning_curve_shown
from gripway.page.markup import Markup, join, tag
from gripway.page.report.notes import cents_words
from gripway.page.report.table import table
from gripway.page.report.tuning import places
from gripway.route.other_grips import OtherGrip, other_grips, pays_in
from gripway.route.result import Route

HEADS = ("Pitch", "Grip", "Touches", "Kind", "Leans", "Where", "Saves", "Pays in")


def learning(route: Route, symbols: GripSymbols) -> Markup:
    """The grips beyond the standard ones, and the learning curve where there is one."""
    return join([*_grips(route, symbols), *_curve(route)])


def _grips(route: Route, symbols: GripSymbols) -> Iterator[Markup]:
    others = other_grips(route)
    if not others:
        yield tag("p", "There is no grip to learn.")
        return
    rows = (_row(route, other, symbols) for other in others)
    yield table("Grips beyond the standard ones, the one that saves most first", HEADS, rows)
    if any(other.steady is not None for other in others):
        yield tag("p", "Pays in: how many of the tables do with their judged figures shaken.")


def _row(route: Route, other: OtherGrip, symbols: GripSymbols) -> Markup:
    saves = "" if other.saves_milli is None else f"{other.saves_milli / MILLI:.2f}"
    return tag(
        "tr",
        tag("th", other.pitch, scope="row"),
        tag("td", symbols.picture(other.candidate)),
        tag("td", other.grip.short),
        tag("td", "known" if other.known else other.candidate.kind),
        tag("td", cents_words(other.candidate)),
        tag("td", places(route, other.notes)),
        tag("td", saves, class_="number"),
        tag("td", pays_in(other.steady), class_="number"),
    )


def _curve(route: Route) -> Iterator[Markup]:
    """What every number of grips leaves; nothing where no number leaves less than another."""
    if len(route.curve) < 2 or route.charges is None:
        return
    yield tag("p", curve_words(route.charges.each_milli))
    yield learning_curve_shown(route.curve, len(route.charges.learn))
