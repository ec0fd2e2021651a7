"""What is written at one note that a mark of ours could be: where it stands, and how it is taken out."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gripway.model.listed_mark import LINE, LINE_ENDS
from gripway.score.reading.read_notes import NotePlace, chord_ends
from gripway.score.xml.splice import Document
from gripway.score.xml.xml_tree import Element


@dataclass(frozen=True, slots=True)
class NoteSign:
    """A sign at a note: its kind and text as ListedMark has them, and its element inside those around it."""

    kind: str
    text: str
    around: tuple[Element, ...]
    element: Element


class NoteSigns:
    """The signs at the notes of a document."""

    def __init__(self, document: Document, places: Mapping[str, NotePlace]) -> None:
        self.document = document
        self.chord_ends = chord_ends(places.values())
        tags = (re.escape(document.encode(tag)) for tag in ("<note", "</measure", "</part"))
        self.next_tag = re.compile(b"|".join(tags))

    def at(self, place: NotePlace) -> Iterator[NoteSign]:
        """Fingerings and lyrics of a note, words, pictures and lines before it, ends of lines after it."""
        note = self.document.fragment(place.start, place.end, "note")
        for notations in note.all("notations"):
            for technical in notations.all("technical"):
                for each in technical.all("fingering"):
                    yield NoteSign("fingering", _one_line(each.text), (notations, technical), each)
        for each in note.all("lyric"):
            yield NoteSign("lyric", _one_line(each.text_of("text")), (), each)
        start, stop = LINE_ENDS
        for sign in self._in_directions(place.lead, place.head):
            if sign.kind != LINE or sign.text == start:
                yield sign
        for sign in self._in_directions(*self._after(self.chord_ends[place.head])):
            if sign.kind == LINE and sign.text == stop:
                yield sign

    def reach(self, place: NotePlace) -> tuple[int, int]:
        """From which byte to which every sign at a note stands."""
        return place.lead, self._after(self.chord_ends[place.head])[1]

    def _after(self, end: int) -> tuple[int, int]:
        """What stands between a chord's last end tag and the next note of the bar."""
        after = self.document.after_tag(end)
        found = self.next_tag.search(self.document.data, after)
        return after, found.start() if found else after

    def _in_directions(self, start: int, end: int) -> Iterator[NoteSign]:
        for direction in self.document.fragment(start, end).all("direction"):
            for kind in direction.all("direction-type"):
                for each in kind.children:
                    if each.name == "words":
                        yield NoteSign("words", _one_line(each.text), (direction, kind), each)
                    elif each.name == "image":
                        source = each.attributes.get("source", "")
                        yield NoteSign("picture", source, (direction, kind), each)
                    elif each.name == "bracket":
                        end_of_line = each.attributes.get("type", "")
                        yield NoteSign(LINE, end_of_line, (direction, kind), each)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def without_signs(document: Document, signs: Iterable[NoteSign]) -> bytes:
    """The document without these signs, and without the elements around them that are empty then."""
    doomed: set[int] = set()
    around: dict[int, Element] = {}
    spans: dict[int, int] = {}
    for sign in signs:
        doomed.add(sign.element.start)
        around |= {element.start: element for element in (*sign.around, sign.element)}
    for at in sorted(around, reverse=True):  # children stand after what is around them
        element = around[at]
        held = element.all("direction-type") if element.name == "direction" else iter(element.children)
        if at in doomed or all(child.start in doomed for child in held):
            doomed.add(at)
            spans[document.after_content(at)] = _past(document, element)
    pieces, done = [], 0
    for start, end in sorted(spans.items()):
        if end > done:  # what is inside another one is gone with it
            pieces.append(document.data[done:start])
            done = end
    return b"".join([*pieces, document.data[done:]])


def _past(document: Document, element: Element) -> int:
    """The offset after an element's last tag."""
    ends = document.is_end_tag(element.end, element.name)
    return document.after_tag(element.end if ends else element.start)
