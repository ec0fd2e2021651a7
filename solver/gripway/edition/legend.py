"""What the marks of an edition use, for its preface: kinds of signs, and every grip with its pitches."""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.edition.marks import MarkedNote
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, MarkSign


@dataclass(frozen=True, slots=True)
class MarkedGrip:
    """A grip that is marked: how it is written, on which pitches (lowest first), at how many notes.

    `moving` is what moves in a trill.
    """

    grip: Grip
    moving: Grip
    text: str
    pitches: tuple[str, ...]
    notes: int


@dataclass(frozen=True, slots=True)
class Legend:
    """The kinds of signs other than grips, by their first example, and the grips, most used first.

    `lines` says whether any mark has a line, `fingered` whether the score has fingerings of its own.
    """

    signs: tuple[MarkSign, ...]
    lines: bool
    grips: tuple[MarkedGrip, ...]
    fingered: bool = False


def legend_of(marked: Iterable[MarkedNote], *, fingered: bool = False) -> Legend:
    """What a reader of these marks has to know; each kind of sign and each grip once."""
    kinds: dict[tuple[str, bool], MarkSign] = {}
    grips: dict[tuple[Grip, Grip, str], dict[str, int]] = {}
    notes: dict[tuple[Grip, Grip, str], int] = {}
    lines = False
    for each in marked:
        pitch = each.note.note.pitch
        for written in each.written:
            sign = written.sign
            lines = lines or bool(written.until)
            if sign.kind == GRIP:
                key = sign.grip, sign.moving, " ".join(written.text.split())
                grips.setdefault(key, {})[pitch.name] = pitch.number
                notes[key] = notes.get(key, 0) + 1
            else:
                kinds.setdefault((sign.kind, sign.grip.has("T")), sign)
    rows = (
        MarkedGrip(*key, tuple(sorted(names, key=lambda name: (names[name], name))), notes[key])
        for key, names in grips.items()
    )
    return Legend(tuple(kinds.values()), lines, tuple(sorted(rows, key=lambda row: -row.notes)), fingered)
