"""The chosen part and bars engraved for the page: a drawing a line of music, and where its notes stand."""

from collections.abc import Sequence
from typing import Any

from gripway.page.engraving.drawing_parts import Box, Engraving, NoteBox, Space, System
from gripway.page.engraving.engrave import engrave, engrave_sheet
from gripway.page.engraving.sheet_chunks import Chunk, sheet_chunks
from gripway.score.reading.score_reading import ScoreReading

SPACE = Space({}, others_mm=4.0, width_mm=7.5)
"""Room under every note: as high as a figure in a circle, as wide as a finger tip (24 CSS pixels)."""


def sheet_data(reading: ScoreReading, bars: str | None, width_mm: float) -> dict[str, Any]:
    """The systems as drawings, staff and notes in hundredths of a millimetre, the glyphs and the font."""
    return _drawn(engrave(reading, bars=bars, width_mm=width_mm, space=SPACE))


def engraved_data(reading: ScoreReading, width_mm: float) -> dict[str, Any]:
    """Music with nothing below it, as `sheet_data` gives a part; its glyphs are its own."""
    return _drawn(engrave(reading, width_mm=width_mm))


def page_chunks(reading: ScoreReading, bars: str | None) -> tuple[Chunk, ...]:
    """What is engraved for the page, in chunks that are drawn by `chunk_data`."""
    return sheet_chunks(reading, bars, SPACE.room)


def chunk_data(chunks: Sequence[Chunk], place: int, name: str, width_mm: float) -> dict[str, Any]:
    """One chunk of the score `name` as `sheet_data` gives the whole, and which notes all chunks have."""
    drawn = _drawn(engrave_sheet(chunks[place].sheet, name, width_mm))
    outline = {
        "chunks": [[chunk.first, chunk.last] for chunk in chunks],
        "last_bar": chunks[-1].sheet.bars[-1],
    }
    return {"chunk": place, **outline, **drawn}


def _drawn(found: Engraving) -> dict[str, Any]:
    return {
        "systems": [_system(system) for system in found.systems],
        "glyphs": dict(found.glyphs),
        "font": found.font,
    }


def _system(system: System) -> dict[str, Any]:
    return {
        "drawing": system.drawing,
        "width": system.width,
        "height": system.height,
        "staff": _box(system.staff),
        "bars": list(system.bars),
        "notes": {name: _note(note) for name, note in system.notes.items()},
    }


def _note(note: NoteBox) -> dict[str, Any]:
    return {"head": _box(note.head), "room": None if note.room is None else [note.room.y, note.room.height]}


def _box(box: Box) -> list[float]:
    return [round(box.x), round(box.y), round(box.width), round(box.height)]
