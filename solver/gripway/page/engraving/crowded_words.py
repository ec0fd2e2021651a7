"""Tempo marks that the engraver would pile up, and words that would leave the page: written to fit.

Where they do not fit is known once they are drawn; the document is then changed there and drawn again.
"""

import re
import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gripway.page.engraving.sheet_xml import CLOSING, SheetXml, xml_text
from gripway.page.engraving.svg_cleaning import Drawn
from gripway.score.xml.xml_tree import Element, parse_tree

BETWEEN = " \N{EN DASH} "
"""Between the numbers of tempo marks that are drawn as one."""

HALF = 0.5
WIDER = 1.15
"""Letters in print are so much wider than the engraver takes them to be (measured)."""
AIR = 150.0
"""Between words and the number of a rest of several bars, in the engraver's measures."""

_SHIFT = re.compile(r"translate\((-?[0-9.]+)")

Place = tuple[str, int]
"""A text of some words, and how many of the same text stand before it."""


@dataclass(frozen=True, slots=True)
class Crowding:
    """What does not fit, counted through the document.

    `tempos` are the marks that begin before the one before has ended, of `drawn` marks in all; `words` the
    words that go over the edge, with the share of their width that has room.
    """

    tempos: frozenset[int]
    drawn: int
    words: dict[Place, float]

    def __bool__(self) -> bool:
        return bool(self.tempos or self.words)


def crowding(drawings: Sequence[Drawn], width: float) -> Crowding:
    """What does not fit in some drawings, one a system and so wide, of one document."""
    tempos: set[int] = set()
    over: dict[Place, float] = {}
    seen: Counter[str] = Counter()
    drawn = 0
    for drawing in drawings:
        before = None
        numbers = [*_rest_numbers(drawing)]
        for kind, text in _marks(drawing):
            left, right = _span(text)
            if kind == "tempo":
                if before is not None and left < before:
                    tempos.add(drawn)
                before, drawn = right, drawn + 1
                continue
            said = _said(text)
            place = (said, seen[said])
            seen[said] += 1
            end = min([width, *(number for number in numbers if number > left)])
            if " " in said and (room := _room(left, left + (right - left) * WIDER, end)) < 1:
                over[place] = room
    return Crowding(frozenset(tempos), drawn, over)


def _room(left: float, right: float, width: float) -> float:
    """The share of some words that has room; where they push the music off the page, half a line."""
    return HALF if left < 0 else (width - left) / (right - left) if left < width < right else 1.0


def made_to_fit(sheet: SheetXml, found: Crowding) -> SheetXml:
    """The document with long words broken, crowded tempos of empty bars in one mark, others as a number."""
    root = parse_tree(sheet.text.encode(), "music", unread=frozenset())
    (part,) = root.all("part")
    if found.tempos and len([*_metronomes(part)]) == found.drawn:
        _join_tempos(part, found.tempos)
    seen: Counter[str] = Counter()
    for words in _every(part, "words"):
        said = " ".join(words.text.split())
        place = (said, seen[said])
        seen[said] += 1
        if (room := found.words.get(place)) is not None:
            letters = max(map(len, said.split()), default=1)
            words.text = "\n".join(textwrap.wrap(said, max(letters, int(len(said) * room))))
    return replace(sheet, text=xml_text(root))


def _join_tempos(part: Element, crowded: frozenset[int]) -> None:
    first: Element | None = None
    for at, (measure, direction, mark) in enumerate([*_metronomes(part)]):
        number = mark.find("per-minute")
        same = first is not None and number is not None and _beat(first) == _beat(mark)
        if at not in crowded or not same or first is None or number is None:
            first = mark
            continue
        if any(note.find("rest") is None for note in measure.all("note")):
            _number_only(direction, mark)
        else:
            _append(first, number.text)
            measure.children = [child for child in measure.children if child is not direction]


def _append(first: Element, text: str) -> None:
    """Another number behind that of a mark, inside its bracket."""
    number = first.find("per-minute")
    if number is None:
        return
    closing = "".join(CLOSING)
    end = number.text[len(number.text.rstrip(closing)) :]
    number.text = f"{number.text.rstrip(closing)}{BETWEEN}{text.rstrip(closing)}{end}"


def _number_only(direction: Element, mark: Element) -> None:
    """A mark without its beat, which the mark before has."""
    words = Element("words", {"font-weight": "bold", "font-style": "normal"}, mark.start)
    words.text = mark.text_of("per-minute")
    for kind in direction.all("direction-type"):
        kind.children = [words if child is mark else child for child in kind.children]


def _beat(mark: Element) -> list[str]:
    return [child.text.strip() or child.name for child in mark.children if child.name.startswith("beat-unit")]


def _metronomes(part: Element) -> Iterator[tuple[Element, Element, Element]]:
    """Every printed tempo mark with its bar and its direction."""
    for measure in part.all("measure"):
        for direction in measure.all("direction"):
            for mark in _every(direction, "metronome"):
                yield measure, direction, mark


def _every(element: Element, name: str) -> Iterator[Element]:
    for child in element.children:
        if child.name == name:
            yield child
        yield from _every(child, name)


def _marks(element: Drawn) -> Iterator[tuple[str, Drawn]]:
    """The text of every tempo mark (`tempo`) and of all other words (`dir`), in the order of the music."""
    for child in element.children:
        kind = next((kind for kind in ("tempo", "dir") if kind in child.kinds), "")
        if kind and "bounding-box" not in child.kinds:
            yield from ((kind, text) for text in child.children if text.name == "text")
        else:
            yield from _marks(child)


def _rest_numbers(element: Drawn, inside: bool = False) -> Iterator[float]:
    """Where the numbers over rests of several bars begin, with the air before them."""
    inside = inside or "multiRestNum" in element.kinds
    if inside and (found := _SHIFT.match(element.attributes.get("transform", ""))):
        yield float(found[1]) - AIR
    for child in element.children:
        yield from _rest_numbers(child, inside)


def _span(text: Drawn) -> tuple[float, float]:
    """Where a text begins and ends: the engraver boxes each piece with all that stands before it."""
    left = float(text.attributes.get("x", "0"))
    return left, max((left, *_rights(text)))


def _rights(element: Drawn) -> Iterator[float]:
    if element.name == "rect":
        yield float(element.attributes.get("x", "0")) + float(element.attributes.get("width", "0"))
    for child in element.children:
        yield from _rights(child)


def _said(text: Drawn) -> str:
    return " ".join(_letters(text).split())


def _letters(element: Drawn) -> str:
    return element.text + "".join(_letters(child) for child in element.children)
