"""Which side of the staff dynamics, words and slurs leave to the marks.

Marks that stand near each other go to one side, so that a player's eye does not hop: to the one on which no
words stand in their way, of these the one that fewer slurs and dynamics take.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from gripway.score.engraved_width import (
    BAR_LINE_SPACES,
    NARROWEST_SPACES,
    QUARTER_SPACES,
    WIDEST_SPACES,
    WORDS_POINTS,
    note_spaces,
    text_spaces,
)
from gripway.score.reading.score_reading import ScoreSource
from gripway.score.writing.note_values import TYPES
from gripway.score.xml.xml_tree import Element, parse_tree

ABOVE, BELOW = "above", "below"
SIDES = (ABOVE, BELOW)
SAME_SIDE_BARS = 1
"""Marks that stand in bars no further apart than this go to the same side (judgement)."""

_OVER = {"over": ABOVE, "under": BELOW}
_USUALLY_BELOW = ("dynamics", "wedge", "pedal")
_USUALLY_ABOVE = ("words", "metronome", "rehearsal", "segno", "coda", "octave-shift")
_TEXTS = ("words", "rehearsal")
_ON_NOTES = ("fermata", "ornaments")
_STEPS = "CDEFGAB"
_MIDDLE_LINE = 4 * 7 + _STEPS.index("B")
_LENGTHS = {kind: length for length, kind in TYPES.items()}


@dataclass(frozen=True, slots=True)
class TextBeside:
    """A text of the score: its side, and from where to where it reaches in its part, in staff spaces."""

    side: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class TakenSides:
    """What is printed around a note: sides taken there, its place in its part in staff spaces, its bar."""

    taken: frozenset[str]
    at: float
    part: int
    bar: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """A mark that wants a side: the byte offset of its note's start tag, and how far it reaches there.

    `left` and `right` are staff spaces from the note; `sides` those it may stand on.
    """

    start: int
    left: float
    right: float
    sides: tuple[str, ...] = SIDES


@dataclass(slots=True)
class Surroundings:
    """What is printed around the notes of a score, by the byte offset of each note's start tag."""

    notes: dict[int, TakenSides] = field(default_factory=dict)
    texts: dict[int, list[TextBeside]] = field(default_factory=dict)

    def sides(self, marks: Sequence[Wanted]) -> list[str]:
        """The side of each mark, in the order they are given."""
        chosen: dict[int, str] = {}
        stretch: list[int] = []
        left: tuple[str, ...] = SIDES
        for number in sorted(range(len(marks)), key=lambda number: marks[number].start):
            clear = self._clear(marks[number])
            both = tuple(side for side in left if side in clear)
            if stretch and (not both or not self._near(marks[stretch[-1]], marks[number])):
                chosen |= self._settled(stretch, left, marks)
                stretch, both = [], clear
            stretch.append(number)
            left = both
        chosen |= self._settled(stretch, left, marks)
        return [chosen[number] for number in range(len(marks))]

    def _settled(self, stretch: list[int], left: tuple[str, ...], marks: Sequence[Wanted]) -> dict[int, str]:
        taken = [self.notes[marks[number].start].taken for number in stretch]
        side = min(left, key=lambda each: sum(each in sides for sides in taken))
        return dict.fromkeys(stretch, side)

    def _near(self, one: Wanted, other: Wanted) -> bool:
        before, after = self.notes[one.start], self.notes[other.start]
        return before.part == after.part and after.bar - before.bar <= SAME_SIDE_BARS

    def _clear(self, mark: Wanted) -> tuple[str, ...]:
        """The sides on which no words stand where the mark would; all it may have where none is clear."""
        note = self.notes[mark.start]
        start, end = note.at - mark.left, note.at + mark.right
        taken = {text.side for text in self.texts.get(note.part, ()) if text.start < end and start < text.end}
        return tuple(side for side in mark.sides if side not in taken) or mark.sides


