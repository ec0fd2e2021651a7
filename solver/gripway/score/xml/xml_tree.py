"""XML bytes to a light tree with byte offsets, safely: no entities, nothing fetched, bounded."""

import codecs
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from sys import intern
from xml.parsers import expat

from gripway.errors import ScoreError
from gripway.free_memory import check_reading

MAX_BYTES = 64 * 1024 * 1024
"""Largest document read, in bytes (judgement: twenty times a long orchestral score)."""

MAX_DEPTH = 64
"""Deepest nesting read (judgement: MusicXML 4.0 itself goes about ten deep)."""

UNREAD = frozenset(
    {
        "appearance",
        "clef",
        "defaults",
        "figured-bass",
        "harmony",
        "listen",
        "lyric",
        "midi-device",
        "midi-instrument",
        "notehead",
        "notehead-text",
        "part-abbreviation",
        "part-abbreviation-display",
        "part-group",
        "part-name-display",
        "play",
        "print",
        "score-instrument",
        "stem",
        "tuplet",
    }
)
"""Elements that say nothing to the fingers; they are skipped with all they hold."""

XML_CHARACTERS = re.compile("[^\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]*")
"""A text that an XML document can hold."""

LYRIC_NAME = "grip"
"""Name of the lyric line that marks are written in: the only lyrics that are read."""


NONE: Mapping[str, str] = {}
"""The attributes of an element without any."""


class Element:
    """One XML element: name, attributes, text, children, and where its tags stand in the bytes.

    `start` is the byte offset of the start tag, `end` that of the end tag. Attributes and children are
    replaced, never changed in place: elements without any share theirs.
    """

    __slots__ = ("attributes", "children", "end", "name", "start", "text")

    def __init__(self, name: str, attributes: Mapping[str, str], start: int) -> None:
        self.name = name
        self.attributes = attributes
        self.start = start
        self.end = start
        self.text = ""
        self.children: Sequence[Element] = ()

    def insert(self, place: int, child: "Element") -> None:
        """Put a child before the one at a place, or after all of them."""
        self.children = [*self.children[:place], child, *self.children[place:]]

    def find(self, *path: str) -> "Element | None":
        """The first element down this path of names, or None."""
        here = self
        for name in path:
            for child in here.children:
                if child.name == name:
                    here = child
                    break
            else:
                return None
        return here

    def all(self, name: str) -> Iterator["Element"]:
        """The children of this name, in order."""
        return (child for child in self.children if child.name == name)

    def inside(self, name: str) -> Iterator["Element"]:
        """The children of all children of this name, in order."""
        return (inner for child in self.all(name) for inner in child.children)

    def text_of(self, *path: str) -> str:
        """The stripped text of the first element down this path, empty where there is none."""
        found = self.find(*path)
        return found.text.strip() if found is not None else ""


def _is_ours(name: str, attributes: Mapping[str, str]) -> bool:
    """Whether an element that is mostly skipped is a lyric of our own line."""
    return name == "lyric" and attributes.get("name") == LYRIC_NAME


class _Builder:
    """Grows the tree from expat's events."""

    def __init__(self, parser: expat.XMLParserType, name: str, unread: frozenset[str]) -> None:
        self.parser = parser
        self.name = name
        self.unread = unread
        self.document = Element("", {}, 0)

    def listen(self) -> None:
        """Have the parser tell of elements and texts; what is asked for at each of them is at hand."""
        parser, unread, isspace = self.parser, self.unread, str.isspace
        stack, skipping = [self.document], 0

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal skipping
            # a root is never skipped: what it is called must be said
            if skipping or (name in unread and len(stack) > 1 and not _is_ours(name, attributes)):
                skipping += 1
                if skipping > MAX_DEPTH:
                    raise self._too_deep()
                return
            element = Element(name, attributes or NONE, parser.CurrentByteIndex)
            around = stack[-1]
            if around.children:
                around.children.append(element)  # type: ignore[attr-defined]  # a list of ours, as long as it grows
            else:
                around.children = [element]
            stack.append(element)
            if len(stack) > 1 + MAX_DEPTH:  # the document itself is no element
                raise self._too_deep()

        def finish(_name: str) -> None:
            nonlocal skipping
            if skipping:
                skipping -= 1
            else:
                stack.pop().end = parser.CurrentByteIndex

        def characters(data: str) -> None:
            if not skipping and not isspace(data):
                element = stack[-1]
                element.text = element.text + data if element.text else intern(data)

        parser.StartElementHandler = start
        parser.EndElementHandler = finish
        parser.CharacterDataHandler = characters

    def refuse_entity(self, *_declaration: object) -> None:
        raise ScoreError(
            "the file declares XML entities, which are not read for safety",
            place=self._place(),
            next_step="Export the score again from a notation program, as MusicXML",
        )

    def _too_deep(self) -> ScoreError:
        return ScoreError(
            f"elements are nested deeper than {MAX_DEPTH}",
            place=self._place(),
            next_step="This is no usual score; export it again as MusicXML",
        )

    def _place(self) -> str:
        return f"{self.name}, line {self.parser.CurrentLineNumber}"


