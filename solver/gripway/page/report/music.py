"""The engraved music of the report: diagrams, tuning signs, hard changes, and a link at every note."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from gripway.effort.load import LATE
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import Box, Engraving, System
from gripway.page.engraving.svg_cleaning import GLYPH_PREFIX
from gripway.page.markup import filled
from gripway.page.report.changes import HardChange
from gripway.page.report.note_signs import ReportSign
from gripway.page.report.sign_places import (
    ARROW,
    DIAGRAM,
    DIGIT,
    LINE,
    TEXT,
    PlacedSign,
    line_width,
    line_words,
    place_signs,
    words_width,
)

LEVEL = 430
"""Height of one level of brackets for hard changes."""

NARROWEST_HIT = 640
"""A note's button is as wide as its neighbours leave it, at most this (24 CSS pixels at plain size)."""


@dataclass(frozen=True, slots=True)
class DrawnSigns:
    """All that is drawn onto the music; `names` has what a screen reader says of each note by its id."""

    signs: Mapping[str, ReportSign]
    changes: Iterable[HardChange]
    names: Mapping[str, str]
    symbols: GripSymbols


@dataclass(frozen=True, slots=True)
class _Bracket:
    """The bracket of a hard change, open to the music: its ends and its upper edge."""

    hard: HardChange
    left: float
    right: float
    top: float

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2


@dataclass(frozen=True, slots=True)
class _SignedSystem:
    """A system with all that is drawn onto it; `hits` are the links over its notes by their ids."""

    drawn: System
    placed: list[PlacedSign]
    brackets: list[_Bracket]
    hits: list[tuple[str, Box]]
    height: float


def music(
    engraving: Engraving, drawn: DrawnSigns, at: str = "", known_glyphs: frozenset[str] = frozenset()
) -> Markup:
    """All systems, each a drawing of its own that no page break cuts.

    `at` begins the ids of the part where a document has several; `known_glyphs` are outlines it has already.
    """
    return filled(
        "music.html",
        glyphs={code: outline for code, outline in engraving.glyphs.items() if code not in known_glyphs},
        at=at,
        systems=[_system(system, drawn) for system in engraving.systems],
        names=drawn.names,
        symbols=drawn.symbols,
        line_words=line_words,
        line_width=line_width,
        words_width=words_width,
        GLYPH_PREFIX=GLYPH_PREFIX,
        ARROW=ARROW,
        DIAGRAM=DIAGRAM,
        DIGIT=DIGIT,
        LATE=LATE,
        LINE=LINE,
        TEXT=TEXT,
    )


def _system(system: System, drawn: DrawnSigns) -> _SignedSystem:
    placed = place_signs(system, drawn.signs, drawn.symbols)
    foot = _foot(system, placed)
    brackets, depth = _brackets(system, drawn.changes, foot)
    bottoms = {each.sign.note.note.id: each.box.bottom for each in placed}
    return _SignedSystem(system, placed, brackets, list(_hits(system, drawn.names, bottoms)), foot + depth)


def _foot(system: System, placed: list[PlacedSign]) -> float:
    """Where the music and its signs end: room that was kept and not needed is no gap below them.

    Room stands below all that is engraved but what hangs down beside it, by less than a line of signs.
    """
    rooms = [note.room.y for note in system.notes.values() if note.room is not None]
    music = max(rooms) + LINE if rooms else system.height
    return max([music, *(each.box.bottom + 60 for each in placed)])


def _brackets(system: System, changes: Iterable[HardChange], foot: float) -> tuple[list[_Bracket], float]:
    """A bracket with its load from head to head below `foot`, and how deep all of them reach."""
    ends: list[float] = []
    drawn = []
    for hard in sorted(changes, key=lambda each: _span(system, each)[1]):
        if hard.after not in system.notes:
            continue
        left, right = _span(system, hard)
        width = max(right - left, 180 + DIGIT * (len(hard.load) + 2 * bool(hard.rank)))
        middle = (left + right) / 2
        level = next((n for n, end in enumerate(ends) if end <= middle - width / 2), len(ends))
        ends[level : level + 1] = [middle + width / 2 + 40]
        drawn.append(_Bracket(hard, left, right, foot + level * LEVEL))
    return drawn, LEVEL * len(ends) + (60 if ends else 0)


def _span(system: System, hard: HardChange) -> tuple[float, float]:
    """Where the bracket of a change begins and ends; from the edge, where its first note is elsewhere."""
    after = system.notes.get(hard.after)
    if after is None:
        return (0.0, 0.0)
    before = system.notes.get(hard.before)
    right = after.head.middle - 30
    left = before.head.middle + 30 if before is not None else right - 500
    return (left, right) if left < right else (right - 500, right)


def _hits(
    system: System, names: Mapping[str, str], bottoms: Mapping[str, float]
) -> Iterator[tuple[str, Box]]:
    """A link over every note, from above the staff down to the end of its sign."""
    places = sorted(
        ((name, box) for name, box in system.notes.items() if name in names),
        key=lambda each: each[1].head.middle,
    )
    for order, (name, box) in enumerate(places):
        middle = box.head.middle
        before = places[order - 1][1].head.middle if order else middle - 2 * NARROWEST_HIT
        after = places[order + 1][1].head.middle if order + 1 < len(places) else middle + 2 * NARROWEST_HIT
        left = max(middle - NARROWEST_HIT / 2, (before + middle) / 2)
        right = min(middle + NARROWEST_HIT / 2, (middle + after) / 2)
        top = min(box.head.y, system.staff.y) - 60
        bottom = max(box.head.bottom, system.staff.bottom, bottoms.get(name, 0.0)) + 60
        yield name, Box(left, top, max(right - left, 120.0), bottom - top)
