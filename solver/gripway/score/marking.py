"""Marks written into the score they belong to, as insertions only."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, count

from gripway.errors import RequestError
from gripway.model.house_style import PLACEMENTS, STYLES
from gripway.score.own_marks import as_own
from gripway.score.reading.read_notes import NotePlace
from gripway.score.reading.score_reading import ScoreSource
from gripway.score.xml.splice import Document, Insertion, Layout, apply_insertions, layout_of, text_element
from gripway.score.xml.xml_tree import LYRIC_NAME, Element

_AFTER_NOTATIONS = ("lyric", "play", "listen")
_AFTER_LYRICS = ("play", "listen")
_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Mark:
    """A text at a note: as a <fingering>, as a lyric line of its own, or as words over the staff.

    `bracket` puts it in square brackets, the sign of an editor's addition.
    """

    note_id: str
    text: str
    style: str = "fingering"
    placement: str = "below"
    bracket: bool = False

    def __post_init__(self) -> None:
        if self.style not in STYLES:
            raise RequestError(
                f"no such style of mark: {self.style!r}", next_step=f"Choose one of {', '.join(STYLES)}"
            )
        if self.placement not in PLACEMENTS:
            raise RequestError(f"no such placement: {self.placement!r}", next_step="Choose below or above")
        if not self.text.strip() or _UNWRITABLE.search(self.text):
            raise RequestError(
                f"{self.text!r} cannot be written as a mark", next_step="Give a text of printable signs"
            )

    @property
    def written(self) -> str:
        """The text as it stands in the score."""
        text = " ".join(self.text.split())
        return f"[{text}]" if self.bracket else text


def mark_score(source: ScoreSource, places: Mapping[str, NotePlace], marks: Iterable[Mark]) -> bytes:
    """The bytes of the score with the marks put in; every byte that was there stays.

    Each mark is put in so that it can be taken out again (see `score/own_marks.py`).
    A mark whose text already stands at its note in the same style is not written again. For
    an .mxl the archive comes back with only its score member changed. Raises RequestError
    for a note id the score has not.
    """
    document = Document(source.data, source.codec)
    number = _lyric_number(document)
    by_place: dict[NotePlace, list[Mark]] = {}
    for mark in dict.fromkeys(marks):
        by_place.setdefault(_place(places, mark, source.name), []).append(mark)
    insertions = chain.from_iterable(
        _insertions(document, place, wanted, number) for place, wanted in by_place.items()
    )
    marked = apply_insertions(source.data, insertions)
    if source.archive is None:
        return marked
    from gripway.score.xml.archive import replace_score

    return replace_score(source.archive, marked)


def _place(places: Mapping[str, NotePlace], mark: Mark, name: str) -> NotePlace:
    if mark.note_id not in places:
        raise RequestError(
            f"there is no note {mark.note_id!r} in this score", place=name, next_step="Read the score again"
        )
    return places[mark.note_id]


def _insertions(
    document: Document, place: NotePlace, marks: Sequence[Mark], lyric_number: int
) -> list[Insertion]:
    """What has to be put in at one note."""
    note = document.fragment(place.start, place.end, "note")
    layout = layout_of(document, note)
    fingerings = _new(marks, "fingering", _texts(note, "fingering"))
    lyrics = _new(marks, "lyric", _texts(note, "text"))
    words = _new(marks, "words", _texts(document.fragment(place.lead, place.head), "words"))
    made = [_fingerings(document, note, layout, fingerings)] if fingerings else []
    made += [_lyrics(document, note, layout, lyrics, lyric_number)] if lyrics else []
    made += [_words(document, place, note, layout, words)] if words else []
    return made


def _new(marks: Sequence[Mark], style: str, there: set[str]) -> list[Mark]:
    return [mark for mark in marks if mark.style == style and mark.written not in there]


def _texts(element: Element, name: str) -> set[str]:
    """The texts of all elements of a name below an element."""
    below = set().union(*[_texts(child, name) for child in element.children])
    return below | {element.text.strip()} if element.name == name else below


def _fingerings(document: Document, note: Element, layout: Layout, marks: Sequence[Mark]) -> Insertion:
    """Into the first <technical> of the first <notations>; what is missing of the two is made."""
    texts = [text_element("fingering", mark.written, placement=mark.placement) for mark in marks]
    inner = "".join(layout.margin_at(2) + text for text in texts)
    notations = note.find("notations")
    if notations is None or not document.is_end_tag(notations.end, "notations"):
        return _into_note(document, note, layout.wrap(["notations", "technical"], inner, 0), _AFTER_NOTATIONS)
    technical = notations.find("technical")
    if technical is None or not document.is_end_tag(technical.end, "technical"):
        made = as_own(document, layout.wrap(["technical"], inner, 1))
        return Insertion(document.after_content(notations.end), made)
    return Insertion(document.after_content(technical.end), as_own(document, inner))


def _into_note(document: Document, note: Element, made: str, followers: tuple[str, ...]) -> Insertion:
    """New children of the note, before the first of the elements that must follow them."""
    after = next((child.start for child in note.children if child.name in followers), note.end)
    return Insertion(document.after_content(after), as_own(document, made))


def _lyrics(
    document: Document, note: Element, layout: Layout, marks: Sequence[Mark], first: int
) -> Insertion:
    """Lyrics on our own line after the note's other lyrics, one line further down for each more."""
    used = {lyric.attributes.get("number", "1") for lyric in note.all("lyric")}
    free = (str(number) for number in count(first) if str(number) not in used)
    made = ""
    for mark, number in zip(marks, free, strict=False):
        holder = f'lyric number="{number}" name="{LYRIC_NAME}" placement="{mark.placement}"'
        made += layout.wrap([holder], layout.margin_at(1) + text_element("text", mark.written), 0)
    return _into_note(document, note, made, _AFTER_LYRICS)


def _words(
    document: Document, place: NotePlace, note: Element, layout: Layout, marks: Sequence[Mark]
) -> Insertion:
    """A direction before the note (before the whole chord, where it is in one)."""
    margin = document.margin_before(place.head)
    outside = Layout(margin, layout.step, layout.deep_ends)
    staff = note.text_of("staff")
    made = ""
    for mark in marks:
        words = outside.wrap(
            ["direction-type"], outside.margin_at(2) + text_element("words", mark.written), 1
        )
        staff_line = outside.margin_at(1) + text_element("staff", staff) if staff else ""
        made += margin
        made += (
            f'<direction placement="{mark.placement}">{words}{staff_line}{outside.end_margin(0)}</direction>'
        )
    return Insertion(document.after_content(place.head), as_own(document, made))


def _lyric_number(document: Document) -> int:
    """The number of our lyric line: the one it has, else the next after all numbers in use."""
    tags = re.findall(r"<lyric\b[^>]*>", document.data.decode(document.codec, "replace"))
    numbers = [(tag, re.search(r"""\bnumber\s*=\s*["']([0-9]{1,9})["']""", tag)) for tag in tags]
    for tag, number in numbers:
        if number is not None and f'name="{LYRIC_NAME}"' in tag:
            return int(number[1])
    return 1 + max((int(number[1]) if number else 1 for _, number in numbers), default=0)
