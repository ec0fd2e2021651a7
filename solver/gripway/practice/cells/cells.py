"""Cells: the few notes around each hard change, met once however often the part has them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.display import brief
from gripway.effort.candidate import Candidate
from gripway.effort.setting import is_fingered_tremolo
from gripway.model.passage import Note, quarters_of, rest_between
from gripway.model.tempo import Metre
from gripway.practice.cells.hardness import hardness, is_alone
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.score.notation_values import DEFAULT_TEMPO

TEMPO_NOTES = 9
"""Notes around a change that its tempo is taken from."""

Sound = tuple[int, str]
"""A note as the fingers know it: its pitch number and its grip in the tables (free fingers apart)."""


@dataclass(frozen=True, slots=True)
class CellPlace:
    """Where a cell stands: bar as printed, and the index of its first note in played order.

    Where only the worst change of the cell stands, `whole` is false and `index` is the note
    that change begins at. With `other_grips` the two notes are there, fingered otherwise.
    """

    bar: str
    index: int
    whole: bool = True
    other_grips: bool = False


@dataclass(frozen=True, slots=True)
class Trill:
    """A trill or tremolo (`kind`) on one written note: its index, the tempo of the part there, the note.

    The note is None for a trill that is in no part. One that is short has so many notes (`figure`, an odd
    number) as there is time for, and is drilled as a figure of the part; 0: it goes on, at its own speed.
    """

    kind: str
    index: int
    quarters: float
    note: Note | None = None
    figure: int = 0


@dataclass(frozen=True, slots=True)
class Cell:
    """Two to five neighbouring notes around a hard change.

    `notes` are the route's, where the change is hardest; `worst` is the place in the cell of
    the note that change leads to, `change` the change itself with its `load`. `places` are all
    places of the part that have the cell, or at least the worst change, with the same grips (a
    finger that may stay down makes no difference); `back` those that have it backwards.
    `quarters` is the tempo there, `alone` whether the hands wait before and after. A cell of a
    `trill` has its two notes as sixteenths, and `quarters` is the tempo at which these are the trill; of a
    short one it is that of the part.
    """

    notes: tuple[RouteNote, ...]
    worst: int
    change: RouteChange
    places: tuple[CellPlace, ...]
    quarters: float
    back: tuple[CellPlace, ...] = ()
    trill: Trill | None = None
    alone: bool = False

    @property
    def load(self) -> float:
        """The load of the worst change, at the tempo of the part."""
        return self.change.load

    def hardness(self, figures: PracticeFigures) -> float:
        """That of the worst change."""
        before, after = self.candidates[self.worst - 1 : self.worst + 1]
        return hardness(self.change, before, after, figures, alone=self.alone)

    @property
    def first(self) -> int:
        """Index of the first note, where the cell is hardest."""
        return self.notes[0].index

    @property
    def pitches(self) -> tuple[str, ...]:
        """The notes' names as written."""
        return tuple(note.note.pitch.name for note in self.notes)

    @property
    def place(self) -> int:
        """Index of the note of the passage that the worst change leads to, or that has the trill."""
        return self.trill.index if self.trill else self.first + self.worst

    @property
    def written(self) -> Note | None:
        """The note of the part that the worst change leads to, or that has the trill."""
        return self.trill.note if self.trill else self.notes[self.worst].note

    @property
    def part_quarters(self) -> float:
        """The tempo of the part there."""
        return self.trill.quarters if self.trill else self.quarters

    @property
    def goal_quarters(self) -> float:
        """The tempo its ladder ends at: that of the part; for a trill no faster than its fingers go."""
        return self.quarters / max(1.0, self.load) if self.has_own_tempo else self.quarters

    @property
    def has_own_tempo(self) -> bool:
        """Whether it is a trill that goes on at a speed of its own, whatever the tempo of the part."""
        return self.trill is not None and not self.trill.figure

    @property
    def metre(self) -> Metre | None:
        """The metre of the part there, in whose beats its tempos are told; None (quarters) for a trill."""
        written = self.written
        return None if self.has_own_tempo or written is None else written.metre

    @property
    def title(self) -> str:
        """Its notes, and whether they are a trill: `F6 G6 trill`."""
        return " ".join((*self.pitches, *((self.trill.kind,) if self.trill else ())))

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """The grips with all that is known of them."""
        return tuple(fingered(note) for note in self.notes)

    @property
    def key(self) -> str:
        """What names the cell in a player's log: its notes and grips, whatever the tempo."""
        named = [f"{pitch}: {c.grip}" for pitch, c in zip(self.pitches, self.candidates, strict=True)]
        return "; ".join((*named, *((self.trill.kind,) if self.trill else ())))

    def __repr__(self) -> str:
        return brief(self, " ".join(self.pitches), f"load {self.load:.2f}")


