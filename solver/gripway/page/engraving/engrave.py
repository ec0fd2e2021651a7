"""The chosen part engraved by verovio: one safe drawing a system, every note found again by its id."""

import re
from collections.abc import Collection, Iterable, Iterator
from pathlib import Path
from typing import Any

from gripway.errors import ScoreError
from gripway.page.engraving.crowded_words import crowding, made_to_fit
from gripway.page.engraving.drawing_parts import UNITS_PER_MM, Engraving, Space
from gripway.page.engraving.find_places import keep_numbers, system_of, with_bars
from gripway.page.engraving.sheet_xml import SheetXml, sheet_xml
from gripway.page.engraving.svg_cleaning import Drawn, glyphs_of, parse_drawing
from gripway.score.reading.score_reading import ScoreReading

WIDTHS_MM = {"a4": 180.0, "letter": 186.0}
"""Width of the music on a sheet of A4 (210 mm) and of Letter (216 mm) with margins of 15 mm."""

NARROWEST_MM, WIDEST_MM = 60.0, 1000.0
LEFT_MARGIN, DIGIT_MARGIN = 20, 7
"""Tenths of a millimetre: the least margin, and half a digit of a bar number in verovio's size."""

TENTHS = UNITS_PER_MM // 10
"""Units of a drawing in a tenth of a millimetre."""

_FONT_FACE = re.compile(r"@font-face\s*\{[^{}]*?base64,([A-Za-z0-9+/=]+)")


def engrave(
    reading: ScoreReading,
    *,
    bars: str | None = None,
    width_mm: float = WIDTHS_MM["a4"],
    space: Space | None = None,
    numbered: Collection[str] = (),
    bare: bool = False,
) -> Engraving:
    """Engrave the part that was read; every note element is found again by its id `P1-n<k>`.

    `space` keeps room for marks below notes. Besides the first bar of each line those in `numbered` have
    their numbers, `bare` ones none. A note that a repeat plays twice is engraved
    once. Raises ScoreError when the engraver cannot read the score, or for bars that are not
    there. Needs verovio.
    """
    sheet = sheet_xml(reading, bars, space.room if space else None)
    return engrave_sheet(sheet, reading.source.name, width_mm, numbered, bare=bare)


def engrave_sheet(
    sheet: SheetXml, name: str, width_mm: float, numbered: Collection[str] = (), *, bare: bool = False
) -> Engraving:
    """Engrave a document of the score `name`. Raises ScoreError when the engraver cannot read it."""
    width_mm = min(WIDEST_MM, max(NARROWEST_MM, width_mm))
    try:
        drawings, parsed = _drawn(sheet, width_mm, numbered, bare=bare)
        if found := crowding(parsed, width_mm * UNITS_PER_MM - _margin(sheet.digits) * TENTHS):
            drawings, parsed = _drawn(made_to_fit(sheet, found), width_mm, numbered, bare=bare)
    except (ValueError, RuntimeError, TypeError) as problem:
        raise _unreadable(name, str(problem)) from None
    if not parsed:
        raise _unreadable(name, "it found no music")
    glyphs: dict[str, str] = {}
    for drawing in parsed:
        glyphs |= glyphs_of(drawing)
    systems = [system_of(drawing, sheet, width_mm * UNITS_PER_MM) for drawing in parsed]
    return Engraving(
        tuple(with_bars(systems, sheet.bars)), dict(sorted(glyphs.items())), _music_font(drawings)
    )


def _drawn(
    sheet: SheetXml, width_mm: float, numbered: Collection[str], *, bare: bool
) -> tuple[list[str], list[Drawn]]:
    """A document drawn, one text and one tree a system."""
    drawings = list(_draw(sheet.text, width_mm, _margin(sheet.digits), every=bool(numbered)))
    parsed = [parse_drawing(svg) for svg in drawings]
    for drawing in parsed if numbered or bare else ():
        keep_numbers(drawing, numbered, bare=bare)
    return drawings, parsed


def _music_font(drawings: Iterable[str]) -> str:
    """The music font as base64: verovio gives it only with the systems that write in it."""
    faces = (_FONT_FACE.search(drawing) for drawing in drawings)
    return next((face[1] for face in faces if face), "")


def _unreadable(name: str, why: str) -> ScoreError:
    return ScoreError(
        f"the engraver cannot draw this score ({why})",
        place=name,
        next_step="Export it again as MusicXML 4.0, or ask for the answer as text",
    )


def _margin(digits: int) -> int:
    """The left margin, wide enough for the longest bar number, which stands half in it."""
    return max(LEFT_MARGIN, 5 + DIGIT_MARGIN * digits)


def _draw(text: str, width_mm: float, left_margin: int, *, every: bool = False) -> Iterator[str]:
    """One SVG text a system, with `every` number of a bar; RuntimeError where verovio refuses the score."""
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    verovio.setDefaultResourcePath(
        str(Path(verovio.__file__).parent / "data")
    )  # known to one thread at a time
    toolkit = verovio.toolkit()
    toolkit.setOptions(_options(width_mm, left_margin) | {"mnumInterval": int(every)})
    if not toolkit.loadData(text):
        raise RuntimeError("it is not the MusicXML it reads")
    for page in range(1, toolkit.getPageCount() + 1):
        yield toolkit.renderToSVG(page)


def _options(width_mm: float, left_margin: int) -> dict[str, Any]:
    return {
        "adjustPageHeight": True,
        "breaks": "auto",
        "footer": "none",
        "header": "none",
        "inputFrom": "musicxml",
        "lyricWordSpace": 0.6,
        "pageHeight": 60000,
        "pageMarginBottom": 10,
        "pageMarginLeft": left_margin,
        "pageMarginRight": 5,
        "pageMarginTop": 10,
        "pageWidth": round(width_mm * 10),
        "scale": 100,
        "svgAdditionalAttribute": ["verse@n", "measure@n"],
        "svgBoundingBoxes": True,
        "svgFormatRaw": True,
        "svgRemoveXlink": True,
        "systemMaxPerPage": 1,
    }
