"""The chosen part engraved: one drawing a system, and where each note and the room below it stand.

Measures are hundredths of a millimetre (the engraver's own unit at its plain size), x to the
right and y downwards from the top left corner of a system.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gripway.errors import ScoreError
from gripway.page.sheet_xml import Room, SheetXml, sheet_xml
from gripway.page.svg_cleaning import Drawn, clean, glyphs_of, parse_drawing
from gripway.score.reading import ScoreReading

WIDTHS_MM = {"a4": 180.0, "letter": 186.0}
"""Width of the music on a sheet of A4 (210 mm) and of Letter (216 mm) with margins of 15 mm."""

PX_PER_MM = 96 / 25.4
"""CSS pixels in a millimetre (CSS Values and Units Level 4, section 6.2)."""

UNITS_PER_MM = 100
ROW = 400
"""Height of a lyric row of the engraver."""

LETTER_WIDTH = 113
"""Width of the placeholder's letter: 0.278 em (Adobe's metrics of Times) at the lyric size of 405."""

NARROWEST_MM, WIDEST_MM = 60.0, 1000.0
_FONT_FACE = re.compile(r"@font-face\s*\{[^{}]*?base64,([A-Za-z0-9+/=]+)")
_LINE = re.compile(r"M(-?[\d.]+) (-?[\d.]+) L(-?[\d.]+) (-?[\d.]+)")


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
    """One line of music: its drawing (SVG elements, no <svg> around them), size, staff and notes."""

    drawing: str
    width: float
    height: float
    staff: Box
    notes: Mapping[str, NoteBox]


@dataclass(frozen=True, slots=True)
class Engraving:
    """All systems; the outlines their drawings use, by code point; the music font in base64 where they need it."""

    systems: tuple[System, ...]
    glyphs: Mapping[str, str]
    font: str = ""


@dataclass(frozen=True, slots=True)
class Space:
    """Room under notes: which notes (None for all) and how wide and high it is, in millimetres."""

    notes: frozenset[str] | None = None
    width_mm: float = 5.0
    height_mm: float = 10.0

    @property
    def room(self) -> Room:
        """The same in rows and letters of the engraver."""
        rows = -(-self.height_mm * UNITS_PER_MM // ROW)
        letters = -(-self.width_mm * UNITS_PER_MM // LETTER_WIDTH)
        return Room(self.notes, max(1, int(rows)), max(1, int(letters)))


def engrave(
    reading: ScoreReading,
    *,
    bars: str | None = None,
    width_mm: float = WIDTHS_MM["a4"],
    space: Space | None = None,
) -> Engraving:
    """Engrave the part that was read; every note element is found again by its id `P1-n<k>`.

    `space` keeps room for marks below notes. A note that a repeat plays twice is engraved
    once. Raises ScoreError when the engraver cannot read the score, or for bars that are not
    there. Needs verovio.
    """
    width_mm = min(WIDEST_MM, max(NARROWEST_MM, width_mm))
    sheet = sheet_xml(reading, bars, space.room if space else None)
    try:
        drawings = list(_draw(sheet.text, width_mm))
        parsed = [parse_drawing(svg) for svg in drawings]
    except (ValueError, RuntimeError, TypeError) as problem:
        raise _unreadable(reading, str(problem)) from None
    if not parsed:
        raise _unreadable(reading, "it found no music")
    glyphs: dict[str, str] = {}
    for drawing in parsed:
        glyphs |= glyphs_of(drawing)
    systems = tuple(_system(drawing, sheet, width_mm * UNITS_PER_MM) for drawing in parsed)
    face = _FONT_FACE.search(drawings[0])
    return Engraving(systems, dict(sorted(glyphs.items())), face[1] if face else "")


def _unreadable(reading: ScoreReading, why: str) -> ScoreError:
    return ScoreError(
        f"the engraver cannot draw this score ({why})",
        place=reading.source.name,
        next_step="Export it again as MusicXML 4.0, or ask for --format text",
    )


def _draw(text: str, width_mm: float) -> Iterator[str]:
    """One SVG text a system; RuntimeError where verovio refuses the score."""
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(_options(width_mm))
    if not toolkit.loadData(text):
        raise RuntimeError("it is not the MusicXML it reads")
    for page in range(1, toolkit.getPageCount() + 1):
        yield toolkit.renderToSVG(page)


def _options(width_mm: float) -> dict[str, Any]:
    return {
        "adjustPageHeight": True,
        "breaks": "auto",
        "footer": "none",
        "header": "none",
        "inputFrom": "musicxml",
        "lyricWordSpace": 0.6,
        "pageHeight": 60000,
        "pageMarginBottom": 10,
        "pageMarginLeft": 20,
        "pageMarginRight": 5,
        "pageMarginTop": 10,
        "pageWidth": round(width_mm * 10),
        "scale": 100,
        "svgAdditionalAttribute": ["verse@n"],
        "svgBoundingBoxes": True,
        "svgFormatRaw": True,
        "svgRemoveXlink": True,
        "systemMaxPerPage": 1,
    }


def _system(drawing: Drawn, sheet: SheetXml, width: float) -> System:
    """A drawing of the engraver with its placeholders taken out and their places noted."""
    scaled = next(child for child in drawing.children if child.name == "svg")
    height = float(scaled.attributes["viewBox"].split()[3])
    margin = next(child for child in scaled.children if "page-margin" in child.kinds)
    shift = _shift(margin)
    staff_lines: list[tuple[float, float, float]] = []
    heads: dict[str, Box] = {}
    rooms: dict[str, float] = {}
    _walk(margin, sheet, shift, staff_lines, heads, rooms, [])
    staff = _staff(staff_lines, width)
    rows = sheet.line - sheet.lyric_lines
    notes = {
        name: NoteBox(head, _room(head, rooms[name], rows) if name in rooms else None)
        for name, head in heads.items()
    }
    return System(clean(margin), width, height, staff, notes)


def _room(head: Box, baseline: float, rows: int) -> Box:
    """The room whose last row stands on `baseline`, centred under the head."""
    top = baseline - (rows - 1) * ROW - 0.7 * ROW
    return Box(head.middle, top, 0.0, baseline - top)


def _walk(
    element: Drawn,
    sheet: SheetXml,
    shift: tuple[float, float],
    lines: list[tuple[float, float, float]],
    heads: dict[str, Box],
    rooms: dict[str, float],
    above: list[str],
) -> None:
    """Collect staff lines, heads and placeholders of a drawing; placeholders are taken out of it."""
    kinds = element.kinds
    name = element.attributes.get("id", "")
    if "staff" in kinds:
        lines += _lines(element, shift)
    if "note" in kinds:
        if (box := _bounding_box(element, shift)) is not None:
            heads[name] = box
        above = [*above, name]
    elif "chord" in kinds:
        above = [*above, *_notes_in(element)]
    kept = []
    for child in element.children:
        if (
            "verse" in child.kinds
            and child.attributes.get("data-n") == str(sheet.line)
            and sheet.line > sheet.lyric_lines
        ):
            baseline = _baseline(child, shift)
            rooms |= {note: baseline for note in above if baseline is not None}
            continue
        _walk(child, sheet, shift, lines, heads, rooms, above)
        kept.append(child)
    element.children = kept


def _notes_in(chord: Drawn) -> Iterator[str]:
    return (child.attributes.get("id", "") for child in chord.children if "note" in child.kinds)


def _bounding_box(note: Drawn, shift: tuple[float, float]) -> Box | None:
    for child in note.children:
        if "bounding-box" in child.kinds:
            for rect in child.children:
                x, y, width, height = (float(rect.attributes[key]) for key in ("x", "y", "width", "height"))
                return Box(x + shift[0], y + shift[1], width, height)
    return None


def _baseline(verse: Drawn, shift: tuple[float, float]) -> float | None:
    if verse.name == "text":
        return float(verse.attributes["y"]) + shift[1]
    return next((found for child in verse.children if (found := _baseline(child, shift)) is not None), None)


def _lines(staff: Drawn, shift: tuple[float, float]) -> Iterator[tuple[float, float, float]]:
    """Left end, right end and height of each staff line."""
    for child in staff.children:
        if child.name == "path" and (line := _LINE.fullmatch(child.attributes.get("d", "").strip())):
            x1, y1, x2, y2 = map(float, line.groups())
            if y1 == y2:
                yield x1 + shift[0], x2 + shift[0], y1 + shift[1]


def _staff(lines: list[tuple[float, float, float]], width: float) -> Box:
    """The box of the staff lines of a system."""
    if not lines:
        return Box(0.0, 0.0, width, 0.0)
    left, right = min(line[0] for line in lines), max(line[1] for line in lines)
    top, bottom = min(line[2] for line in lines), max(line[2] for line in lines)
    return Box(left, top, right - left, bottom - top)


def _shift(margin: Drawn) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((-?[\d.]+),? ?(-?[\d.]+)\)", margin.attributes.get("transform", ""))
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)