def find_cells(route: Route, figures: PracticeFigures) -> tuple[Cell, ...]:
    """The cells of a route, hardest first; none where every change has time to spare.

    The hardest change not yet in a cell begins one; neighbours join it while they are nearly as
    hard, their note is new to the cell, and at least half of the places have them. A cell that meets another
    one in at least half of its places is one with it, as long as that has no more than `cell_notes` notes.
    """
    search = _CellSearch(route, figures)
    cells: list[Cell] = []
    for change in sorted(route.changes, key=lambda change: (-search.hardness[change.to], change.to)):
        if search.hardness[change.to] < 1:
            break
        if change.movers and not search.is_covered(change.to):
            _add(cells, search.cell(change), search)
    return tuple(cells)


def _add(cells: list[Cell], found: Cell, search: "_CellSearch") -> None:
    """Add a cell; one that meets another joins it.

    One that is in another backwards only adds its places there; so does one whose worst change is in another
    with other grips: no change is drilled in two ways.
    """
    back = tuple(reversed(_sounds(found.notes)))
    for place, known in enumerate(cells):
        if not is_tremolo(found) and _is_in(_worst_pitches(found), _pitches(known.notes)):
            there = [CellPlace(each.bar, each.index, whole=False, other_grips=True) for each in found.places]
            cells[place] = replace(known, places=_as_played((*known.places, *there)))
            return
    for place, known in enumerate(cells):
        if _is_in(back, _sounds(known.notes)):
            cells[place] = replace(known, back=_as_played((*known.back, *found.places)))
            return
    for place, known in enumerate(cells):
        if both := search.joined(known, found):
            cells[place] = both
            return
    cells.append(found)


def _as_played(places: Iterable[CellPlace]) -> tuple[CellPlace, ...]:
    """Places in the order of the music."""
    return tuple(sorted(places, key=lambda place: place.index))


def _worst_pitches(cell: Cell) -> tuple[int, ...]:
    """The pitches of the two notes of its worst change."""
    return _pitches(cell.notes[cell.worst - 1 : cell.worst + 1])


def _pitches(notes: Iterable[RouteNote]) -> tuple[int, ...]:
    return tuple(note.note.pitch.number for note in notes)


def _is_in(run: Sequence[object], notes: Sequence[object]) -> bool:
    """Whether some notes follow each other so among others."""
    return any(tuple(notes[first : first + len(run)]) == tuple(run) for first in range(len(notes)))


