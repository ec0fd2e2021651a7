"""The card of what to record first, on one page: diagrams in the order of playing, a box for every take."""

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.listening.what_to_record import RecordingCard, ToRecord, card_sentence
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.page.diagram.diagram import diagram
from gripway.page.document import document
from gripway.page.markup import count, filled

TITLE = "What to record first"
CARD_DIAGRAM_MM = 19.0
MOST_PARTS = 4
HOW = (
    "Of each grip play {takes} takes of the standard grip, {takes} of this one, {takes} of the standard one "
    "again: two seconds each, mf, without much vibrato, a breath of silence between any two. Stop where you "
    "like: the first rows decide most."
)
COMMAND = "gripway listen takes.wav --asked card.json --top N"
WHICH = "(N rows were played; card.json is this card as --format json)"
CAUTION = (
    "Put the microphone an arm's length away, beside you and not before the air stream; keep headphones low "
    "or off, and rest your ears: high notes are loud at your right ear. The recording stays on your machine."
)


def recording_card_page(card: RecordingCard, instrument: Instrument) -> str:
    """The card as an HTML document of one page."""
    takes, more = cents_figures().block_takes, len(card.parts) - MOST_PARTS
    flute = f"{instrument.title} with {', '.join(instrument.parts)}" if instrument.parts else instrument.title
    parts = [*card.parts[:MOST_PARTS], *([f"{more} more"] if more > 0 else [])]
    body = filled(
        "recording_card.html",
        title=TITLE,
        facts=" · ".join([flute, *parts]),
        sentence=card_sentence(card),
        how=HOW.format(takes=takes) if card.grips else "",
        items=[_item(each, instrument) for each in card.grips],
        ticks="□" * takes,
        command=COMMAND,
        which=WHICH,
        caution=CAUTION,
    )
    return document(TITLE, "recording_card.css", body)


def _item(each: ToRecord, instrument: Instrument) -> dict[str, str]:
    name = plain_name(each.pitch)
    return {
        "pitch": name,
        "grip": each.grip.short,
        "decides": f"decides {count(each.notes, 'note')}",
        "standard": diagram(instrument, each.standard, size_mm=CARD_DIAGRAM_MM, title=f"{name}, standard"),
        "other": diagram(instrument, each.grip, size_mm=CARD_DIAGRAM_MM, title=name, before=each.standard),
    }
