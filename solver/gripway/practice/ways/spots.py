"""What the work of a day is about: a cell, bars with hard changes."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.ways.phrase_ends import BREAK_MS, to_arrival
from gripway.practice.ways.way_conditions import LEAST_RUN
from gripway.practice.ways.whole_passage import bar_of, bar_of_change, rest_after

MOST_BESIDE = 3
"""So many hard bars side by side are worked on as one at most (judgement)."""


@dataclass(frozen=True, slots=True)
class Spot:
    """What the work of a day is about: a place of the passage (note index) and the tempo of the part there.

    `cell` is its number in the plan (None where nothing is hard); `ends` are its first and last note;
    `places` have the change too.
    """

    cell: int | None
    place: int
    quarters: float
    ends: tuple[int, int]
    places: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class HardPlace:
    """Bars with hard changes that have no drills: first and last note, tempo, the changes' titles.

    `nearly`: these are the next hardest ones, which come again only where time is left. `ladder`: the bars
    climb this one, as they are hard in grace notes only, and the passage without these goes on. `leads`: so
    many hard changes stand here that this run is the hard place of the passage.
    """

    first: int
    last: int
    quarters: float
    titles: tuple[str, ...]
    nearly: bool = False
    ladder: Ladder | None = None
    leads: bool = False

    @property
    def holds_back(self) -> bool:
        """Whether the passage goes no faster than its bars have been worked at."""
        return self.ladder is None


def hard_places(
    cells: Sequence[Cell], notes: Sequence[Note], figures: PracticeFigures, *, nearly: bool = False
) -> tuple[HardPlace, ...]:
    """The bars of cells, each once, in the order of their hardest."""
    found: dict[int, HardPlace] = {}
    for cell in cells:
        first, end = bar_of_change(notes, cell.place, figures)
        last = to_arrival(notes, end)
        known = found.get(first, HardPlace(first, last, cell.part_quarters, (), nearly))
        found[first] = replace(known, last=max(last, known.last), titles=(*known.titles, cell.title))
    return tuple(found.values())


def with_the_run(
    places: Sequence[HardPlace], cells: Sequence[Cell], notes: Sequence[Note], figures: PracticeFigures
) -> tuple[HardPlace, ...]:
    """The places, that with most hard changes first where it has `run_changes`: it leads.

    Of several the one whose changes are the hardest together.
    """

    def effort(place: HardPlace) -> float:
        inside = (cell for cell in cells if bar_of_change(notes, cell.place, figures)[0] == place.first)
        return sum(cell.hardness(figures) for cell in inside)

    runs = [place for place in places if len(place.titles) >= figures.run_changes]
    if not runs:
        return tuple(places)
    run = max(runs, key=effort)
    return (replace(run, leads=True), *(place for place in places if place is not run))


def side_by_side(places: Sequence[HardPlace], drilled: Collection[int] = ()) -> tuple[HardPlace, ...]:
    """The places, those whose bars follow one another as one in the place of the hardest; no run that leads.

    No more than `MOST_BESIDE` are one, and none in whose bar a cell is `drilled` (note index): days that have
    that go without it.
    """

    def is_free(place: HardPlace) -> bool:
        return not (place.leads or any(place.first <= at < place.last for at in drilled))

    found: list[list[HardPlace]] = []
    for place in places:
        near = (
            own
            for own in found
            if len(own) < MOST_BESIDE
            and all(map(is_free, (place, *own)))
            and any(_follow(each, place) for each in own)
        )
        if own := next(near, None):
            own.append(place)
        else:
            found.append([place])
    return tuple(
        replace(
            own[0],
            first=min(each.first for each in own),
            last=max(each.last for each in own),
            titles=tuple(title for each in own for title in each.titles),
        )
        for own in found
    )


def from_their_runs(
    places: Sequence[HardPlace], drilled: Collection[int], notes: Sequence[Note], figures: PracticeFigures
) -> tuple[HardPlace, ...]:
    """The places, from where the run begins that goes on into their bars, where these have no other work.

    That is of other hard bars, and on changes that are `drilled` (note index).
    """

    def is_free(place: HardPlace, begin: int) -> bool:
        others = any(each.first < place.first and begin <= each.last for each in places)
        return not (others or any(begin <= at < place.last for at in drilled))

    begins = [_run_begins(notes, place.first, figures) for place in places]
    return tuple(
        replace(place, first=begin) if begin < place.first and is_free(place, begin) else place
        for place, begin in zip(places, begins, strict=True)
    )


def _run_begins(notes: Sequence[Note], first: int, figures: PracticeFigures) -> int:
    """The first of the notes before a bar that run on into it, alike, within a bar; else `first`.

    Where the passage begins nobody knows whether a run does.
    """
    if not first or first + 1 >= len(notes) or notes[first].grace:
        return first
    length, earliest, begin = notes[first].length, bar_of(notes, first - 1)[0], first
    while begin and _runs_on(notes, begin - 1, length, figures):
        begin -= 1
    within = begin and earliest <= begin <= first - LEAST_RUN
    return begin if within and not notes[begin].slurred else first


def _runs_on(notes: Sequence[Note], at: int, length: Fraction, figures: PracticeFigures) -> bool:
    """Whether a note goes on quickly, without a rest, to one of the same length."""
    here, after = notes[at], notes[at + 1]
    alike = here.length == length == after.length and not (here.grace or after.grace)
    quick = after.onset_ms - here.onset_ms <= figures.study_fast_ms and rest_after(notes, at) <= BREAK_MS
    return alike and quick


def _follow(one: HardPlace, other: HardPlace) -> bool:
    """Whether the bars of one end on the first note of the other's."""
    before, after = sorted((one, other), key=lambda place: place.first)
    return before.first < after.first <= before.last


def spot_of(number: int, cell: Cell) -> Spot:
    """A cell as what a day is about; of a trill the written note."""
    ends = (cell.place, cell.place) if cell.trill else (cell.first, cell.first + len(cell.notes) - 1)
    places = (
        () if cell.trill else tuple(each.index + (cell.worst if each.whole else 1) for each in cell.places)
    )
    return Spot(number, cell.place, cell.part_quarters, ends, places)
