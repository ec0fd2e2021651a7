"""What a day opens with: notes one by one, other ones on each day, what is feared first."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeTables, Way
from gripway.model.passage import Note
from gripway.practice.plan.course import HIGH, LONG, SOFT, STARTS, TONE, Course
from gripway.practice.ways.long_notes import Held, openings
from gripway.practice.ways.spots import Spot
from gripway.practice.ways.study_lengths import StudyLengths
from gripway.practice.ways.way_conditions import is_expressive, is_quiet
from gripway.practice.ways.whole_passage import Stretch, Working

MOST_ROUNDS = 2
"""So often the same long notes come, beginnings once (judgement)."""


@dataclass(frozen=True, slots=True)
class DayOpening:
    """Notes that are held one by one on a `day` after a `course`; `entering` are those that enter.

    `drilled` are the pitches that the drills of the day are about.
    """

    notes: Sequence[Note]
    entering: Sequence[int]
    day: int
    course: Course
    tables: PracticeTables
    lengths: StudyLengths
    drilled: frozenset[int] = frozenset()

    def of_spot(self, spot: Spot, most: float) -> Stretch | None:
        """The notes of a cell whose grip is new."""
        held = Held(spot.place, tuple(range(spot.ends[0], spot.ends[1] + 1)))
        study = self._long_notes(self.tables.ways[TONE], held, most)
        return replace(study, cell=spot.cell) if study else None

    def held(self, most: float, *, again: bool = False) -> Stretch | None:
        """Notes one by one: high ones, long ones, those that enter; what was longest ago.

        None two days running, nor once all were, but `again` on a day that has nothing else.
        """
        found = openings(self.notes, self.entering, self.tables.figures)
        known = self.course.held >= len(found) and not self.course.done  # a log tells no more
        if not found or (known and not again):
            return None
        turn = 0 if self.course.done else self.course.held % len(found)
        for begins, held in sorted((*found[turn:], *found[:turn]), key=self._times):
            way = STARTS if begins else TONE
            yesterday = self.course.used.get(TONE) == self.day - 1 and not again
            if yesterday and self.course.was_held(way, held.places[0], held.places[-1]):
                continue
            if self._times((begins, held)) >= (1 if begins else MOST_ROUNDS) and not again:
                continue
            study = self._long_notes(self.tables.ways[way], held, most)
            if study and (begins or not self._is_drilled(held)):
                return study
        return None

    def _times(self, opening: tuple[bool, Held]) -> int:
        """How often notes were held."""
        begins, held = opening
        ends = held.places[0], held.places[-1]
        return sum(
            known in LONG and (known == STARTS) is begins and tuple(there) == ends
            for known, *there in self.course.done
        )

    def _is_drilled(self, held: Held) -> bool:
        """Whether the drills of the day are about the high note these are about."""
        number = self.notes[held.place].pitch.number
        return number >= self.tables.figures.study_high_note_number and number in self.drilled

    def _long_notes(self, way: Way, held: Held, most: float) -> Stretch | None:
        """Notes one by one: the high ones an octave lower first where the note it is about is one.

        Else the others; all of them where the line is soft or sings.
        """
        figures = self.tables.figures
        named = [self.notes[place] for place in held.places]
        edge = figures.study_high_note_number
        high = [note for note in named if note.pitch.number >= edge]
        short = self.notes[held.place].length_ms < figures.study_long_ms
        if way.id != STARTS and (short or not is_expressive(high)):
            about_high = self.notes[held.place].pitch.number >= edge
            named = [note for note in named if (note.pitch.number >= edge) is about_high]
            way = self.tables.ways[HIGH] if about_high else way
        if way.id == TONE and is_quiet(named):
            way = self.tables.ways[SOFT]
        sounds = len({note.pitch.number for note in named})
        first, last = held.places[0], held.places[-1]
        study = self.lengths.lasting(way, Working(first, last, 0.0, 0, sounds * figures.study_hold_s), most)
        names = dict.fromkeys(note.pitch.name for note in named)
        return replace(study, about=f"({' '.join(names)})") if study else None
