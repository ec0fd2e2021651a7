"""Where the sign of each note goes: centred under its head, lower where a neighbour's sign is in the way."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import UNITS_PER_MM, Box, System
from gripway.page.report.note_signs import REPORT_DIAGRAM_MM, ReportSign

TEXT = 240
"""Size of the letters of signs."""

DIGIT, EXCLAMATION, ARROW = 134, 80, 150
"""Width a digit, an exclamation mark and an arrow with its gap take; texts are set to these widths."""

NO_GRIP = "no grip"
DIAGRAM = REPORT_DIAGRAM_MM * UNITS_PER_MM
LINE = 300
"""Height of a diagram and of a line of signs."""

BETWEEN, BELOW = 5.0, 50.0
"""Least distance of two signs, sideways and downwards."""


@dataclass(frozen=True, slots=True)
class PlacedSign:
    """A sign and its box; `leader` is where a line from the staff down to it begins, None for none."""

    sign: ReportSign
    box: Box
    leader: float | None = None


def line_words(sign: ReportSign) -> str:
    """The words of a sign's line: `15!`, without the arrow."""
    if sign.note.candidate is None:
        return NO_GRIP
    return (f"{abs(sign.lean)}" if sign.lean is not None else "") + ("!" if sign.warning else "")


def words_width(words: str) -> float:
    """How wide a line's words are set."""
    return float(sum(EXCLAMATION if letter in "! " else DIGIT for letter in words))


def line_width(sign: ReportSign) -> float:
    """Width of the line of a sign, its arrow included."""
    arrow = ARROW if sign.lean is not None and sign.note.candidate is not None else 0
    return words_width(line_words(sign)) + arrow if sign.line else 0.0


def place_signs(system: System, signs: Mapping[str, ReportSign], symbols: GripSymbols) -> list[PlacedSign]:
    """The signs of a system, from left to right."""
    rooms = ((name, box.room) for name, box in system.notes.items())
    todo = [(room, signs[name]) for name, room in rooms if room is not None and name in signs]
    placed: list[PlacedSign] = []
    for room, sign in sorted(todo, key=lambda each: each[0].x):
        box = free_place(_box(sign, room, symbols), [other.box for other in placed])
        lower = box.y > room.y
        crossed = lower and any(_over(other.box, room.x, room.y, box.y) for other in placed)
        placed.append(PlacedSign(sign, box, room.y if lower and not crossed else None))
    return placed


def _box(sign: ReportSign, room: Box, symbols: GripSymbols) -> Box:
    """The box of a sign in its room."""
    width, height = line_width(sign), float(LINE if sign.line else 0)
    if sign.diagram and sign.note.candidate is not None:
        width = max(width, DIAGRAM * symbols.width_of(sign.note.candidate))
        height += DIAGRAM
    return Box(room.x - width / 2, room.y, width, height)


def free_place(box: Box, others: Iterable[Box]) -> Box:
    """The box moved down until it touches none of the others."""
    for other in sorted(others, key=lambda each: each.y):
        if _touch(box, other):
            box = Box(box.x, other.bottom + BELOW, box.width, box.height)
    return box


def _touch(box: Box, other: Box) -> bool:
    beside = box.x < other.x + other.width + BETWEEN and other.x < box.x + box.width + BETWEEN
    return beside and box.y < other.bottom + BELOW and other.y < box.bottom + BELOW


def _over(box: Box, x: float, top: float, bottom: float) -> bool:
    """Whether an upright line goes through a box."""
    return box.x <= x <= box.x + box.width and box.y < bottom and top < box.bottom
