"""How to read the marks: the legend of an edition's preface, as text and as a page with diagrams."""

from collections.abc import Iterator
from textwrap import fill

from gripway.edition.legend import Legend, MarkedGrip
from gripway.model.house_style import HouseStyle
from gripway.model.instrument import Instrument
from gripway.model.mark_text import GRIP, HOLD, RELEASE, SIMILE, Sign
from gripway.page.diagram.diagram import diagram
from gripway.page.markup import Markup, join, tag

TITLE = "How to read the marks"
DIAGRAM_MM = 24.0
WIDTH = 100
_STYLE = (
    "body{font:11pt/1.4 serif;max-width:44em;margin:2em auto;padding:0 1em;color:#000;background:#fff}"
    "dl{display:grid;grid-template-columns:max-content 1fr;gap:.3em 1.2em}dt{font-weight:bold}dd{margin:0}"
    "figure{display:inline-block;margin:.6em 1.2em .6em 0;text-align:center;vertical-align:top}"
)


def legend_text(legend: Legend, house: HouseStyle) -> str:
    """The legend as plain text, a line a sign."""
    terms = (f"{said}: {meaning}." for said, meaning in _meanings(legend, house))
    lines = [TITLE, "", *(fill(term, WIDTH, subsequent_indent="  ") for term in terms)]
    if legend.grips:
        lines += ["", *(f"{_heading(row)}: {_written(row, house)}" for row in legend.grips)]
    return "\n".join(lines) + "\n"


def legend_page(legend: Legend, house: HouseStyle, instrument: Instrument) -> str:
    """The same as one HTML page to print, with a diagram of every grip that is marked."""
    terms = join(
        join((tag("dt", said), tag("dd", f"{meaning}."))) for said, meaning in _meanings(legend, house)
    )
    pictures = join(_picture(row, house, instrument) for row in legend.grips)
    head = join((tag("meta", charset="utf-8"), tag("title", TITLE), tag("style", Markup(_STYLE))))
    body = join((tag("h1", TITLE), tag("dl", terms), pictures))
    return f"<!doctype html>\n{tag('html', tag('head', head), tag('body', body), lang='en')}\n"


def _picture(row: MarkedGrip, house: HouseStyle, instrument: Instrument) -> Markup:
    names = ", ".join(row.pitches)
    movers = row.moving.touches
    drawn = diagram(instrument, row.grip, size_mm=DIAGRAM_MM, movers=movers, title=names)
    caption = join((_heading(row), tag("br"), _written(row, house)))
    return tag("figure", Markup(drawn), tag("figcaption", caption))


def _heading(row: MarkedGrip) -> str:
    return f"{', '.join(row.pitches)} ({row.notes} {'mark' if row.notes == 1 else 'marks'})"


def _written(row: MarkedGrip, house: HouseStyle) -> str:
    return house.hand.written(Sign(GRIP, row.grip, row.moving))


def _meanings(legend: Legend, house: HouseStyle) -> Iterator[tuple[str, str]]:
    """Every kind of sign that stands in the edition, with what it means."""
    if not legend.grips and not legend.signs:
        yield "No marks", "every note has the grip a player expects"
        return
    bar = house.hand.separator
    if legend.grips:
        yield (
            f"left hand {bar} right hand",
            "the keys pressed: T the thumb (Tb on the B-flat lever), 1 2 3 the fingers from the index on "
            "and 4 the left little one, Eb, Cs, C and B the keys of the right little finger, Kd, Kds and Sb "
            "the trill keys and the side lever; what is not named is up",
        )
    if any(row.moving.mask for row in legend.grips):
        yield "tr", "hold the grip before it and trill with the key behind it"
    for sign in legend.signs:
        yield house.hand.written(sign), _meaning(sign)
    if house.hand.bracket != "none":
        yield f"{house.hand.bracket} brackets", "an addition of the editor"
    yield "No mark", "the standard grip, or the one marked before for the same figure"


def _meaning(sign: Sign) -> str:
    touches = " ".join(sign.grip.touches)
    if sign.kind == SIMILE:
        return "the same grips as at the same figure before"
    if sign.kind == HOLD:
        return f"leave the fingers down until they are released (here {touches})"
    if sign.kind == RELEASE:
        return f"lift what was held (here {touches})"
    if sign.grip.has("Tb"):
        return "the thumb goes on the B-flat lever and stays"
    return "the thumb comes back to its plate"
