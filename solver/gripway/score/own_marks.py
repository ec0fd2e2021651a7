"""Our own marks told from everybody else's: each insertion stands between two processing instructions.

The first carries a checksum of what stands between them, and how many blanks before it are ours too, since
each stands on a line of its own where the score has lines. So a mark can be taken out byte for byte, and one
that somebody has changed since is left where it is. XML readers pass over processing instructions.
"""

import re
from dataclasses import dataclass
from zlib import crc32

from gripway.score.xml.splice import BLANKS, Document

_OPENING, _CLOSING = "<?gripway mark {} {}?>", "<?gripway end?>"
_SUM = 8


@dataclass(frozen=True, slots=True)
class Unmarked:
    """A document without our marks: how many were taken out, and the offsets of those left as changed.

    `spans` is where what was taken out stood in the document as it was: offsets of start and end.
    """

    data: bytes
    taken: int
    changed: tuple[int, ...]
    spans: tuple[tuple[int, int], ...] = ()


def as_own(document: Document, text: str) -> bytes:
    """A mark as it is put in: its text between the two instructions, in the document's encoding.

    The blanks the text begins with (newline and indentation) stand before both instructions as well.
    """
    margin = text[: len(text) - len(text.lstrip(BLANKS))]
    inner = document.encode(text + margin)
    opening = _OPENING.format(_checksum(inner), len(document.encode(margin)))
    return document.encode(margin + opening) + inner + document.encode(_CLOSING)


def without_own(document: Document) -> Unmarked:
    """The document without everything we put in; offsets of what was left are those of the answer."""
    return _Removal(document).run()


def bar_at(document: Document, at: int) -> str:
    """The number of the bar that an offset lies in; empty where none is found."""
    before = document.data[:at].decode(document.codec, "replace")
    numbers = re.findall(r"""<measure\b[^>]*?\bnumber\s*=\s*["']([^"']*)["']""", before)
    return numbers[-1] if numbers else ""


def _checksum(inner: bytes) -> str:
    return f"{crc32(inner):0{_SUM}x}"


class _Removal:
    """One walk through the instructions of a document; those inside others are taken out first."""

    def __init__(self, document: Document) -> None:
        self.document = document
        before, between, after = (re.escape(document.encode(part)) for part in _OPENING.split("{}"))
        digit = b"(?:" + b"|".join(re.escape(document.encode(each)) for each in "0123456789abcdef") + b")"
        closing = re.escape(document.encode(_CLOSING))
        opening = b"(%s)(%s{%d})%s(%s{1,4})%s" % (before, digit, _SUM, between, digit, after)
        self.instructions = re.compile(opening + b"|" + closing)
        self.spans: list[tuple[int, int]] = []

    def _margin(self, number: bytes, before: bytes) -> int:
        """How many of the bytes before an instruction are ours; they must be blanks."""
        text = number.decode(self.document.codec)
        size = int(text) if text.isdecimal() else 0
        own = before[len(before) - size :].decode(self.document.codec, "replace") if size else ""
        return size if size <= len(before) and not own.strip(BLANKS) else 0

    def run(self) -> Unmarked:
        data = self.document.data
        pieces: list[bytes] = [b""]
        open_marks: list[tuple[bytes, bytes, int]] = []  # the instruction, its checksum, our blanks
        begun: list[int] = []
        changed: list[list[int]] = [[]]
        done = 0
        for found in self.instructions.finditer(data):
            pieces[-1] += data[done : found.start()]
            done = found.end()
            if found[1]:
                open_marks.append((found[0], found[2], self._margin(found[3], pieces[-1])))
                begun.append(found.end())
                pieces.append(b"")
                changed.append([])
            elif open_marks:
                if self._close(pieces, changed, *open_marks.pop(), found[0]):
                    self.spans.append((begun.pop(), found.start()))
                else:
                    begun.pop()
            else:
                pieces[-1] += found[0]
        pieces[-1] += data[done:]
        while open_marks:  # begun and never ended: not ours to judge
            opening, *_ = open_marks.pop()
            inner, inside = pieces.pop(), changed.pop()
            self._keep(pieces, changed, opening + inner, inside, len(opening))
        return Unmarked(pieces[0], len(self.spans), tuple(sorted(changed[0])), tuple(self.spans))

    def _close(
        self,
        pieces: list[bytes],
        changed: list[list[int]],
        opening: bytes,
        checksum: bytes,
        margin: int,
        closing: bytes,
    ) -> bool:
        """Whether the mark that ends here was taken out; it is kept where it is no longer as we wrote it."""
        inner, inside = pieces.pop(), changed.pop()
        if self.document.encode(_checksum(inner)) == checksum:
            pieces[-1] = pieces[-1][: len(pieces[-1]) - margin]
            return True
        changed[-1].append(len(pieces[-1]))
        self._keep(pieces, changed, opening + inner + closing, inside, len(opening))
        return False

    @staticmethod
    def _keep(
        pieces: list[bytes], changed: list[list[int]], text: bytes, inside: list[int], shift: int
    ) -> None:
        changed[-1] += [len(pieces[-1]) + shift + at for at in inside]
        pieces[-1] += text
