"""How to read the marks: the legend of an edition's preface, as text and as a page with diagrams."""

from collections.abc import Iterator
from textwrap import fill

from gripway.display import counted
from gripway.edition.legend import Legend, MarkedGrip
from gripway.model.house_style import FULL, GROUP, PICTURE, STACKED, WORDS, HouseStyle
from gripway.model.instrument import Instrument
from gripway.model.mark_text import GRIP, HOLD, RELEASE, SIMILE, Hand, MarkSign, read_sign
from gripway.page.diagram.diagram import diagram
from gripway.page.document import document
from gripway.page.markup import filled

TITLE = "How to read the marks"
LEGEND_DIAGRAM_MM = 24.0
WIDTH = 100


def legend_text(legend: Legend, house: HouseStyle) -> str:
    """The legend as plain text, a line a sign."""
    terms = (f"{said}: {meaning}." for said, meaning in _meanings(legend, house))
    lines = [TITLE, "", *(fill(term, WIDTH, subsequent_indent="  ") for term in terms)]
    if legend.grips:
        lines += ["", *(f"{_heading(row)}: {_written(row, house.hand)}" for row in legend.grips)]
    return "\n".join(lines) + "\n"


def legend_page(legend: Legend, house: HouseStyle, instrument: Instrument) -> str:
    """The same as one HTML page to print, with a diagram of every grip that is marked."""
    body = filled(
        "legend.html",
        title=TITLE,
        meanings=[*_meanings(legend, house)],
        pictures=[
            (_picture(row, instrument), _heading(row), _written(row, house.hand)) for row in legend.grips
        ],
    )
    return document(TITLE, "legend.css", body)


def _picture(row: MarkedGrip, instrument: Instrument) -> str:
    movers = row.moving.touches
    return diagram(
        instrument, row.grip, size_mm=LEGEND_DIAGRAM_MM, movers=movers, title=", ".join(row.pitches)
    )


def _heading(row: MarkedGrip) -> str:
    return f"{', '.join(row.pitches)} ({counted(row.notes, 'mark')})"


def _written(row: MarkedGrip, hand: Hand) -> str:
    """How a grip is written, and all of it where that is something else."""
    return row.text if _says_all(row.text) else f"{row.text} = {hand.whole(row.grip, row.moving)}"


def _says_all(text: str) -> bool:
    """Whether a text is a whole grip; a difference and a house's abbreviation are none."""
    try:
        return read_sign(text).kind == GRIP
    except ValueError:
        return False


def _meanings(legend: Legend, house: HouseStyle) -> Iterator[tuple[str, str]]:
    """Every kind of sign that stands in the edition, with what it means."""
    if not legend.grips and not legend.signs:
        if legend.fingered:
            yield "No marks of ours", "the fingerings that stand in the score were left as they are"
        else:
            yield "No marks", "every note has the grip a player expects"
        return
    bar = house.hand.separator
    letters = house.hand.letters
    fingers, little = ("L1 L2 L3 and R1 R2 R3", "L4") if letters else ("1 2 3", "4")
    if legend.grips:
        yield (
            f"left hand {bar} right hand",
            f"the keys pressed: T the thumb (Tb on the B-flat lever), {fingers} the fingers from the index "
            f"on and {little} the left little one, Eb, Cs, C and B the keys of the right little finger, "
            "Kd, Kds and Sb the trill keys and the side lever; what is not named is up",
        )
    if house.form != FULL and legend.grips:
        yield (
            "R2, +R2, -Eb",
            "the standard grip with this finger in place of another, with it besides, without this key: "
            "L the left hand, R the right one"
            + (", the letter of the hand standing over the finger" if house.form == STACKED else ""),
        )
    if legend.lines:
        yield "a line", "the mark holds for the same note, sim. for all notes, until the line ends"
    if any(row.moving.mask for row in legend.grips):
        yield "tr", "hold the grip before it and trill with the key behind it"
    for sign in legend.signs:
        yield house.hand.written(sign, as_words=house.style in (WORDS, PICTURE)), _meaning(sign, house)
    if house.hand.bracket != "none":
        yield f"{house.hand.bracket} brackets", "an addition of the editor"
    yield "No mark", "left to you, mostly the standard grip; in a figure marked before, its grip"


def _meaning(sign: MarkSign, house: HouseStyle) -> str:
    touches = " ".join(sign.grip.touches)
    if sign.kind == SIMILE:
        figure = ", and a figure under its line those," if house.over == GROUP else ""
        return f"the note{figure} has the grip of the first time this figure was marked"
    if sign.kind == HOLD:
        return f"leave the fingers down until they are released (here {touches})"
    if sign.kind == RELEASE:
        return f"lift what was held (here {touches})"
    if sign.grip.has("Tb"):
        return "the thumb goes to the B-flat lever, whenever it is down, until T"
    return "the thumb comes back to its plate"
