"""Insertions into the bytes of an XML document: where they go and how they are indented.

Nothing is ever taken out or changed: a text is put between two bytes of the original, in the
document's own encoding, with the newlines and the indentation found beside it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from gripway.score.xml.xml_tree import Element, parse_tree

BLANKS = " \t\r\n"
_CODE_UNIT = {"utf-16-le": 2, "utf-16-be": 2}
_EXPAT_NAME = {"utf-16-le": "UTF-16LE", "utf-16-be": "UTF-16BE"}


@dataclass(frozen=True, slots=True)
class Insertion:
    """Bytes to put in at a byte offset of the original."""

    at: int
    data: bytes


def apply_insertions(data: bytes, insertions: Iterable[Insertion]) -> bytes:
    """The original with all insertions made; those at one offset keep their order."""
    pieces = []
    done = 0
    for insertion in sorted(insertions, key=lambda each: each.at):
        pieces += [data[done : insertion.at], insertion.data]
        done = insertion.at
    return b"".join([*pieces, data[done:]])


@dataclass(frozen=True, slots=True)
class Document:
    """The bytes of a score and the codec they are in."""

    data: bytes
    codec: str

    def encode(self, text: str) -> bytes:
        """Text in the document's encoding; characters it lacks become character references."""
        return text.encode(self.codec, "xmlcharrefreplace")

    def blanks_before(self, at: int) -> str:
        """The blanks that stand right before a byte offset."""
        unit = _CODE_UNIT.get(self.codec, 1)
        start = at
        while start >= unit and self.data[start - unit : start].decode(self.codec, "replace") in BLANKS:
            start -= unit
        return self.data[start:at].decode(self.codec)

    def after_content(self, at: int) -> int:
        """The offset after the last thing before `at` that is not blank."""
        return at - len(self.encode(self.blanks_before(at)))

    def margin_before(self, at: int) -> str:
        """Newline and indentation before an offset: empty where it stands on no line of its own."""
        blanks = self.blanks_before(at)
        newline = "\r\n" if "\r\n" in blanks else "\n" if "\n" in blanks else "\r" if "\r" in blanks else ""
        return newline + blanks.rpartition(newline)[2] if newline else ""

    def after_tag(self, at: int) -> int:
        """The offset after the tag that stands at an offset, or next behind it."""
        tag = self.encode(">")
        return self.data.index(tag, at) + len(tag)

    def is_end_tag(self, at: int, name: str) -> bool:
        """Whether the end tag of `name` stands at an offset (it does not where <name/> closed itself)."""
        tag = self.encode(f"</{name}")
        return self.data[at : at + len(tag)] == tag

    def fragment(self, start: int, end: int, closing: str = "") -> Element:
        """The tree of a stretch of the document, offsets counted in the document.

        With `closing`, the stretch is an element whose end tag begins at `end`; without, it is
        any number of elements, and the tree's root holds them.
        """
        opening = "" if closing else "<stretch>"
        shift = len(self.encode(opening))
        text = self.encode(opening) + self.data[start:end] + self.encode(f"</{closing or 'stretch'}>")
        encoding = _EXPAT_NAME.get(self.codec, self.codec)
        root = parse_tree(text, "score", encoding=encoding, unread=frozenset())
        _shift(root, start - shift)
        return root


def _shift(element: Element, by: int) -> None:
    element.start += by
    element.end += by
    for child in element.children:
        _shift(child, by)


@dataclass(frozen=True, slots=True)
class Indentation:
    """How a note is laid out: the margin of its children, one step further in, and its end tags.

    Margins are newline and indentation, empty in a score written on one line. `deep_ends`
    is true where end tags stand as deep as the children before them.
    """

    margin: str
    step: str
    deep_ends: bool

    def margin_at(self, depth: int) -> str:
        """Margin of an element `depth` levels below the note's children."""
        return self.margin + self.step * depth if self.margin else ""

    def end_margin(self, depth: int) -> str:
        """Margin of the end tag of an element at this depth."""
        return self.margin_at(depth + 1 if self.deep_ends else depth)

    def wrap(self, names: list[str], inner: str, depth: int) -> str:
        """`inner` (with its own margin) inside elements of these names, outermost first."""
        if not names:
            return inner
        name, *rest = names
        opening = self.margin_at(depth) + f"<{name}>"
        closing = self.end_margin(depth) + f"</{name.split()[0]}>"
        return opening + self.wrap(rest, inner, depth + 1) + closing


def layout_of(document: Document, note: Element) -> Indentation:
    """The layout of a note, read from the blanks around its tags."""
    own = document.margin_before(note.start)
    margin = document.margin_before(note.children[0].start) if note.children else own
    step = margin[len(own) :] if margin.startswith(own) else ""
    deep = bool(margin) and document.margin_before(note.end) == margin != own
    return Indentation(margin, step or "  ", deep)


def text_element(name: str, text: str, **attributes: str) -> str:
    """An element with escaped text: `<fingering placement="below">1</fingering>`."""
    written = "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())
    return f"<{name}{written}>{escape(text, quote=False)}</{name}>"
