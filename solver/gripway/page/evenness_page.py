"""A recorded passage on paper: its music with a row of what was heard late and a row of what was expected."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gripway.listening.times.evenness import Evenness, HeardChange
from gripway.listening.times.evenness_data import (
    agreement_words,
    change_words,
    evenness_sentence,
    tempo_found,
)
from gripway.page.document import document
from gripway.page.engraving.drawing_parts import Space, System
from gripway.page.engraving.engrave import engrave
from gripway.page.engraving.svg_cleaning import GLYPH_PREFIX
from gripway.page.markup import filled
from gripway.route.result import Route
from gripway.score.reading.score_reading import ScoreReading

ROW = 320
"""Height of a row of marks, in the engraver's units."""

ROOM_MM, WIDTH_MM = 8.0, 6.0
TITLE = "Evenness"


@dataclass(frozen=True, slots=True)
class NoteMarks:
    """The marks of a written note: how late it came (ms), whether it was missed, the load expected."""

    late_ms: float | None
    missed: bool
    load: float | None


@dataclass(frozen=True, slots=True)
class _PlacedMarks:
    marks: NoteMarks
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class _MarkedSystem:
    drawn: System
    placed: list[_PlacedMarks]
    height: float


def evenness_document(heard: Evenness, route: Route, reading: ScoreReading, bars: str | None) -> str:
    """The whole page; needs no network and no script."""
    marks = note_marks(heard, route)
    space = Space(dict.fromkeys(marks, ROOM_MM), width_mm=WIDTH_MM)
    engraving = engrave(reading, bars=bars, space=space)
    quarters = tempo_found(heard, route)
    body = filled(
        "evenness.html",
        title=" · ".join(part for part in (route.passage.title, route.passage.part) if part) or TITLE,
        sentence=evenness_sentence(heard, route),
        agreement=agreement_words(heard.agreement),
        tempo=f"quarter = {quarters:.1f}" if quarters else "",
        spread_ms=heard.spread_ms,
        heard=len(heard.onsets_s) - len(heard.missed),
        asked=len(heard.onsets_s),
        glyphs=engraving.glyphs,
        GLYPH_PREFIX=GLYPH_PREFIX,
        ROW=ROW,
        systems=[_drawn(system, marks) for system in engraving.systems],
        rows=[_row(each, route) for each in heard.changes if each.is_late or each.is_expected],
    )
    return document(TITLE, "report/report.css", body, font=engraving.font)


def note_marks(heard: Evenness, route: Route) -> dict[str, NoteMarks]:
    """The marks by the written note's id; of a note played several times the latest time counts."""
    missed = {route.notes[place].note.id for place in heard.missed}
    changes: dict[str, list[HeardChange]] = {}
    for each in heard.changes:
        changes.setdefault(route.notes[each.to].note.id, []).append(each)
    marks = {}
    for name in dict.fromkeys([*changes, *missed]):
        late = [each.late_ms for each in changes.get(name, ()) if each.is_late]
        loads = [each.load for each in changes.get(name, ()) if each.is_expected and each.load is not None]
        if late or loads or name in missed:
            marks[name] = NoteMarks(max(late, default=None), name in missed, max(loads, default=None))
    return marks


def _drawn(system: System, marks: Mapping[str, NoteMarks]) -> _MarkedSystem:
    """A system with its marks, all of one row at one height below the lowest note."""
    named = [(name, box) for name, box in system.notes.items() if name in marks]
    top = max([system.staff.bottom, *_bottoms(system), *(box.room.y for _, box in named if box.room)])
    placed = [_PlacedMarks(marks[name], box.head.middle, top) for name, box in named]
    return _MarkedSystem(system, placed, max(system.height, top + 2 * ROW + 100))


def _bottoms(system: System) -> Iterable[float]:
    return (box.head.bottom for box in system.notes.values())


def _row(each: HeardChange, route: Route) -> tuple[str, str, str, str]:
    """A row of the table: change, late by, load, what gripway expected."""
    late = f"{each.late_ms:+.0f} ms" + (", late" if each.is_late else "")
    load = "" if each.load is None else f"{each.load:.2f}"
    return change_words(each, route), late, load, "late" if each.is_expected else "in time"
