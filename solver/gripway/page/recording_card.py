"""The cards of what to record, each on one page: diagrams in the order of playing, a box for every take."""

from collections.abc import Sequence
from math import ceil

from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.listening_figures import cents_figures
from gripway.catalog.tables.times_figures import times_figures
from gripway.display import counted
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.what_to_record import RecordingCard, ToRecord, card_sentence
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.page.diagram.diagram import diagram
from gripway.page.document import document
from gripway.page.markup import filled
from gripway.route.words.place_words import places_text

TITLE = "What to record first"
CARD_DIAGRAMS_MM = ((5, 38.0), (12, 27.0), (20, 17.5))
"""Up to so many rows, a diagram is so large."""

ONE_COLUMN, MANY = 5, 12
"""Up to so many rows stand below one another in one column; with more than so many their words are small."""

MOST_PARTS, MOST_PLACES = 4, 3
"""So many parts and places of a row are named: whoever records needs the grip, not every bar."""

NOTE_S = 3.0
"""Two seconds of a note and a breath."""

HOW = (
    "Of each grip play {takes} takes of the standard grip, {takes} of this one, {takes} of the standard one "
    "again: two seconds each, mf, without much vibrato, a breath of silence between any two{shared}; all of "
    "it is {notes}, about {minutes}. Stop where you like: the first rows decide most."
)
SHARED = " (a row without boxes under its first diagram has the standard takes above it)"
MAKE_JSON = "The command reads the same card from a file, which this makes:"
COMMAND = "gripway listen takes.wav --asked {card} --top N --player me.toml"
CAUTION = (
    "Put the microphone an arm's length away, beside you and not before the air stream; keep headphones low "
    "or off, and rest your ears: high notes are loud at your right ear. The recording stays on your machine."
)


def recording_card_page(card: RecordingCard, instrument: Instrument, card_file: str = "") -> str:
    """The card as an HTML document of one page; `card_file` is where it stands as JSON already."""
    takes, more = cents_figures().block_takes, len(card.parts) - MOST_PARTS
    parts = [*card.parts[:MOST_PARTS], *([f"{more} more"] if more > 0 else [])]
    size_mm = _card_diagram_mm(len(card.grips))
    notes = sum(each.takes for each in card.grips)
    shared = any(each.takes < 3 * takes for each in card.grips)
    after = [
        {"words": "Then, where N rows were played:", "command": COMMAND.format(card=card_file or "card.json")}
    ]
    if not card_file:
        make = "gripway listen --card SCORE --format json --out card.json"
        after.insert(0, {"words": MAKE_JSON, "command": make})
    body = filled(
        "recording_card.html",
        title=TITLE,
        facts=" · ".join([full_title(instrument), *parts]),
        sentence=card_sentence(card),
        how=HOW.format(
            takes=takes,
            notes=counted(notes, "note"),
            minutes=counted(ceil(notes * NOTE_S / 60), "minute"),
            shared=SHARED if shared else "",
        )
        if card.grips
        else "",
        items=[_item(each, instrument, size_mm, takes) for each in card.grips],
        columns=_columns(len(card.grips)),
        after=after if card.grips else [],
        caution=CAUTION,
    )
    return document(TITLE, "recording_card.css", body)


def pairs_card_page(pairs: Sequence[FingerPair], instrument: Instrument, how: str, caution: str) -> str:
    """The pairs to trill as an HTML document of one page, in their order, a box for every take."""
    takes = times_figures().pair_takes
    title, size_mm = "Pairs to record for your own finger times", _card_diagram_mm(len(pairs))
    body = filled(
        "recording_card.html",
        title=title,
        facts=full_title(instrument),
        sentence=f"Record these {counted(len(pairs), 'pair')}, {counted(takes, 'take')} each.",
        how=how,
        items=[_pair_item(pair, instrument, size_mm, "□" * takes) for pair in pairs],
        columns=_columns(len(pairs)),
        after=[{"words": "Then:", "command": "gripway own-times takes/*.wav --player me.toml --save"}],
        caution=caution,
    )
    return document(title, "recording_card.css", body)


def _card_diagram_mm(rows: int) -> float:
    return next((size for most, size in CARD_DIAGRAMS_MM if rows <= most), CARD_DIAGRAMS_MM[-1][1])


def _columns(rows: int) -> str:
    """The class of a list of so many rows."""
    return "few" if rows <= ONE_COLUMN else "many" if rows <= MANY else "full"


def _figure(drawn: str, ticks: str, *words: str) -> dict[str, object]:
    return {"drawn": drawn, "ticks": ticks, "words": words}


def _item(each: ToRecord, instrument: Instrument, size_mm: float, takes: int) -> dict[str, object]:
    ticks, shared = "□" * takes, each.takes < 3 * takes
    name = plain_name(each.pitch)
    place = each.places[0] if each.places else None
    where = places_text(list(zip(place.bars, place.notes, strict=True)), MOST_PLACES) if place else ""
    standard = diagram(instrument, each.standard, size_mm=size_mm, title=f"{name}, standard")
    other = diagram(instrument, each.grip, size_mm=size_mm, title=name, before=each.standard)
    return {
        "name": name,
        "lines": (
            each.grip.short,
            f"standard: {each.standard.short}",
            f"decides {counted(each.notes, 'note')}{f': {where}' if where else ''}",
        ),
        "figures": (
            _figure(standard, "", "standard", "above") if shared else _figure(standard, ticks, "standard"),
            _figure(other, ticks, "this", "one"),
            _figure("", ticks, "standard", "again"),
        ),
    }


def _pair_item(pair: FingerPair, instrument: Instrument, size_mm: float, ticks: str) -> dict[str, object]:
    low, high = pair.grips
    names = plain_name(pair.low), plain_name(pair.high)
    return {
        "name": " ".join(names),
        "lines": (low.short, f"to {high.short}", f"moves {' '.join(pair.fingers)}", f"{pair.name}.wav"),
        "figures": (
            _figure(diagram(instrument, low, size_mm=size_mm, title=names[0]), "", names[0]),
            _figure(diagram(instrument, high, size_mm=size_mm, title=names[1], before=low), "", names[1]),
            _figure("", ticks, "takes"),
        ),
    }
