"""Drills: a cell's worst change as music, from holding still to the bar it stands in."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import floor
from types import MappingProxyType

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.grip import Grip
from gripway.model.passage import DYNAMICS, Passage
from gripway.practice.cells.cells import Cell, fingered, is_tremolo
from gripway.practice.cells.hardness import is_new
from gripway.practice.cells.short_passages import SOFT, Laid, Strand, Style, strand
from gripway.practice.drills.drill_layings import LAYINGS, Lines, grid_of
from gripway.practice.drills.drill_ranges import bar_beside
from gripway.practice.drills.learn_grip import learn_grip
from gripway.practice.drills.octave_lower import PICCOLO, are_tiring, is_high, octave_lower
from gripway.practice.drills.tempo_ladder import SLOWEST
from gripway.route.result import OPTIMAL, RouteNote
from gripway.route.solve import Solver
from gripway.score.write_notation import write_notation

OF_SHORT_TRILLS = ("figure", "led")
"""Drills of a short trill: the figure that there is time for."""

OF_TRILLS = ("learn", "hold", "measured", "groups", "even", "entry", "ending", *OF_SHORT_TRILLS)
"""Drills of trills and tremolos; but for the first two no others have them."""

LEARN = "learn"
"""The kind of drill that teaches a grip."""

OCTAVE = "octave"
"""What high notes have in place of a hold."""

LEFT_TO_LEARN = ("hold", "groups")
"""What a trill with a new grip has no drills of: learning it has the one, and takes the time of the other."""

LEVEL = (OCTAVE, "stop", "pair", *OF_TRILLS)
"""Drills of two notes that come again: one dynamic."""

FREE = (OCTAVE, LEARN, "hold")
"""Drills without a tempo."""

WITH_TWO_GRIPS = (LEARN, "entry", "ending", *OF_SHORT_TRILLS)
"""A new grip is heard against the standard one; a trill with its own begins and ends on those of the part."""

IN_THE_PART = "overlap"
"""Drills that stand in the part: with its trills, and up to its tempo."""

FASTEST_LOAD = 1.0
"""No drill is asked for faster than its fingers need for each change."""

SLOWER_PAIR_SHARE = 0.5
"""Where to and fro gets to no more than this share of the tempo, it is written half as fast (judgement)."""

ALL_BUT = 0.999
"""So near to its tempo a drill is at its tempo."""

AS_LOUD = (IN_THE_PART, "after", "around", "added", "rhythm", "evened")
"""Drills that come once the change is known: as loud as in the part; what comes before is mp at most."""

LOUD, HIGH_DYNAMIC = DYNAMICS[-1], "mf"
"""In the part as loud as there; high notes speak neither soft nor tire as loud."""

LONE_NOTES = 2
"""Notes of a change: a bar with no more is no drill of its own, a cell of no more needs few tempos."""

NO_GRIPS: Mapping[int, Grip] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Drill:
    """One exercise: a small passage at the tempo of the part with a grip for every note.

    `changes` are the indices of the notes the cell's worst change leads to, none in a drill that only leads
    up to it; `rhythm` names the rhythm of a drill in rhythms. `fastest` is the highest tempo (quarters a
    minute) it is asked for at: there no change comes faster than the fingers need, nor than in the part.
    `high`: its change is between high notes. `of_two`: its cell has no more than two notes. `bar`: it is from
    another bar of the part than its cell, and from which. `in_bar`: one in the part goes up to its whole bar.
    """

    kind: str
    passage: Passage
    grips: tuple[Grip, ...]
    metre: tuple[int, int]
    changes: tuple[int, ...]
    rhythm: str = ""
    fastest: int = 0
    high: bool = False
    of_two: bool = False
    bar: str = ""
    in_bar: bool = True

    @property
    def free(self) -> bool:
        """Whether it is played without a tempo."""
        return self.kind in FREE

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
    cell: Cell,
    solver: Solver,
    notes: Sequence[RouteNote],
    tables: PracticeTables,
    *,
    other: bool = False,
    taken: Mapping[int, Grip] = NO_GRIPS,
    soft: bool = False,
    left: Collection[int] = (),
) -> list[Drill]:
    """The drills of a cell, in the order of tables/practice/drills.csv.

    `notes` are all of the route. Slurs and dynamics are those of the part, or with `other` slurred what
    is tongued there and tongued what is slurred; the key signature is that of the part. Pitches beside the
    cell have the grips that are `taken` for them, where hands go through these as well. Each drill is music
    that can be written, holds the change between the very grips, and has a route through its grips; what
    fails in this is left out. With `soft`, as to warm up, nothing is louder than mp. The grace notes `left`
    out (by index) stand in no drill.
    """
    found: dict[tuple[object, ...], Drill] = {}
    for kind in tables.drills:
        if not _is_for(kind, cell, tables.figures):
            continue
        style = _style(kind, cell, solver, notes, tables, other=other, soft=soft)
        laid_out = [
            (rhythm, tuple(kept for line in lines if (kept := _without(line, left, kind))))
            for rhythm, lines in _laid_out(kind, cell, solver, notes, tables)
        ]
        made = [
            drill
            for rhythm, lines in laid_out
            if (drill := _drill(kind, rhythm, lines, cell, style, tables.figures))
        ]
        high, of_two = is_high(cell, tables.figures), len(cell.notes) == LONE_NOTES
        made = [replace(drill, high=high, of_two=of_two) for drill in made]
        ready = [capped for drill in made if (capped := _capped(drill, cell, solver, tables, taken))]
        for drill in _fast_enough(ready, cell) if kind == "pair" else ready:
            if drill.kind == IN_THE_PART:  # the same notes are that drill, and no other
                begun = _levelled(without_held(drill))
                found = {key: other for key, other in found.items() if _levelled(other) != begun}
                drill = replace(drill, bar=bar_beside(notes, cell, tables.figures))
            found.setdefault((drill.notation, drill.grips), drill)
    return list(found.values())


def _laid_out(
    kind: str, cell: Cell, solver: Solver, notes: Sequence[RouteNote], tables: PracticeTables
) -> Iterable[tuple[str, Lines]]:
    """The drills of a kind as laid out: a rhythm's name and the notes."""
    if kind == LEARN:
        return [("", (laid,)) for laid in learn_grip(cell, solver, grid_of(notes, cell))]
    if kind == OCTAVE:
        laid = octave_lower(cell, solver, grid_of(notes, cell))
        return [("", (laid,))] if laid else []
    return LAYINGS[kind](notes, cell, tables)


