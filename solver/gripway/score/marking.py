"""Marks written into the score they belong to, as insertions only."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, count, cycle

from gripway.errors import RequestError
from gripway.model.house_style import FINGERING, FREE, LYRIC, PICTURE, WORDS
from gripway.score.engraved_width import MARK_POINTS, text_spaces
from gripway.score.free_side import ABOVE, SIDES, Wanted, surroundings
from gripway.score.mark_xml import (
    PICTURE_TENTHS,
    Mark,
    direction_element,
    fingering_element,
    line_element,
    lyric_element,
)
from gripway.score.own_marks import as_own
from gripway.score.reading.read_notes import NotePlace, chord_ends
from gripway.score.reading.score_reading import ScoreSource
from gripway.score.xml.splice import Document, Indentation, Insertion, apply_insertions, layout_of
from gripway.score.xml.xml_tree import LYRIC_NAME, Element

_AFTER_NOTATIONS = ("lyric", "play", "listen")
_AFTER_LYRICS = ("play", "listen")
_LINE_NUMBER = re.compile(r"""<(?:bracket|dashes)\b[^>]*\bnumber\s*=\s*["']([0-9]{1,2})["']""")
_LINE_NUMBERS = range(1, 17)
"""Numbers of lines in MusicXML."""


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
    for mark in dict.fromkeys(_on_a_side(marks, source, places)):
        by_place.setdefault(_place(places, mark, source.name), []).append(mark)
    lines = _Lines(document, places, source.name)
    insertions = chain.from_iterable(
        _insertions(document, place, wanted, number, lines) for place, wanted in by_place.items()
    )
    marked = apply_insertions(source.data, [*insertions, *lines.ends])
    if source.archive is None:
        return marked
    from gripway.score.xml.archive import replace_score

    return replace_score(source.archive, marked)


def _on_a_side(marks: Iterable[Mark], source: ScoreSource, places: Mapping[str, NotePlace]) -> Iterator[Mark]:
    """The marks, each above or below the staff; those with a line above it, where engravers draw lines."""
    marks = list(marks)
    free = [mark for mark in marks if mark.placement == FREE]
    wanted = [_wanted(mark, _place(places, mark, source.name).start) for mark in free]
    sides = iter(surroundings(source).sides(wanted) if free else ())
    for mark in marks:
        yield replace(mark, placement=next(sides)) if mark.placement == FREE else mark


def _wanted(mark: Mark, start: int) -> Wanted:
    """What a mark takes beside its note: words begin there, the other kinds stand in its middle."""
    is_picture = mark.style == PICTURE
    wide = PICTURE_TENTHS / 10 if is_picture else text_spaces(mark.written, mark.font_points or MARK_POINTS)
    left = 0.0 if mark.style == WORDS else wide / 2
    return Wanted(start, left, wide - left, (ABOVE,) if mark.until else SIDES)


def _place(places: Mapping[str, NotePlace], mark: Mark, name: str) -> NotePlace:
    if mark.note_id not in places:
        raise _no_note(mark.note_id, name)
    return places[mark.note_id]


def _no_note(note_id: str, name: str) -> RequestError:
    return RequestError(
        f"there is no note {note_id!r} in this score", place=name, next_step="Read the score again"
    )


def _insertions(
    document: Document, place: NotePlace, marks: Sequence[Mark], lyric_number: int, lines: "_Lines"
) -> list[Insertion]:
    """What has to be put in at one note."""
    note = document.fragment(place.start, place.end, "note")
    layout = layout_of(document, note)
    fingerings = _new(marks, FINGERING, _texts(note, "fingering"))
    lyrics = _new(marks, LYRIC, _texts(note, "text"))
    before = document.fragment(place.lead, place.head)
    words = _new(marks, WORDS, _texts(before, "words"))
    pictures = _new(marks, PICTURE, _sources(before))
    made = [_fingerings(document, note, layout, fingerings)] if fingerings else []
    made += [_lyrics(document, note, layout, lyrics, lyric_number)] if lyrics else []
    outside = Indentation(document.margin_before(place.head), layout.step, layout.deep_ends)
    staff = note.text_of("staff")
    before_note = "".join(direction_element(mark, outside, staff) for mark in (*words, *pictures))
    for mark in (*fingerings, *lyrics, *words, *pictures):
        before_note += lines.begun(mark, outside, staff) if mark.until else ""
    if before_note:
        made.append(Insertion(document.after_content(place.head), as_own(document, before_note)))
    return made


def _new(marks: Sequence[Mark], style: str, there: set[str]) -> list[Mark]:
    return [mark for mark in marks if mark.style == style and mark.written not in there]


def _texts(element: Element, name: str) -> set[str]:
    """The texts of all elements of a name below an element."""
    below = set().union(*[_texts(child, name) for child in element.children])
    return below | {element.text.strip()} if element.name == name else below


def _sources(before: Element) -> set[str]:
    """The files of all pictures before a note."""
    below = set().union(*[_sources(child) for child in before.children])
    return below | {before.attributes.get("source", "")} if before.name == "image" else below


def _fingerings(document: Document, note: Element, layout: Indentation, marks: Sequence[Mark]) -> Insertion:
    """Into the first <technical> of the first <notations>; what is missing of the two is made."""
    inner = "".join(layout.margin_at(2) + fingering_element(mark) for mark in marks)
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
    document: Document, note: Element, layout: Indentation, marks: Sequence[Mark], first: int
) -> Insertion:
    """Lyrics on our own line after the note's other lyrics, one line further down for each more."""
    used = {lyric.attributes.get("number", "1") for lyric in note.all("lyric")}
    free = (str(number) for number in count(first) if str(number) not in used)
    made = "".join(lyric_element(mark, number, layout) for mark, number in zip(marks, free, strict=False))
    return _into_note(document, note, made, _AFTER_LYRICS)


class _Lines:
    """The lines that go with marks: each has a number no other has near it, and an end to be put in."""

    def __init__(self, document: Document, places: Mapping[str, NotePlace], name: str) -> None:
        self.document, self.places, self.name = document, places, name
        self.ends: list[Insertion] = []
        self.chord_ends = chord_ends(places.values())
        text = document.data.decode(document.codec, "replace")
        used = {int(number) for number in _LINE_NUMBER.findall(text)}
        self.numbers = cycle([number for number in _LINE_NUMBERS if number not in used] or _LINE_NUMBERS)

    def begun(self, mark: Mark, outside: Indentation, staff: str) -> str:
        """The beginning of a mark's line; its end is kept for the note it leads to."""
        number = next(self.numbers)
        last = self.places.get(mark.until)
        if last is None:
            raise _no_note(mark.until, self.name)
        margin = self.document.margin_before(last.head)
        there = Indentation(margin, outside.step, outside.deep_ends)
        end = line_element(mark, number, there, staff, ends=True)
        at = self.document.after_tag(self.chord_ends[last.head])
        self.ends.append(Insertion(at, as_own(self.document, end)))
        return line_element(mark, number, outside, staff, ends=False)


def _lyric_number(document: Document) -> int:
    """The number of our lyric line: the one it has, else the next after all numbers in use."""
    tags = re.findall(r"<lyric\b[^>]*>", document.data.decode(document.codec, "replace"))
    numbers = [(tag, re.search(r"""\bnumber\s*=\s*["']([0-9]{1,9})["']""", tag)) for tag in tags]
    for tag, number in numbers:
        if number is not None and f'name="{LYRIC_NAME}"' in tag:
            return int(number[1])
    return 1 + max((int(number[1]) if number else 1 for _, number in numbers), default=0)
