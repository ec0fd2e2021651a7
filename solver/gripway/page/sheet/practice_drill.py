"""A drill in small staves, the grips as diagrams under the notes where they are new."""

from dataclasses import dataclass

from markupsafe import Markup

from gripway.model.grip import Grip
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import UNITS_PER_MM, Box, Space, System
from gripway.page.engraving.engrave import engrave
from gripway.page.engraving.svg_cleaning import GLYPH_PREFIX
from gripway.page.markup import filled
from gripway.page.report.sign_places import free_place
from gripway.page.sheet.sheet_model import Hands, SheetDrill
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_score

PAGE_MM = 184.0
"""Width of the music: what A4 and Letter both have with margins of 12 mm."""

NAME = "the drill"
EDGE = 20
"""Air at the right edge and under a drill, in the engraver's measures."""


@dataclass(frozen=True, slots=True)
class Size:
    """How large drills are printed: music as a share of its plain size, diagrams in millimetres."""

    scale: float
    diagram_mm: float


STAFF_SCALE = 0.97
"""At which a staff is 7 mm high, and can be read at a metre."""

DRILL_DIAGRAM_MM = 30.5
"""Height of a drill's diagrams: their dots are 2.5 mm wide then."""

SIZES = (Size(1.3, DRILL_DIAGRAM_MM), Size(1.12, DRILL_DIAGRAM_MM), Size(STAFF_SCALE, DRILL_DIAGRAM_MM))
"""From the largest to the smallest; a page takes the largest it has room for. Diagrams are never smaller."""

SMALL = (Size(0.88, DRILL_DIAGRAM_MM), Size(0.78, DRILL_DIAGRAM_MM))
"""Staves of 6.3 and 5.6 mm, for a page that has no room for the music of all its new drills else
(judgement)."""

HAND_GAP_MM = 1.5
"""Air beside a grip that stands alone."""


@dataclass(frozen=True, slots=True)
class DrawnDrill:
    """A drill as drawings, one a line of music, with its size in millimetres."""

    drawings: Markup
    width_mm: float
    height_mm: float


class DrillDrawer:
    """Draws drills; outlines and diagrams that they share are kept for the whole page."""

    def __init__(self, symbols: GripSymbols) -> None:
        self.symbols = symbols
        self.glyphs: dict[str, str] = {}
        self.font = ""
        self.known: dict[tuple[object, ...], DrawnDrill] = {}

    def draw(self, drill: SheetDrill, size: Size, wide_mm: float = PAGE_MM) -> DrawnDrill:
        """The music of a drill in a size, in lines as wide as there is room for."""
        key = (
            tuple((part.passage.notes, part.metre, part.rests_after, part.short) for part in drill.parts),
            tuple(drill.grips),
            tuple(drill.shown),
            size,
            wide_mm,
            drill.label,
            drill.numbered,
            drill.first_bar,
        )
        if key not in self.known:
            self.known[key] = self._draw(drill, size, wide_mm)
        return self.known[key]

    def hand(self, grip: Grip) -> Markup:
        """The diagram of a grip by itself."""
        high = DRILL_DIAGRAM_MM * UNITS_PER_MM
        wide = high * self.symbols.grip_width(grip)
        drawing = self.symbols.grip_drawing(grip, wide / 2, 0.0, high)
        return filled(
            "hand.html",
            wide=wide,
            high=high,
            wide_mm=wide / UNITS_PER_MM,
            high_mm=DRILL_DIAGRAM_MM,
            drawing=drawing,
            name=grip.short,
        )

    def hands_mm(self, hands: Hands) -> float:
        """Width of grips that stand side by side."""
        return sum(DRILL_DIAGRAM_MM * self.symbols.grip_width(grip) + HAND_GAP_MM for _, grip in hands)

    def shared(self) -> Markup:
        """Outlines and diagrams all drills use; to be put into the page once all are drawn."""
        glyphs = sorted(self.glyphs.items())
        return filled("shared.html", glyphs=glyphs, symbols=self.symbols, GLYPH_PREFIX=GLYPH_PREFIX)

    def _draw(self, drill: SheetDrill, size: Size, wide_mm: float) -> DrawnDrill:
        written = write_score([section_of(part) for part in drill.parts])
        names = {written.ids[0][place]: place for place in drill.shown}
        widest = max((self.symbols.grip_width(drill.grips[place]) for place in drill.shown), default=0.0)
        room = size.diagram_mm / size.scale
        space = Space(dict.fromkeys(names, room + 2.0), width_mm=room * widest + 1.0)
        engraving = engrave(
            read_score(written.data, NAME),
            width_mm=wide_mm / size.scale,
            space=space,
            numbered=drill.numbered,
            bare=drill.first_bar is None,
        )
        self.glyphs |= engraving.glyphs
        self.font = self.font or engraving.font
        lines = [self._line(system, names, drill, size) for system in engraving.systems]
        drawings = filled(
            "drill.html",
            lines=lines,
            grips=drill.grips,
            name=f"{drill.label} {drill.title}: {spoken(drill)}",
            symbols=self.symbols,
            EDGE=EDGE,
        )
        return DrawnDrill(
            drawings, max(line.width_mm for line in lines), sum(line.height_mm for line in lines)
        )

    def _line(self, system: System, names: dict[str, int], drill: SheetDrill, size: Size) -> "_StaffLine":
        """One line of music, cut off where its staff ends."""
        placed = self._placed(system, names, drill, size.diagram_mm / size.scale * UNITS_PER_MM)
        right = max([system.staff.x + system.staff.width, *(each.box.x + each.box.width for each in placed)])
        right += EDGE
        foot = max(each.box.bottom + EDGE for each in placed) if placed else system.height
        millimetres = size.scale / UNITS_PER_MM
        return _StaffLine(system.drawing, placed, right, foot, right * millimetres, foot * millimetres)

    def _placed(
        self, system: System, names: dict[str, int], drill: SheetDrill, high: float
    ) -> list["_PlacedDiagram"]:
        """The diagrams of a line under their heads, lower where a neighbour's is in the way."""
        placed: list[_PlacedDiagram] = []
        for name, note in sorted(system.notes.items(), key=lambda each: each[1].head.x):
            if name in names and note.room is not None:
                wide = high * self.symbols.grip_width(drill.grips[names[name]])
                box = Box(note.head.middle - wide / 2, note.room.y, wide, high)
                box = free_place(box, [other.box for other in placed])
                placed.append(_PlacedDiagram(names[name], box, note.room.y))
        return placed


@dataclass(frozen=True, slots=True)
class _PlacedDiagram:
    """The diagram of a note (by index): its box, and where the room under the staff begins."""

    note: int
    box: Box
    top: float


@dataclass(frozen=True, slots=True)
class _StaffLine:
    """A line of music: its engraving, diagrams, right edge and foot in the engraver's measures, and size."""

    drawing: str
    placed: list[_PlacedDiagram]
    right: float
    foot: float
    width_mm: float
    height_mm: float


def section_of(drill: SheetDrill) -> Section:
    """The music of a drill; bars of the part do not end with a double bar line."""
    return Section(
        drill.passage,
        metre=drill.metre,
        first_bar=drill.first_bar,
        ends=drill.first_bar is None,
        rests_after=drill.rests_after,
        goes_on=drill.goes_on,
        short=drill.short,
    )


def spoken(drill: SheetDrill) -> str:
    """The notes of a drill with the grips that are shown, in words."""
    return ", ".join(
        note.pitch.name + (f" {grip.short}" if place in part.shown else "")
        for part in drill.parts
        for place, (note, grip) in enumerate(zip(part.passage.notes, part.grips, strict=True))
    )