def _without(laid: list[Laid], left: Collection[int], kind: str) -> list[Laid]:
    """What is laid out without the grace notes that are left out; empty where only the part has them so."""
    kept: list[Laid] = []
    first: Laid | None = None
    for item in laid:
        if item.note.index in left and item.note.note.grace:
            first = first or item
            continue
        if first:
            joined = bool(kept) and first.note.note.slurred
            item = replace(item, joined=joined, wait=item.wait + first.wait)
            first = None
        kept.append(item)
    return kept if len(kept) == len(laid) or kind == IN_THE_PART else []


def without_held(drill: Drill) -> Drill:
    """The drill with rests for the notes that are held over into it."""
    struck = [place for place, note in enumerate(drill.passage.notes) if not note.held_over]
    notes = tuple(drill.passage.notes[place] for place in struck)
    grips = tuple(drill.grips[place] for place in struck)
    return replace(drill, passage=replace(drill.passage, notes=notes), grips=grips)


def _levelled(drill: Drill) -> tuple[str, tuple[Grip, ...]]:
    """The notes and grips of a drill, however loud."""
    notes = (replace(note, dynamic=HIGH_DYNAMIC, dynamic_mark="") for note in drill.passage.notes)
    return write_notation(Passage(tuple(notes)), keys=False), drill.grips


def _style(
    kind: str,
    cell: Cell,
    solver: Solver,
    notes: Sequence[RouteNote],
    tables: PracticeTables,
    *,
    other: bool,
    soft: bool,
) -> Style:
    """How the drills of a cell are written: mp at most while the change is new, then as loud as in the part.

    On the piccolo that is mp at most too; high notes are mf.
    """
    piccolo = solver.knowledge.instrument.id == PICCOLO
    raised = kind != IN_THE_PART and is_high(cell, tables.figures)
    return Style(
        notes[cell.place].note.fifths,
        metre=grid_of(notes, cell).metre,
        other=other,
        loudest=SOFT if piccolo or soft or kind not in AS_LOUD else LOUD,
        level=kind in LEVEL,
        dynamic=(SOFT if piccolo else HIGH_DYNAMIC) if raised else None,
        ornaments=kind == IN_THE_PART and not other,
    )


def _is_for(kind: str, cell: Cell, figures: PracticeFigures) -> bool:
    """Whether a kind of drill is one for this cell: high notes are not held, others not played lower."""
    if kind == "hold" and len(cell.change.movers) == 1:
        return False  # one finger alone has nothing to look ahead to
    if cell.trill:
        new = is_new(fingered(cell.notes[0]))
        short = kind in OF_SHORT_TRILLS
        wanted = kind in OF_TRILLS[:2] or (kind in OF_TRILLS and short is not cell.has_own_tempo)
        return wanted and not (new and kind in LEFT_TO_LEARN)
    if is_tremolo(cell):
        return kind in OF_TRILLS and kind not in WITH_TWO_GRIPS
    if kind in (OCTAVE, "hold"):
        return is_high(cell, figures) is (kind == OCTAVE)
    return kind not in OF_TRILLS[2:]


