"""Drills: a cell's worst change as music, from holding still to the bar it stands in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.practice.cells.cells import Cell, fingered, is_tremolo
from gripway.practice.cells.short_passages import Laid, Strand, Style, strand
from gripway.practice.drills.drill_layings import LAYINGS
from gripway.practice.drills.sounding_key import sounding_fifths
from gripway.route.result import OPTIMAL, RouteNote
from gripway.route.solve import Solver
from gripway.score.write_notation import write_notation

OF_TRILLS = ("hold", "measured", "groups", "even")
"""Drills of a trill: the last three have no others."""

LEVEL = ("learn", "hold", "stop", "pair", *OF_TRILLS)
"""Drills of two notes that come again: one dynamic."""

NOT_OF_TREMOLOS = ("rhythm", "overlap")
"""As written a tremolo is two long notes, and its neighbours in its own speed are asked for nowhere."""


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
        return write_notation(self.passage, keys=False)

    @property
    def lasts(self) -> Fraction:
        """Its length in whole notes, to the end of its last bar."""
        last = self.passage.notes[-1]
        bar = Fraction(*self.metre)
        return -(-(last.onset + last.length) // bar) * bar


def drills_of(
    cell: Cell, solver: Solver, notes: Sequence[RouteNote], tables: PracticeTables, *, other: bool = False
) -> list[Drill]:
    """The drills of a cell, in the order of tables/practice/drills.csv.

    `notes` are all of the route. Slurs and dynamics are those of the part, or with `other` slurred what
    is tongued there and tongued what is slurred; the key is the one that sounds there. Each drill is
    music that can be written, holds the change between the very grips, and has a route through its
    grips; what fails in this is left out.
    """
    found: dict[tuple[object, ...], Drill] = {}
    style = Style(sounding_fifths(notes, cell.place, tables.figures), other)
    for kind in tables.drills:
        if not _is_for(kind, cell):
            continue
        laid_out = LAYINGS[kind](notes, cell, tables)
        made = [drill for rhythm, laid in laid_out if (drill := _drill(kind, rhythm, laid, cell, style))]
        for made_drill in _in_time(made, cell, solver) if kind == "pair" else made:
            drill = _one_grip_a_pitch(made_drill, cell, solver)
            if highest_load(drill, solver) is not None:
                found.setdefault((drill.notation, drill.grips), drill)
    return list(found.values())


def _is_for(kind: str, cell: Cell) -> bool:
    """Whether a kind of drill is one for this cell."""
    if cell.trill:
        return kind in OF_TRILLS
    return kind not in OF_TRILLS[1:] and not (kind in NOT_OF_TREMOLOS and is_tremolo(cell))


def _drill(kind: str, rhythm: str, laid: Sequence[Laid], cell: Cell, style: Style) -> Drill | None:
    """The drill as it is laid out; None where it cannot be written or lacks the change."""
    made = strand(laid, cell.quarters, replace(style, level=kind in LEVEL))
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
