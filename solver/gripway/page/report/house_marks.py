"""The marks of an edition in a report: what they say, where, and what was left unmarked and why."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gripway.edition.marks import OMITTED, OVER, QUIET, SMALL, WHY_LEFT, LeftNote, MarkedNote
from gripway.edition.sparing import least_gain_of, most_marks
from gripway.model.house_style import HouseStyle
from gripway.route.result import RouteNote


@dataclass(frozen=True, slots=True)
class MarkRow:
    """A mark as it is written, the pitch it is for, and its notes."""

    text: str
    pitch: str
    notes: tuple[RouteNote, ...]


@dataclass(frozen=True, slots=True)
class LeftUnmarked:
    """Notes that have another grip than the plain one and no mark, and why, in words."""

    why: str
    notes: tuple[RouteNote, ...]


@dataclass(frozen=True, slots=True)
class HouseMarks:
    """All marks of a part in a house style, and what it leaves out; `written` says how many notes it has."""

    house: HouseStyle
    marked: Sequence[MarkedNote]
    left_notes: Sequence[LeftNote]
    written: int

    @property
    def notes(self) -> frozenset[str]:
        """The ids of the notes that are marked."""
        return frozenset(each.note.note.id for each in self.marked)

    @property
    def rows(self) -> list[MarkRow]:
        """The marks, the one that comes most first."""
        found: dict[tuple[str, str], list[RouteNote]] = {}
        for each in self.marked:
            for written in each.written:
                key = " ".join(written.text.split()), each.note.note.pitch.name
                found.setdefault(key, []).append(each.note)
        rows = (MarkRow(*key, tuple(notes)) for key, notes in found.items())
        return sorted(rows, key=lambda row: -len(row.notes))

    @property
    def left(self) -> list[LeftUnmarked]:
        """What was left unmarked."""
        return list(left_unmarked(self.left_notes, self.house, self.written))


def left_unmarked(left: Iterable[LeftNote], house: HouseStyle, written: int) -> Iterator[LeftUnmarked]:
    """The notes left unmarked for each reason there is, of a part of so many notes."""
    left, words = tuple(left), left_words(house, written)
    for why in WHY_LEFT:
        if notes := tuple(each.note for each in left if each.why == why):
            yield LeftUnmarked(words[why], notes)


def left_words(house: HouseStyle, written: int) -> dict[str, str]:
    """Why notes are left unmarked, of WHY_LEFT, in words, in a part of so many notes."""
    return {
        OVER: f"there are {most_marks(house, written):g} marks, which is the most, and these save least "
        "(at_most of a house style)",
        OMITTED: "the house style leaves them out",
        SMALL: f"they save less than {least_gain_of(house):g} effort (least_gain of a house style)",
        QUIET: "their figure was decided to have no mark where it comes first",
    }
