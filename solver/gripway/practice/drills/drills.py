"""Drills: a cell's worst change as music, from holding still to the bar it stands in."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeTables, Rhythm
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.practice.cells.cells import Cell, fingered, is_tremolo
from gripway.practice.cells.hardness import STANDARD
from gripway.practice.cells.short_passages import (
    QUARTER,
    Laid,
    Strand,
    filled,
    plain_step,
    spacing,
    step_of,
    strand,
    together,
)
from gripway.practice.drills.drill_ranges import windows
from gripway.practice.drills.rhythms import in_rhythm, rhythms_for
from gripway.route.result import OPTIMAL, RouteNote
from gripway.route.solve import Solver
from gripway.score.notation import write_notation
from gripway.units import length_ms

WHOLE, HALF = Fraction(1), Fraction(1, 2)
PAIRS = 4
"""Times there and back in the pair drill."""

NOT_OF_TREMOLOS = ("rhythm", "overlap")
"""As written a tremolo is two long notes, and its neighbours in its own speed are asked for nowhere."""

LINE = 4
"""Notes a rhythm should have to run over, where the passage has them."""


@dataclass(frozen=True, slots=True)
class Drill:
    """One exercise: a small passage at the tempo of the part with a grip for every note.

    `changes` are the indices of the notes the cell's worst change leads to; `rhythm` names
    the rhythm of a drill in rhythms.
    """

    kind: str
    passage: Passage
    grips: tuple[Grip, ...]
    metre: tuple[int, int]
    changes: tuple[int, ...]
    rhythm: str = ""

    @property
    def notation(self) -> str:
        """The drill as one line of notes."""
        return write_notation(self.passage)

    @property
    def lasts(self) -> Fraction:
        """Its length in whole notes, to the end of its last bar."""
        last = self.passage.notes[-1]
        bar = Fraction(*self.metre)
        return -(-(last.onset + last.length) // bar) * bar


Laying = Callable[[Sequence[RouteNote], Cell, PracticeTables], Iterator[tuple[str, list[Laid]]]]


def drills_of(cell: Cell, solver: Solver, notes: Sequence[RouteNote], tables: PracticeTables) -> list[Drill]:
    """The drills of a cell, in the order of tables/practice/drills.csv.

    `notes` are all of the route. Each drill is music that can be written, holds the change
    between the very grips, and has a route through its grips; what fails in this is left out.
    """
    found: dict[tuple[object, ...], Drill] = {}
    for kind in tables.drills:
        if kind in NOT_OF_TREMOLOS and is_tremolo(cell):
            continue
        laid_out = LAYINGS[kind](notes, cell, tables)
        made = [drill for rhythm, laid in laid_out if (drill := _drill(kind, rhythm, laid, cell))]
        for made_drill in _in_time(made, cell, solver) if kind == "pair" else made:
            drill = _one_grip_a_pitch(made_drill, cell, solver)
            if highest_load(drill, solver) is not None:
                found.setdefault((drill.notation, drill.grips), drill)
    return list(found.values())


def _drill(kind: str, rhythm: str, laid: Sequence[Laid], cell: Cell) -> Drill | None:
    """The drill as it is laid out; None where it cannot be written or lacks the change."""
    made = strand(laid, cell.quarters)
    if made is None or not (changes := changes_at(cell, made)):
        return None
    return Drill(kind, made.passage, made.grips, made.metre, changes, rhythm)


def _in_time(drills: Sequence[Drill], cell: Cell, solver: Solver) -> Sequence[Drill]:
    """The first of these drills whose load is not above 1, or not above that of the cell; else the last.

    To and fro again and again is slower work than the same change once in a line.
    """
    for drill in drills:
        load = highest_load(drill, solver)
        if load is not None and load <= max(1.0, cell.load):
            return (drill,)
    return drills[-1:]


def _one_grip_a_pitch(drill: Drill, cell: Cell, solver: Solver) -> Drill:
    """The drill with one grip for each pitch, that of the cell or the first, where it goes as well so.

    Where hands cannot go through it, or only later than before, the route needs the grips it has.
    """
    chosen = {note.note.pitch.number: fingered(note).grip for note in reversed(cell.notes)}
    numbers = [note.pitch.number for note in drill.passage.notes]
    grips = tuple(chosen.setdefault(number, grip) for number, grip in zip(numbers, drill.grips, strict=True))
    if grips == drill.grips:
        return drill
    plain = replace(drill, grips=grips, changes=_changes(cell, numbers, grips))
    load, before = highest_load(plain, solver), highest_load(drill, solver)
    goes = load is not None and (before is None or load <= max(1.0, before))
    return plain if plain.changes and goes else drill


def changes_at(cell: Cell, made: Strand) -> tuple[int, ...]:
    """Where a strand has the cell's worst change, between the very grips."""
    return _changes(cell, [note.pitch.number for note in made.passage.notes], made.grips)


def _changes(cell: Cell, numbers: Sequence[int], grips: Sequence[Grip]) -> tuple[int, ...]:
    before, after = cell.notes[cell.worst - 1], cell.notes[cell.worst]
    wanted = tuple((note.note.pitch.number, fingered(note).grip) for note in (before, after))
    steps = pairwise(zip(numbers, grips, strict=True))
    return tuple(place for place, step in enumerate(steps, start=1) if step == wanted)


def highest_load(drill: Drill, solver: Solver) -> float | None:
    """The highest load in a drill at the tempo of the part; None where no hands can go through its grips."""
    pins = tuple(Pin(place, grip) for place, grip in enumerate(drill.grips))
    route = solver.solve(drill.passage, Wishes(pins=pins, others=0))
    return max(change.load for change in route.changes) if route.status == OPTIMAL else None


def _learn(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, list[Laid]]]:
    """Each unusual grip of the cell: long alone, against its neighbour, then the worst change."""
    before, after = _pair_of(notes, cell)
    for place in range(cell.first, cell.first + len(cell.notes)):
        new = notes[place]
        if (grip := fingered(new)).usual or grip.case == STANDARD:
            continue
        beside = notes[place - 1 if place > cell.first else place + 1]
        alone = [Laid(new, WHOLE), Laid(beside, HALF), Laid(new, HALF, rest=HALF)]
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
        to_and_fro = [Laid(note, slower * step) for _ in range(PAIRS) for note in (before, after)]
        yield "", filled([*to_and_fro, Laid(before, slower * step)])


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
}
"""How each kind of drill is laid out: a rhythm's name and the notes."""


def _step(notes: Sequence[RouteNote], place: int, cell: Cell) -> Fraction:
    """The spacing after a note as drills write it; between the notes of the cell's tremolo, its own speed."""
    if place == cell.first + cell.worst - 1 and is_tremolo(cell):
        return plain_step(Fraction(cell.change.available_ms / length_ms(Fraction(1), cell.quarters)))
    return step_of(notes, place)


def _pair_of(notes: Sequence[RouteNote], cell: Cell) -> tuple[RouteNote, RouteNote]:
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
    """Notes in their own time, one slur over them, the last one long."""
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
