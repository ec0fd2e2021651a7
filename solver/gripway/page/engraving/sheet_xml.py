"""The chosen part alone, as MusicXML for the engraver: ids of ours, the bars asked for, room for marks."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from gripway.page.engraving.odd_numbers import drop_odd_numbers
from gripway.score.reading.bar_choice import chosen_bars
from gripway.score.reading.parts import score_parts
from gripway.score.reading.score_reading import ScoreReading
from gripway.score.xml.xml_tree import UNREAD, Element, parse_tree

PRINTED = frozenset(
    {"beam", "clef", "lyric", "notehead", "notehead-text", "stem", "tuplet", "figured-bass", "harmony"}
)
NOT_ENGRAVED = (UNREAD - PRINTED) | {"sound", "work", "movement-title", "movement-number", "image"}
"""Elements left out: titles and credits stand in the page around the music, layout is made anew."""

STATE = ("divisions", "key", "time", "staves", "instruments", "clef", "transpose")
"""What a bar inherits from the bars before it, in the order of <attributes>."""

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list><score-part id="P">'
    '<part-name/></score-part></part-list><part id="P">'
)
PLACEHOLDER = "l"
"""The narrow letter whose row and width keep room for a mark."""


CLOSING = frozenset({"]", ")"})

FEWEST_RESTS = 2
"""So many empty bars in a row become one rest with a number (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class RoomUnderNotes:
    """Room kept under notes: rows by note id, rows of all other notes, and letters wide."""

    rows: Mapping[str, int]
    others: int = 0
    letters: int = 4


@dataclass(frozen=True, slots=True)
class SheetXml:
    """A document for the engraver: its text, and what is the same in all documents of one part.

    `lyric_lines` of the score's own stand above the room; the longest bar number has `digits`; `bars` are
    the numbers of its bars.
    """

    text: str
    lyric_lines: int
    digits: int
    bars: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetBars:
    """The bars that are engraved, ready but for their text; `state` is what the first inherits."""

    measures: tuple[Element, ...]
    lyric_lines: int
    state: "State"

    def sheet(self, measures: Iterable[Element]) -> SheetXml:
        """Some of them as a document."""
        measures = tuple(measures)
        bars = tuple(number_of(measure) for measure in measures)
        body = "".join(xml_text(measure) for measure in measures)
        numbers = [number for measure in self.measures if (number := number_of(measure)).isdecimal()]
        digits = max(map(len, numbers), default=0)
        return SheetXml(f"{HEAD}{body}</part></score-partwise>", self.lyric_lines, digits, bars)


def sheet_xml(reading: ScoreReading, bars: str | None = None, room: RoomUnderNotes | None = None) -> SheetXml:
    """The part that was read as one document, its k-th note element with the id `P1-n<k>` of the passage.

    Raises ScoreError for bars that are not there.
    """
    found = sheet_bars(reading, bars, room)
    return found.sheet(found.measures)


def sheet_bars(reading: ScoreReading, bars: str | None, room: RoomUnderNotes | None) -> SheetBars:
    """The bars that are engraved, with the ids of the passage's notes, and `room` kept under them.

    All other ids go, so that none of the score's own can be taken for one of ours. Raises
    ScoreError for bars that are not there.
    """
    root = parse_tree(reading.source.data, reading.source.name, unread=frozenset(NOT_ENGRAVED))
    _, parts = score_parts(root)
    index = reading.part.index
    measures = parts[index - 1]
    for measure in measures:
        drop_odd_numbers(measure)
    _name_notes(measures, f"P{index}-n")
    wanted = chosen_bars(bars, [number_of(measure) for measure in measures], reading.source.name)
    kept = [*measures[wanted.start : wanted.stop]]
    state = State()
    for measure in measures[: wanted.start]:
        state.meet(measure)
    if wanted.start:
        state.into(kept[0])
    lines = _number_lyrics(kept)
    if room:
        _keep_room(kept, room, lines)
    _close_tempos(kept)
    _join_rests(kept)
    return SheetBars(tuple(kept), lines, state)


def number_of(measure: Element) -> str:
    """The number of a bar as printed."""
    return measure.attributes.get("number", "")


class State:
    """What a bar inherits from the bars before it: divisions, key, time, clef and the like."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, str], Element] = {}

    def meet(self, measure: Element) -> None:
        """Take in what a bar sets."""
        for attributes in measure.all("attributes"):
            for child in attributes.children:
                if child.name in STATE:
                    self._known[child.name, child.attributes.get("number", "1")] = child

    def into(self, first: Element, *, unseen: frozenset[str] = frozenset()) -> None:
        """Write it into a bar that begins a document; what is inherited of `unseen` is not drawn again."""
        own = first.children[0] if first.children and first.children[0].name == "attributes" else None
        if own is None:
            own = Element("attributes", {}, first.start)
            first.insert(0, own)
        state = {key: _hidden(child) if key[0] in unseen else child for key, child in self._known.items()}
        for child in own.children:
            state[child.name, child.attributes.get("number", "1")] = child
        known = [child for name in STATE for (found, _), child in sorted(state.items()) if found == name]
        own.children = known + [child for child in own.children if child.name not in STATE]


def _hidden(element: Element) -> Element:
    """The same element, not to be drawn."""
    same = Element(element.name, {**element.attributes, "print-object": "no"}, element.start)
    same.text, same.children = element.text, element.children
    return same


def _name_notes(measures: Iterable[Element], prefix: str) -> None:
    """Give every note element its id, and take every other id away."""
    ordinal = 0
    for measure in measures:
        _forget_ids(measure)
        for note in measure.all("note"):
            ordinal += 1
            note.attributes = {**note.attributes, "id": f"{prefix}{ordinal}"}


def _forget_ids(element: Element) -> None:
    if "id" in element.attributes:
        element.attributes = {name: text for name, text in element.attributes.items() if name != "id"}
    for child in element.children:
        _forget_ids(child)


def _number_lyrics(measures: Sequence[Element]) -> int:
    """Number the lyric lines from 1 without gaps; gives how many there are."""
    lyrics = [lyric for measure in measures for note in measure.all("note") for lyric in note.all("lyric")]
    used = sorted(
        {lyric.attributes.get("number", "1") for lyric in lyrics}, key=lambda text: (len(text), text)
    )
    for lyric in lyrics:
        line = used.index(lyric.attributes.get("number", "1")) + 1
        lyric.attributes = {**lyric.attributes, "number": str(line)}
    return len(used)


def _close_tempos(measures: Iterable[Element]) -> None:
    """What closes a bracket around a tempo is written after its number: the engraver sets all words first."""
    for measure in measures:
        for direction in measure.all("direction"):
            number: Element | None = None
            for kind in direction.all("direction-type"):
                metronome = kind.find("metronome")
                if metronome is not None:
                    number = metronome.find("per-minute")
                closing = [words for words in kind.all("words") if words.text.strip() in CLOSING]
                if number is not None and closing:
                    number.text = number.text.strip() + closing[0].text.strip()
                    kind.children = [child for child in kind.children if child is not closing[0]]
            direction.children = [
                child for child in direction.children if child.name != "direction-type" or child.children
            ]


def _keep_room(measures: Sequence[Element], room: RoomUnderNotes, lines: int) -> None:
    """Placeholders under each note that may carry a mark, in its first and last row below `lines` lyrics."""
    for measure in measures:
        for head, ids in _chords(measure):
            rows = max(room.rows.get(name, room.others) for name in ids)
            for row in sorted({1, rows} if rows else ()):  # width is kept within a line only
                head.insert(len(head.children), _placeholder(head, lines + row, room.letters))


def _join_rests(measures: Sequence[Element]) -> None:
    """Several empty bars in a row drawn as one, with their number."""
    run: list[Element] = []
    for measure in (*measures, None):
        if measure is not None and is_empty(measure, first=not run):
            run.append(measure)
            continue
        if len(run) >= FEWEST_RESTS:
            _say_rests(run)
        run = [measure] if measure is not None and is_empty(measure, first=True) else []


def is_empty(measure: Element, *, first: bool) -> bool:
    """Whether a bar is nothing but a rest, and no short one; the first of several may set key, time, clef."""
    notes = list(measure.all("note"))
    others = {child.name for child in measure.children} - {"note", "print"}
    silent = bool(notes) and all(note.find("rest") is not None for note in notes)
    silent = silent and measure.attributes.get("implicit") != "yes"
    return silent and others <= ({"attributes"} if first else set())


def _say_rests(run: Sequence[Element]) -> None:
    """The sign for so many bars' rest, in attributes of its own in the first.

    In those that set a clef the engraver draws the clef twice.
    """
    start = run[0].start
    number = Element("multiple-rest", {}, start)
    number.text = str(len(run))
    style = Element("measure-style", {}, start)
    style.insert(0, number)
    own = Element("attributes", {}, start)
    own.insert(0, style)
    run[0].insert(sum(child.name in ("attributes", "print") for child in run[0].children), own)


def _placeholder(note: Element, line: int, letters: int) -> Element:
    """A lyric of narrow letters; the engraver keeps all rows down to its own free."""
    holder = Element("lyric", {"number": str(line)}, note.start)
    for name, text in (("syllabic", "single"), ("text", PLACEHOLDER * letters)):
        child = Element(name, {}, note.start)
        child.text = text
        holder.insert(len(holder.children), child)
    return holder


def _chords(measure: Element) -> Iterator[tuple[Element, list[str]]]:
    """The first note of every chord (or single note) that sounds, with the ids of all its notes."""
    head: Element | None = None
    ids: list[str] = []
    for note in measure.all("note"):
        if note.find("chord") is None or head is None:
            if head is not None:
                yield head, ids
            head, ids = (note, []) if note.find("rest") is None else (None, [])
        ids.append(note.attributes["id"])
    if head is not None:
        yield head, ids


def xml_text(element: Element) -> str:
    """An element as XML text."""
    attributes = "".join(f' {name}="{escape(value)}"' for name, value in element.attributes.items())
    inner = escape(element.text, quote=False) + "".join(xml_text(child) for child in element.children)
    return f"<{element.name}{attributes}>{inner}</{element.name}>"
