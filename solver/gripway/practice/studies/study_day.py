"""A day's work on the passage beside the drills: what is known of the day, and how long its work lasts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeTables, Way
from gripway.model.passage import Note
from gripway.practice.drills.drill_minutes import in_half_minutes
from gripway.practice.plan.course import SWELLS, Course
from gripway.practice.schedule.schedule_rules import LAST_FROM_DAYS
from gripway.practice.sections.day_sections import Wanted
from gripway.practice.studies.spared_lips import is_spared
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.day_opening import DayOpening
from gripway.practice.ways.drone import Drone
from gripway.practice.ways.fitting_bars import CONTRASTS
from gripway.practice.ways.leaps import LEAPS
from gripway.practice.ways.long_notes import Held, openings
from gripway.practice.ways.phrase_ends import from_upbeat
from gripway.practice.ways.questions import NO_QUESTIONS, PHRASE, Questions
from gripway.practice.ways.spots import HardPlace, Spot
from gripway.practice.ways.study_lengths import StudyLengths
from gripway.practice.ways.whole_passage import (
    Stretch,
    Working,
    is_long,
    seconds_of,
)

SPARED_TIMES = 2
"""What is played so many times in a row or more tires the lips."""

AS_WRITTEN = (SWELLS, PHRASE, LEAPS)
"""Ways that are about the sound of high notes, or how to get there."""


@dataclass(frozen=True, slots=True)
class Found:
    """What is the same on all days of a plan and found once: the bars that a way is for, by its id.

    And what wants sections, by the notes that hard changes lead to and what the passage is played around;
    the phrases, and what days open with.
    """

    fitting: dict[str, Sequence[Ends]] = field(default_factory=dict)
    wanted: dict[tuple[frozenset[int], Around | None], Wanted] = field(default_factory=dict)
    phrases: list[tuple[int, ...]] = field(default_factory=list)
    openings: list[tuple[bool, Held]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class StudyDay:
    """What a day has for its studies: its notes and its spots, one at least.

    `share` is that of the tempo of the passage, `course` what there was on the days before; `places` are the
    hard changes without drills, new ones not on the last of several days; `minutes` are those of the day,
    `left` the days with it; `before` is the passage of the day before; `drone` is the
    note that may lie under the passage, and where; `questions` are what its music asks for; `touch` is a cell
    with a new grip that the day does not drill. The passage is played `around` few hard bars at a higher
    tempo, and so is work on the others. `is_kept`: its drills are of what was at its goal before. `left_out`
    are these bars, `rebuilt` those of hard changes that a drill of the day puts together again. `found`
    is what all days share. `ready` says of notes that cells lead to, by their ids, how far these are, as a
    share, 0 before they are begun.
    """

    notes: Sequence[Note]
    spots: Sequence[Spot]
    share: float
    day: int
    course: Course
    tables: PracticeTables
    minutes: float
    places: Sequence[HardPlace] = ()
    left: int = 1
    drone: Drone | None = None
    before: Stretch | None = None
    questions: Questions = NO_QUESTIONS
    touch: Spot | None = None
    around: Around | None = None
    is_kept: bool = False
    left_out: Sequence[HardPlace] = ()
    rebuilt: Mapping[Ends, float] = field(default_factory=dict)
    found: Found = field(default_factory=Found)
    ready: Mapping[str, float] = field(default_factory=dict)

    @property
    def is_long(self) -> bool:
        """Whether the passage takes much of a day once at its tempo."""
        return is_long(self.notes, self.minutes, self.tables.figures)

    @property
    def _closes(self) -> bool:
        """Whether the day is the last of several: it has the passage."""
        return self.left == 1 and self.day >= LAST_FROM_DAYS

    @property
    def is_idle(self) -> bool:
        """Whether nothing climbs any more: all is at its tempo since the day before."""
        ready = self.share >= 1 and bool(self.before and self.before.share >= 1)
        places = (place.first for place in self.places if not place.nearly)
        return ready and self.is_kept and all(self.course.sure.get(first, 0) for first in places)

    def _share_of(self, first: int, last: int) -> float:
        """The share of their tempo that some notes have in the passage of the day."""
        free = self.around and not self.around.leaves_out(first, last)
        return self.around.share if self.around and free else self.share

    def _before(self, first: int, last: int) -> float | None:
        """What they had on the day before; None on the first."""
        return min(1.0, self.before.share_of(first, last)) if self.before else None

    @property
    def _drilled(self) -> set[int]:
        """The notes that the changes of the day's cells lead to."""
        spots = (spot for spot in self.spots if spot.cell is not None)
        return {place for spot in spots for place in (spot.place, *spot.places)}

    @property
    def _lengths(self) -> StudyLengths:
        return StudyLengths(self.notes, self.minutes, self.tables.figures)

    @property
    def _drilled_pitches(self) -> frozenset[int]:
        """The numbers of the pitches that the drills of the day are about."""
        spots = (spot.ends for spot in self.spots if spot.cell is not None)
        return frozenset(
            self.notes[at].pitch.number for first, last in spots for at in range(first, last + 1)
        )

    @property
    def _opens(self) -> DayOpening:
        """The notes that are held one by one."""
        found = self.found.openings
        if not found:
            found += openings(self.notes, self.questions.entering, self.tables.figures)
        more = self.left, self._drilled_pitches, self._drilled_lower
        return DayOpening(self.notes, found, self.day, self.course, self.tables, self._lengths, *more)

    @property
    def _drilled_lower(self) -> frozenset[int]:
        """The numbers of the pitches that the drills of the day begin with an octave lower."""
        edge = self.tables.figures.high_change_note_number
        places = (spot.place for spot in self.spots if spot.cell is not None and spot.place)
        pairs = ([note.pitch.number for note in self.notes[at - 1 : at + 1]] for at in places)
        return frozenset(number for pair in pairs if min(pair) >= edge for number in pair)

    def _lasting(self, way: Way, working: Working, most: float) -> Stretch | None:
        """A study in its minutes, from where its bars were the day before.

        On the last day, and where the dynamic changes, what tires the lips is as written, half as often.
        """
        study = self._lengths.lasting(way, working, most, self._before(working.first, working.last))
        as_written = self._closes or way.id == CONTRASTS
        if study and as_written and study.tempos == 1 and self._spares(study):
            times = ceil(study.times / 2)
            minutes = in_half_minutes(self._lengths.seconds(way, working, times))
            return replace(study, times=times, minutes=max(self.tables.figures.item_least_min, minutes))
        return self._spared(study)

    def _spared(self, study: Stretch | None) -> Stretch | None:
        """A study, its loud high bars an octave lower where they tire the lips; not on the last day."""
        return replace(study, lower=not self._closes and self._spares(study)) if study else None

    def _spares(self, study: Stretch) -> bool:
        """Whether a study is played so often that it tires the lips.

        A line is about its sound, what grows or leaps goes to these notes: they are as written.
        """
        often = study.times >= SPARED_TIMES and study.way not in AS_WRITTEN
        return often and is_spared(self.notes, study.first, study.last, self.tables.figures)

    def _working(self, first: int, last: int, quarters: float, part: float = 1.0) -> Working:
        """Some notes, from their upbeat on, at a part of the tempo that they have in the passage today."""
        first = from_upbeat(self.notes, first)
        return self._working_at(first, last, quarters, self._share_of(first, last) * part)

    def _working_at(self, first: int, last: int, quarters: float, share: float) -> Working:
        once = seconds_of(self.notes, first, last, share, self.tables.figures)
        return Working(first, last, share, round(quarters * share), once)

    def in_order(self, studies: Sequence[Stretch]) -> tuple[Stretch, ...]:
        """The studies as they are played: in the order of the table, music last."""
        places = [*self.tables.ways]
        return tuple(sorted(studies, key=lambda study: (places.index(study.way), study.first)))