def surroundings(source: ScoreSource) -> Surroundings:
    """What is printed around the notes of all parts of a score."""
    root = parse_tree(source.data, source.name, unread=frozenset())
    found = Surroundings()
    for number, part in enumerate(root.all("part")):
        walk = _PartSides(number)
        found.notes |= walk.notes(part)
        found.texts[number] = walk.texts
    return found


class _PartSides:
    """Goes through one part and keeps what reaches from note to note."""

    def __init__(self, number: int) -> None:
        self.number = number
        self.slurs: dict[str, str] = {}
        self.wedges: dict[str, str] = {}
        self.pending: set[str] = set()
        self.texts: list[TextBeside] = []
        self.at = 0.0
        self.wide = 0.0

    def notes(self, part: Element) -> dict[int, TakenSides]:
        found: dict[int, TakenSides] = {}
        for bar, measure in enumerate(part.all("measure")):
            bar_start = self.at + self.wide + BAR_LINE_SPACES
            self.at, self.wide = bar_start, 0.0
            taken: frozenset[str] = frozenset()
            for element in measure.children:
                if element.name == "direction":
                    self._direct(element)
                elif element.name == "backup":
                    self.at, self.wide = bar_start, 0.0
                elif element.name == "note":
                    if element.find("chord") is None:
                        self.at, self.wide = self.at + self.wide, _spaces(element)
                        taken = frozenset(self._taken_at(element))
                    found[element.start] = TakenSides(taken, self.at, self.number, bar)
        return found

    def _direct(self, direction: Element) -> None:
        given = direction.attributes.get("placement", "")
        for kind in direction.inside("direction-type"):
            side = given or (BELOW if kind.name in _USUALLY_BELOW else ABOVE)
            if kind.name == "wedge":
                number = kind.attributes.get("number", "1")
                if kind.attributes.get("type") == "stop":
                    self.wedges.pop(number, None)
                else:
                    self.wedges[number] = side
            elif kind.name in (*_USUALLY_BELOW, *_USUALLY_ABOVE):
                self.pending.add(side)
            if kind.name in _TEXTS:
                start = self.at + self.wide
                self.texts.append(TextBeside(side, start, start + text_spaces(kind.text, WORDS_POINTS)))

    def _taken_at(self, note: Element) -> set[str]:
        taken = {*self.pending, *self.wedges.values(), *self.slurs.values()}
        for sign in note.inside("notations"):
            if sign.name == "slur":
                taken.add(self._slur(sign, note))
            elif sign.name == "dynamics":
                taken.add(sign.attributes.get("placement", BELOW))
            elif sign.name in _ON_NOTES:
                taken.add(sign.attributes.get("placement", ABOVE))
        if note.find("grace") is None:
            self.pending.clear()
        return taken

    def _slur(self, slur: Element, note: Element) -> str:
        """The side of a slur that begins or ends at a note."""
        number, kind = slur.attributes.get("number", "1"), slur.attributes.get("type")
        if kind == "stop":
            return self.slurs.pop(number, _head_side(note))
        given = slur.attributes.get("placement", "") or _OVER.get(slur.attributes.get("orientation", ""), "")
        side = given or self.slurs.get(number) or _head_side(note)
        self.slurs[number] = side
        return side


def _spaces(note: Element) -> float:
    """The printed width of a note or rest, by its kind; a rest without one fills its bar."""
    if note.find("grace") is not None:
        return NARROWEST_SPACES
    kind = note.text_of("type")
    if kind in _LENGTHS:
        return note_spaces(_LENGTHS[kind])
    return WIDEST_SPACES if note.find("rest") is not None else NARROWEST_SPACES if kind else QUARTER_SPACES


def _head_side(note: Element) -> str:
    """Where a slur stands that nothing places: on the side of the heads."""
    stem = note.text_of("stem")
    if stem in ("up", "down"):
        return BELOW if stem == "up" else ABOVE
    step, octave = note.text_of("pitch", "step"), note.text_of("pitch", "octave")
    if step not in _STEPS or not step or not octave.isdecimal():
        return ABOVE
    return ABOVE if int(octave) * 7 + _STEPS.index(step) >= _MIDDLE_LINE else BELOW
