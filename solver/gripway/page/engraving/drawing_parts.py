"""What an engraver gives: systems with their drawings, and where each note and the room below it stand.

Measures are hundredths of a millimetre (the engraver's own unit at its plain size), x to the
right and y downwards from the top left corner of a system.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from gripway.page.engraving.sheet_xml import RoomUnderNotes

UNITS_PER_MM = 100
ROW = 400
"""Height of a lyric row of the engraver."""

LETTER_WIDTH = 113
"""Width of the placeholder's letter: 0.278 em (Adobe's metrics of Times) at the lyric size of 405."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: left and top edge, width and height."""

    x: float
    y: float
    width: float
    height: float

    @property
    def middle(self) -> float:
        """X of its middle."""
        return self.x + self.width / 2

    @property
    def bottom(self) -> float:
        """Y of its lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class NoteBox:
    """Where a note stands: its head, and the room for a mark below it (None where none was kept)."""

    head: Box
    room: Box | None = None


@dataclass(frozen=True, slots=True)
class System:
    """One line of music: its drawing (SVG elements, no <svg> around them), size, staff, notes, bars."""

    drawing: str
    width: float
    height: float
    staff: Box
    notes: Mapping[str, NoteBox]
    bars: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Engraving:
    """All systems; outlines their drawings use, by code point; the music font, where needed, in base64."""

    systems: tuple[System, ...]
    glyphs: Mapping[str, str]
    font: str = ""


@dataclass(frozen=True, slots=True)
class Space:
    """Room under notes: how high for each note by its id (0 for none), and how wide, in millimetres.

    `others_mm` is the height for notes that are not named: 0 for a sheet whose marks are known.
    """

    heights_mm: Mapping[str, float]
    others_mm: float = 0.0
    width_mm: float = 5.0

    @property
    def room(self) -> RoomUnderNotes:
        """The same in rows and letters of the engraver."""
        rows = {name: rows_of(height) for name, height in self.heights_mm.items()}
        letters = -(-self.width_mm * UNITS_PER_MM // LETTER_WIDTH)
        return RoomUnderNotes(rows, rows_of(self.others_mm), max(1, int(letters)))


def rows_of(height_mm: float) -> int:
    """How many lyric rows are as high."""
    return int(-(-height_mm * UNITS_PER_MM // ROW))
