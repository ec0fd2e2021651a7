"""How each kind of drill is laid out: which notes of the route, how long, slurred or not."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeTables, Rhythm
from gripway.practice.cells.cells import Cell, fingered, is_tremolo
from gripway.practice.cells.hardness import STANDARD
from gripway.practice.cells.short_passages import (
    QUARTER,
    Laid,
    filled,
    plain_step,
    spacing,
    step_of,
    together,
)
from gripway.practice.drills.drill_ranges import windows
from gripway.practice.drills.rhythms import in_rhythm, rhythms_for
from gripway.route.result import RouteNote
from gripway.units import length_ms

WHOLE, HALF = Fraction(1), Fraction(1, 2)
PAIRS = 4
"""Times there and back in the pair drill."""

LINE = 4
"""Notes a rhythm should have to run over, where the passage has them."""

TRILL_RHYTHMS, TRILL_GROUP = 4, 8
"""Rhythms a trill is drilled in, and notes of each."""

Laying = Callable[[Sequence[RouteNote], Cell, PracticeTables], Iterator[tuple[str, list[Laid]]]]


def _learn(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    """Each unusual grip of the cell: long alone, against its neighbour, then the worst change."""
    before, after = _pair_of(notes, cell)
    for place in range(cell.first, cell.first + len(cell.notes)):
        new = notes[place]
        if (grip := fingered(new)).usual or grip.case == STANDARD:
            continue
        beside = notes[place - 1 if place > cell.first else place + 1]
        slurred = after.note.slurred
        alone = [Laid(new, WHOLE), Laid(beside, HALF, slurred), Laid(new, HALF, slurred, HALF)]
        yield "", [*alone, Laid(before, HALF), Laid(after, HALF, rest=HALF)]


def _hold(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    before, after = _pair_of(notes, cell)
    yield "", [Laid(before, HALF), Laid(after, QUARTER, rest=QUARTER)]


def _stop(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    before, after = _pair_of(notes, cell)
    step = _step(notes, before.index, cell)
    yield "", [Laid(before, step), Laid(after, HALF - step, rest=HALF)]


def _pair(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    before, after = _pair_of(notes, cell)
    step = _step(notes, before.index, cell)
    for slower in (1,) if is_tremolo(cell) else (1, 2):
        turns = [*(before, after) * PAIRS, before]
        yield "", filled([Laid(note, slower * step, after.note.slurred) for note in turns])


def _before(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    start, end = _worst_span(cell)
    if together(notes, start - 1):
        yield "", _as_written(notes, start - 1, end, cell)


def _after(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    start, end = _worst_span(cell)
    if together(notes, end):
        yield "", _as_written(notes, start, end + 1, cell)


def _around(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    start, end = _around_span(notes, cell)
    if end - start > 1:
        yield "", _as_written(notes, start, end, cell)


def _rhythm(
    notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables
) -> Iterator[tuple[str, list[Laid]]]:
    start, end = _around_span(notes, cell)
    while end - start + 1 < LINE and together(notes, end):
        end += 1
    while end - start + 1 < LINE and together(notes, start - 1):
        start -= 1
    worst = cell.first + cell.worst - 1
    step = _step(notes, worst, cell)
    chosen: tuple[Rhythm, ...] = rhythms_for(worst - start, end - start + 1, tables.rhythms)
    for rhythm in chosen:
        yield rhythm.name, in_rhythm(notes[start : end + 1], rhythm, step)


def _overlap(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    laid: list[Laid] = []
    for first, last in windows(notes, cell):
        group = filled(_laid_whole(notes, first, last))
        laid += [*group[:-1], Laid(group[-1].note, group[-1].length, group[-1].joined, QUARTER)]
    if laid:
        yield "", laid


def _measured(_: Sequence[RouteNote], cell: Cell, __: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    """A trill from eighths to triplets to sixteenths, each a whole note long."""
    steps = [Fraction(1, part) for part in (8, 12, 16) for _ in range(part // 2)]
    yield "", _to_and_fro(cell, steps)


def _groups(_: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    """A trill in rhythms, two groups of four each: now the one finger waits and now the other."""
    for rhythm in tables.rhythms[:TRILL_RHYTHMS]:
        steps = [Fraction(step, 16) for step in rhythm.steps]
        whole = steps * (TRILL_GROUP // len(steps))
        yield rhythm.name, _to_and_fro(cell, whole)


def _even(_: Sequence[RouteNote], cell: Cell, __: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    """Sixteenths, four to a click."""
    yield "", _to_and_fro(cell, [Fraction(1, 16)] * 16)


def _to_and_fro(cell: Cell, steps: Sequence[Fraction]) -> list[Laid]:
    """The two notes of a trill in turn, slurred, and the first one to end with."""
    laid = [Laid(cell.notes[place % 2], step, joined=place > 0) for place, step in enumerate(steps)]
    return filled([*laid, Laid(cell.notes[len(steps) % 2], QUARTER, joined=True)])


LAYINGS: Mapping[str, Laying] = {
    "learn": _learn,
    "hold": _hold,
    "stop": _stop,
    "pair": _pair,
    "before": _before,
    "after": _after,
    "around": _around,
    "rhythm": _rhythm,
    "overlap": _overlap,
    "measured": _measured,
    "groups": _groups,
    "even": _even,
}
"""How each kind of drill is laid out: a rhythm's name and the notes."""


def _step(notes: Sequence[RouteNote], place: int, cell: Cell) -> Fraction:
    """The spacing after a note as drills write it; between the notes of the cell's tremolo, its own speed."""
    if place == cell.first + cell.worst - 1 and is_tremolo(cell):
        return plain_step(Fraction(cell.change.available_ms / length_ms(Fraction(1), cell.quarters)))
    return step_of(notes, place)


def _pair_of(notes: Sequence[RouteNote], cell: Cell) -> tuple[RouteNote, RouteNote]:
    if cell.trill:
        return cell.notes[0], cell.notes[1]
    start, end = _worst_span(cell)
    return notes[start], notes[end]


def _worst_span(cell: Cell) -> tuple[int, int]:
    """Indices of the two notes of the worst change."""
    return cell.first + cell.worst - 1, cell.first + cell.worst


def _around_span(notes: Sequence[RouteNote], cell: Cell) -> tuple[int, int]:
    """First and last note of the cell with the notes beside its worst change."""
    start, end = _worst_span(cell)
    first, last = cell.first, cell.first + len(cell.notes) - 1
    first = min(first, start - 1 if together(notes, start - 1) else start)
    return first, max(last, end + 1 if together(notes, end) else end)


def _as_written(notes: Sequence[RouteNote], first: int, last: int, cell: Cell) -> list[Laid]:
    """Notes in their own time, the last one long."""
    laid = [Laid(notes[place], _step(notes, place, cell)) for place in range(first, last)]
    return filled([*laid, Laid(notes[last], QUARTER)])


def _laid_whole(notes: Sequence[RouteNote], first: int, last: int) -> list[Laid]:
    """Notes as they are written, with their own lengths, rests and slurs; the first begins afresh."""
    laid = []
    for place in range(first, last + 1):
        note = notes[place].note
        between = spacing(notes, place) if place < last else QUARTER
        length = min(note.length, between) if note.length > 0 else between
        laid.append(Laid(notes[place], length, note.slurred and place > first, between - length))
    return laid
