"""Work on the passage beside the drills: other ways day by day, so that five days are a course.

A day has the ways of tables/practice/ways.csv that are longest ago, in the order of the table at first;
each is about the cells of that day in turn, or about the passage, and as long as it takes.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables, Way
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.drill_minutes import in_half_minutes, tries_in_a_row
from gripway.practice.plan.whole_passage import (
    Stretch,
    Working,
    bar_of,
    bars_of,
    goes_on,
    played,
    seconds_of,
    working_at,
)

SECTION_BARS = 2
"""Bars of a section: two are what a player keeps in mind (common practice)."""

LEAST_RUN = 3
"""Changes of a run at least: a beat of sixteenths."""

MOST_HELD = 4
"""Notes of a bar that are held one by one."""

WAYS_A_DAY = 3
"""Ways that a day of twenty minutes usually has."""

SECTIONS, BACKWARD, LEAD = "sections", "backward", "lead"
BY_BARS = (SECTIONS, BACKWARD)
"""Ways that go through the passage in pieces of bars."""


@dataclass(frozen=True, slots=True)
class Spot:
    """What the work of a day is about: a place of the passage (note index) and the tempo of the part there.

    `cell` is its number in the plan (None where nothing is hard), `share` that of its tempo it is at;
    `held` are the first and last note that are played long, `sounds` how many these are.
    """

    cell: int | None
    place: int
    quarters: float
    share: float
    held: tuple[int, int]
    sounds: int


def spot_of(number: int, cell: Cell, share: float) -> Spot:
    """A cell as what a day is about; of a trill the written note is held with its other."""
    ends = (cell.place, cell.place) if cell.trill else (cell.first, cell.first + len(cell.notes) - 1)
    return Spot(number, cell.place, cell.part_quarters, share, ends, len(set(cell.pitches)))


@dataclass(frozen=True, slots=True)
class StudyMaker:
    """Makes the studies of a day, for its notes and its spots, one at least.

    `share` is that of the tempo of the passage, `used` has the day each way was taken last.
    """

    notes: Sequence[Note]
    spots: Sequence[Spot]
    share: float
    day: int
    used: Mapping[str, int]
    tables: PracticeTables

    def more(
        self, most: float, there: Sequence[Stretch], refused: Collection[str] = (), *, fresh: bool = False
    ) -> Stretch | None:
        """One more study in the way longest ago, in so many minutes; None where none is left.

        `there` is what the day has; with `fresh` no way of the day before is taken.
        """
        taken = {*refused, *(study.way for study in there)}
        if fresh:
            taken |= {way for way, day in self.used.items() if day == self.day - 1}
        turn = self.day - 1 + sum(self.tables.ways[study.way].of_cell for study in there)
        spot = self.spots[turn % len(self.spots)]
        long = self._long_notes() if self.day % 2 == 0 else spot
        for way in sorted(self.tables.ways.values(), key=lambda way: self.used.get(way.id, 0)):
            if way.id in taken or way.from_day > self.day:
                continue
            share = (spot.share if way.of_cell else self.share) * way.share
            if study := _study(
                way, spot if way.share else long, share, self.notes, most, self.tables.figures
            ):
                return study
        return None

    def _long_notes(self) -> Spot:
        """The bar with the longest note, and up to `MOST_HELD` of its notes."""
        place = max(range(len(self.notes)), key=lambda number: (self.notes[number].length_ms, -number))
        first, last = bar_of(self.notes, place)
        first = max(first, min(place, last - MOST_HELD + 1))
        last = min(last, first + MOST_HELD - 1)
        sounds = len({note.pitch.number for note in self.notes[first : last + 1]})
        return Spot(None, place, 0.0, 1.0, (first, last), sounds)

    def in_order(self, studies: Sequence[Stretch]) -> tuple[Stretch, ...]:
        """The studies as they are played: in the order of the table, music last."""
        places = [*self.tables.ways]
        return tuple(sorted(studies, key=lambda study: places.index(study.way)))


def used_before(day: int, tables: PracticeTables) -> dict[str, int]:
    """The day each way was taken last before a day, as a plan usually has them: a log has only the tempos."""
    used: dict[str, int] = {}
    for number in range(1, day):
        there = [way.id for way in tables.ways.values() if way.from_day <= number]
        used |= dict.fromkeys(sorted(there, key=lambda way: used.get(way, 0))[:WAYS_A_DAY], number)
    return used


def _study(
    way: Way,
    spot: Spot,
    share: float,
    notes: Sequence[Note],
    most: float,
    figures: PracticeFigures,
) -> Stretch | None:
    """One study as long as there is time for; None where the music is not for it, or it takes too long."""
    if share > 1 or (way.fast and not _runs(notes, spot, figures)):
        return None
    if way.share:
        working = (
            _of_cell(way, spot, notes, share, figures)
            if way.of_cell
            else _of_passage(way, spot, notes, share, most, figures)
        )
    else:
        working = Working(*spot.held, 0.0, 0, spot.sounds * figures.study_hold_s)
    if working is None:
        return None
    minutes = max(figures.item_least_min, in_half_minutes(_seconds(way, working, notes, figures)))
    if minutes > most:
        return None
    made = played(working, way.times, notes)
    return replace(made, minutes=minutes, way=way.id, cell=spot.cell if way.of_cell else None)


def _of_passage(
    way: Way, spot: Spot, notes: Sequence[Note], share: float, most: float, figures: PracticeFigures
) -> Working | None:
    """The passage, or the bars around a cell that the way goes through in so many minutes."""
    size = most
    while working := working_at(notes, spot.place, share, spot.quarters, size, figures):
        if way.id in BY_BARS and len(bars_of(notes, working.first, working.last)) <= SECTION_BARS:
            return None
        if in_half_minutes(_seconds(way, working, notes, figures)) <= most:
            return working
        size *= 0.7
    return None


def _of_cell(
    way: Way, spot: Spot, notes: Sequence[Note], share: float, figures: PracticeFigures
) -> Working | None:
    """The bar of a cell with those before it and the next note; None where none is before it."""
    first, last = bar_of(notes, spot.place)
    if last < len(notes) - 1 and goes_on(notes, last, last + 1):
        last += 1
    for _ in range(way.bars):
        if first and goes_on(notes, first - 1, first):
            first = bar_of(notes, first - 1)[0]
    if way.id == LEAD and bar_of(notes, first) == bar_of(notes, spot.place):
        return None
    once = seconds_of(notes, first, last, share, figures)
    return Working(first, last, share, round(spot.quarters * share), once)


def _seconds(way: Way, working: Working, notes: Sequence[Note], figures: PracticeFigures) -> float:
    """What a study takes, tries that fail counted in where it is to be clean so often in a row."""
    once, breath = working.once_s, figures.breath_s
    bars = len(bars_of(notes, working.first, working.last))
    tries = tries_in_a_row(way.times, figures.errors_slow_share)
    if way.id == BACKWARD:  # one bar, two bars, three ...
        return (once - breath) * (bars + 1) / 2 + breath * bars
    if way.id == SECTIONS:  # each so often, then twice as long ones once
        return (once - breath + -(-bars // SECTION_BARS) * breath) * (tries + 1)
    return once * (tries if way.of_cell and way.share else way.times)


def _runs(notes: Sequence[Note], spot: Spot, figures: PracticeFigures) -> bool:
    """Whether the notes in the bar of a cell follow each other fast."""
    first, last = bar_of(notes, spot.place)
    gaps = [after.onset_ms - note.onset_ms for note, after in pairwise(notes[first : last + 1])]
    return len(gaps) >= LEAST_RUN and median(gaps) <= figures.study_fast_ms