def _drill(
    kind: str,
    rhythm: str,
    lines: Sequence[Sequence[Laid]],
    cell: Cell,
    style: Style,
    figures: PracticeFigures,
) -> Drill | None:
    """The drill in the first way that can be read and has the change; None without one.

    One with tiring notes is mf at most, but for what stands in the part.
    """
    for laid in lines:
        if kind != IN_THE_PART and are_tiring(laid, figures):
            style = replace(style, loudest=min(style.loudest, HIGH_DYNAMIC, key=DYNAMICS.index))
        made = strand(laid, cell.quarters, style)
        if made and (changes := changes_at(cell, made)):
            return Drill(kind, made.passage, made.grips, made.metre, changes, rhythm)
    return None


def _capped(
    drill: Drill, cell: Cell, solver: Solver, tables: PracticeTables, taken: Mapping[int, Grip]
) -> Drill | None:
    """The drill with one grip a pitch and its fastest tempo; None where no hands go through its grips.

    At that tempo no load is above FASTEST_LOAD, the worst change comes no faster than in the part, and no
    two notes to and fro faster than a trill. What stands in the part has its tempo, so has a short trill.
    """
    if drill.kind not in WITH_TWO_GRIPS:
        drill = _one_grip_a_pitch(drill, cell, solver, taken if not cell.trill else NO_GRIPS)
    if highest_load(drill, solver) is None:
        return None
    needed = cell.change.available_ms * max(1.0, cell.load / FASTEST_LOAD)
    quarters = cell.quarters * min(1.0, *(_time_before(drill, to) / needed for to in drill.changes))
    if drill.kind == "pair":
        step = drill.passage.notes[0].length
        quarters = min(quarters, tables.figures.trill_quarters_a_minute * float(step * 16))
    if drill.kind in (IN_THE_PART, *OF_SHORT_TRILLS, *FREE):
        return replace(drill, fastest=max(SLOWEST, round(cell.quarters)))
    whole = quarters > ALL_BUT * cell.quarters
    fastest = max(SLOWEST, round(cell.quarters) if whole else floor(quarters))
    while fastest > SLOWEST and (load := load_at(drill, fastest, cell, solver)) > FASTEST_LOAD:
        fastest = max(SLOWEST, min(fastest - 1, floor(fastest * FASTEST_LOAD / load)))
    return replace(drill, fastest=fastest)


def _time_before(drill: Drill, to: int) -> float:
    """Milliseconds from the note before one to it, at the tempo of the cell."""
    before, after = drill.passage.notes[to - 1 : to + 1]
    return after.onset_ms - before.onset_ms


def load_at(drill: Drill, quarters: float, cell: Cell, solver: Solver) -> float:
    """The highest load of a drill at a tempo; the drill itself is laid out at that of its cell."""
    share = cell.quarters / quarters
    notes = tuple(
        replace(note, onset_ms=note.onset_ms * share, length_ms=note.length_ms * share)
        for note in drill.passage.notes
    )
    return highest_load(replace(drill, passage=replace(drill.passage, notes=notes)), solver) or 0.0


def _fast_enough(drills: Sequence[Drill], cell: Cell) -> Sequence[Drill]:
    """The first of these drills that gets near the tempo of the part, else the last."""
    near = (drill for drill in drills if drill.fastest >= SLOWER_PAIR_SHARE * cell.quarters)
    return [first] if (first := next(near, None)) else drills[-1:]


def grips_taken(drills: Sequence[Drill], cell: Cell) -> dict[int, Grip]:
    """The grip of each pitch (MIDI number) in some drills of a cell, the first one it has.

    Not of those in the part, nor a new grip of the cell: that is for its own notes.
    """
    new = {(each.pitch, each.grip) for each in cell.candidates if is_new(each)}
    found: dict[int, Grip] = {}
    for drill in (each for each in drills if each.kind != IN_THE_PART):
        for note, grip in zip(drill.passage.notes, drill.grips, strict=True):
            if (note.pitch.number, grip) not in new:
                found.setdefault(note.pitch.number, grip)
    return found


def _one_grip_a_pitch(drill: Drill, cell: Cell, solver: Solver, taken: Mapping[int, Grip]) -> Drill:
    """The drill with one grip for each pitch: that of the cell, the one taken before, or its first here.

    Where hands cannot go through it, or only later than before, the route needs the grips it has.
    """
    own = {note.note.pitch.number: fingered(note).grip for note in reversed(cell.notes)}
    chosen = {**taken, **own}
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