class _CellSearch:
    """The changes of a route by what the fingers do, and which of them are in a cell already."""

    def __init__(self, route: Route, figures: PracticeFigures) -> None:
        self.route = route
        self.figures = figures
        self.changes = {change.to: change for change in route.changes}
        self.hardness = {change.to: self._hardness(change) for change in route.changes}
        self.covered: set[tuple[Sound, Sound]] = set()
        self.alike: dict[tuple[Sound, Sound], list[int]] = defaultdict(list)
        for to in self.changes:
            self.alike[self._work(to)].append(to)

    def is_covered(self, to: int) -> bool:
        """Whether the change into this note is practised in a cell already."""
        return self._work(to) in self.covered

    def cell(self, change: RouteChange) -> Cell:
        """The cell around a change, and all its places; its changes count as covered from now on."""
        start, end = self._stretch(change)
        self.covered.update(self._work(to) for to in range(start + 1, end + 1))
        return self._cell_at(change.to, start, end, tuple(self._places(change.to, start, end)))

    def _cell_at(self, worst: int, start: int, end: int, places: tuple[CellPlace, ...]) -> Cell:
        """The cell from one note to another, its worst change the one into a note."""
        return Cell(
            notes=self.route.notes[start : end + 1],
            worst=worst - start,
            change=self.changes[worst],
            places=places,
            quarters=quarters_near(self.route.notes, worst),
            alone=is_alone(self.route.notes, worst, self.figures),
        )

    def joined(self, known: Cell, found: Cell) -> Cell | None:
        """Two cells as one where they meet in at least half of the places of each; None elsewhere.

        Of two that are hardest in the same grace notes in half of those of the second. It stands where the
        first of them is hardest, or where it is nearly as hard with the second.
        """
        if is_tremolo(known) or is_tremolo(found):
            return None
        one_ornament = self._graces(known.place) & self._graces(found.place)
        least = len(found.places) if one_ornament else max(len(found.places), len(known.places))
        for first, other in product(self._hardest_of(known), found.places):
            start = min(first, other.index)
            end = max(first + len(known.notes), other.index + len(found.notes)) - 1
            changes = range(start + 1, end + 1)
            longest = len(known.notes) + len(found.notes) - 2  # they have a note in common
            if not other.whole or end - start > min(longest, self.figures.cell_notes - 1):
                continue
            if any(to not in self.changes for to in changes):
                continue
            worst = first + known.worst
            places = [*self._places(worst, start, end)]
            if 2 * sum(place.whole for place in places) >= least:
                return self._cell_at(worst, start, end, tuple(places))
        return None

    def _hardest_of(self, cell: Cell) -> list[int]:
        """The first notes of the places of a cell where it is hardest, or nearly as hard."""
        least = self.figures.longer_share * self.hardness[cell.place]
        others = [place for place in cell.places if place.whole and not place.other_grips]
        near = [at.index for at in others if self.hardness.get(at.index + cell.worst, 0.0) >= least]
        return [cell.first, *(first for first in near if first != cell.first)]

    def _graces(self, to: int) -> frozenset[int]:
        """The grace notes (by index) that the change to a note is one of; none for a plain change."""
        notes = self.route.notes
        found = {at for at in (to - 1, to) if notes[at].note.grace}
        for step in (-1, 1):
            at = to - (step < 0)
            while found and 0 <= at < len(notes) and notes[at].note.grace:
                found.add(at)
                at += step
        return frozenset(found)

    def _stretch(self, change: RouteChange) -> tuple[int, int]:
        """First and last note of the cell around a change."""
        start, end = change.to - 1, change.to
        while end - start + 1 < self.figures.cell_notes:
            sides = [
                (self.hardness[to], to, note)
                for to, note in ((start, start - 1), (end + 1, end + 1))
                if to in self.changes and self._joins(change, self.changes[to], note, start, end)
            ]
            if not sides:
                break
            _, _, note = max(sides, key=lambda side: (side[0], -side[1]))
            start, end = min(start, note), max(end, note)
        return start, end

    def _joins(self, worst: RouteChange, side: RouteChange, note: int, start: int, end: int) -> bool:
        """Whether the note beyond one end of the cell belongs to it."""
        known = {self.route.notes[k].note.pitch.number for k in range(start, end + 1)}
        longer = end - start + 1 >= self.figures.cell_usual_notes
        share = self.figures.longer_share if longer else self.figures.beside_share
        if self.hardness[side.to] < share * self.hardness[worst.to] or self.is_covered(side.to):
            return False
        if self.route.notes[note].note.pitch.number in known:
            return False
        alike = self.alike[self._work(worst.to)]
        same = sum(self._same_at(to + note - worst.to, note) for to in alike)
        return 2 * same >= len(alike)

    def _same_at(self, place: int, note: int) -> bool:
        """Whether two places of the part have the same note with the same grip."""
        notes = self.route.notes
        return 0 <= place < len(notes) and sound_of(notes[place]) == sound_of(notes[note])

    def _places(self, worst: int, start: int, end: int) -> Iterator[CellPlace]:
        """Every written place of the worst change, whole where the whole cell is there.

        None where a rest parts its notes, so that it is not hard there.
        """
        met: set[str] = set()
        for to in self.alike[self._work(worst)]:
            note = self.route.notes[to].note
            if self._rest(to) > self._rest(worst) and self.hardness[to] < 1:
                continue
            if note.id in met:
                continue  # a repeat plays the same written notes again
            met.add(note.id)
            whole = all(self._same_at(to + k - worst, k) for k in range(start, end + 1))
            index = to - (worst - start) if whole else to - 1
            yield CellPlace(self.route.notes[index].note.bar, index, whole)

    def _rest(self, to: int) -> Fraction:
        """The rest between a note and the one before it, in whole notes."""
        before, after = (each.note for each in self.route.notes[to - 1 : to + 1])
        return max(Fraction(0), rest_between(before, after))

    def _hardness(self, change: RouteChange) -> float:
        before, after = self.route.notes[change.to - 1], self.route.notes[change.to]
        alone = is_alone(self.route.notes, change.to, self.figures)
        return hardness(change, fingered(before), fingered(after), self.figures, alone=alone)

    def _work(self, to: int) -> tuple[Sound, Sound]:
        return sound_of(self.route.notes[to - 1]), sound_of(self.route.notes[to])


def quarters_near(notes: Sequence[RouteNote], to: int) -> float:
    """The tempo around a note: the middle one of the notes near it.

    Graces and notes before them, which are played shorter than written, say nothing of it where there are
    others.
    """
    graced = {note.index - place for note in notes if note.note.grace for place in (0, 1)}
    plain = [note for note in notes if note.index not in graced] or list(notes)
    near = sorted(plain, key=lambda note: (abs(note.index - to), note.index))[:TEMPO_NOTES]
    tempos = sorted(tempo for note in near if (tempo := quarters_of(note.note)))
    return tempos[(len(tempos) - 1) // 2] if tempos else DEFAULT_TEMPO


def fingered(note: RouteNote) -> Candidate:
    """The grip of a note that has one; every note of a cell does."""
    if note.candidate is None:
        raise ValueError(f"note {note.index} has no grip")
    return note.candidate


def is_tremolo(cell: Cell) -> bool:
    """Whether the worst change of a cell is that of a tremolo between two written notes."""
    return is_fingered_tremolo([note.note for note in cell.notes], cell.worst)


def sound_of(note: RouteNote) -> Sound:
    """A note as the fingers know it."""
    return note.note.pitch.number, note.candidate.row_grip.text if note.candidate else ""


def _sounds(notes: Iterable[RouteNote]) -> tuple[Sound, ...]:
    return tuple(map(sound_of, notes))