def check_length(data: bytes, name: str, what: str) -> None:
    """ScoreError for a file or score (`what`) that is longer than any music is."""
    if len(data) > MAX_BYTES:
        raise ScoreError(
            f"the {what} is {len(data) // 1024**2} MiB long; at most {MAX_BYTES // 1024**2} MiB are read",
            place=name,
            next_step="Export only the flute part",
        )


def parse_tree(
    data: bytes, name: str, *, encoding: str | None = None, unread: frozenset[str] = UNREAD
) -> Element:
    """The root element of an XML document.

    `name` is what errors call the file; `encoding` overrides the document's own (for a
    fragment). Raises ScoreError with the line when the document is too big, not
    well-formed, declares entities or nests too deep, RequestError where there is no memory for it.
    """
    check_length(data, name, "score")
    check_reading(len(data), name)
    data = _without_document_type(data, name, encoding)
    parser = _parser(data, encoding)
    builder = _Builder(parser, name, unread)
    parser.buffer_text = True
    builder.listen()
    try:
        _parse(parser, data, name)
    finally:  # else parser and builder hold each other, and the tree, until they are collected
        parser.StartElementHandler = parser.EndElementHandler = parser.CharacterDataHandler = None
    return builder.document.children[0]


def _parser(data: bytes, encoding: str | None) -> expat.XMLParserType:
    """A parser for a document; a byte order mark of UTF-8 counts before what the document declares."""
    return expat.ParserCreate(encoding or ("utf-8" if data.startswith(codecs.BOM_UTF8) else None))


class _PrologEndError(Exception):
    """The first element is reached."""


def _without_document_type(data: bytes, name: str, encoding: str | None) -> bytes:
    """The document with its document type declaration blanked; every byte after it stays in its place.

    The declaration names a file that is not fetched. Without that name an entity that only the file
    could declare is what it is to us: undeclared, which the parser then tells with its place.
    Raises ScoreError where it declares entities itself.
    """
    parser = _parser(data, encoding)
    prolog = _Builder(parser, name, frozenset())
    found: list[int] = []

    def first_element(*_: object) -> None:
        raise _PrologEndError

    parser.EntityDeclHandler = prolog.refuse_entity
    parser.EndDoctypeDeclHandler = lambda: found.append(parser.CurrentByteIndex)
    parser.StartElementHandler = first_element
    with suppress(_PrologEndError):
        _parse(parser, data, name)
    if not found:
        return data
    codec = {b">\0": "utf-16-le", b"\0>": "utf-16-be"}.get(data[found[0] : found[0] + 2], "utf-8")
    width = len(">".encode(codec))
    start, end = data.rfind("<!DOCTYPE".encode(codec), 0, found[0]), found[0] + width
    lines = max(data.count(sign.encode(codec), start, end) for sign in "\r\n")
    blank = " " * ((end - start) // width - lines) + "\n" * lines
    return data[:start] + blank.encode(codec) + data[end:]


def _parse(parser: expat.XMLParserType, data: bytes, name: str) -> None:
    """Parse a document; what expat cannot read becomes a ScoreError with its place."""
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        if error.code == expat.errors.codes[expat.errors.XML_ERROR_UNDEFINED_ENTITY]:
            raise ScoreError(
                f"an entity (&...;) is used that is not declared, column {error.offset + 1}",
                place=f"{name}, line {error.lineno}",
                next_step="Export the score again, or write the sign itself in its place",
            ) from None
        raise ScoreError(
            f"not well-formed XML ({expat.ErrorString(error.code)}, column {error.offset + 1})",
            place=f"{name}, line {error.lineno}",
            next_step="The file is damaged or cut off; export it again",
        ) from None
    except (ValueError, LookupError) as error:  # pyexpat on encodings it has no map for
        raise ScoreError(
            f"the encoding cannot be read ({error})", place=name, next_step="Save the score as UTF-8"
        ) from None
