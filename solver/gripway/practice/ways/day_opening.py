"""What a day opens with: notes one by one, other ones on each day, what is feared first."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeTables, Way
from gripway.model.passage import Note
from gripway.practice.plan.course import HIGH, LONG, SOFT, STARTS, TONE, Course
from gripway.practice.ways.long_notes import Held, held_softly
from gripway.practice.ways.spots import Spot
from gripway.practice.ways.study_lengths import StudyLengths
from gripway.practice.ways.way_conditions import QUIET, is_sung
from gripway.practice.ways.whole_passage import Stretch, Working

SHORT_DAY_MIN, MOST_SHORT = 20, 2
"""On a shorter day no more notes than so many are held (judgement)."""


@dataclass(frozen=True, slots=True)
class DayOpening:
    """Notes that are held one by one on a `day` after a `course`: of the `openings` what had no day.

    `left` are the days with it. Its drills are about the pitches that are `drilled` (numbers), and begin with
    some an octave `lower`: these are held on another day, and nothing that is drilled a second time.
    """

    notes: Sequence[Note]
    openings: Sequence[tuple[bool, Held]]
    day: int
    course: Course
    tables: PracticeTables
    lengths: StudyLengths
    left: int
    drilled: frozenset[int] = frozenset()
    lower: frozenset[int] = frozenset()

    def of_spot(self, spot: Spot, most: float) -> Stretch | None:
        """The notes of a cell whose grip is new."""
        held = Held(spot.place, tuple(range(spot.ends[0], spot.ends[1] + 1)))
        study = self._long_notes(self.tables.ways[TONE], held, most)
        return replace(study, cell=spot.cell) if study else None

    def held(self, most: float) -> Stretch | None:
        """Notes one by one that no day had: risky to begin, long, high; None once all were.

        The highest that come again do so on the last day at the latest. On the piccolo what is not high does.
        """
        found = [(begins, self._of_the_day(held)) for begins, held in self.openings]
        times = [found[: place + 1].count(each) for place, each in enumerate(found)]
        had = [self._times_held(*each) >= often for each, often in zip(found, times, strict=True)]
        logged = self.course.held - sum(had)  # a log tells only how often
        closing = sorted(enumerate(found), key=lambda each: self.left == 1 and times[each[0]] == 1)
        for place, (begins, held) in closing:
            if place < logged or had[place] or self._waits(begins, held, again=times[place] > 1):
                continue
            if study := self._long_notes(self.tables.ways[STARTS if begins else TONE], held, most):
                return study
        return self._again([each for each, had_it in zip(found, had, strict=True) if had_it], most)

    def _of_the_day(self, held: Held) -> Held:
        """Some notes; on a short day, if none is high, the one they are for and the nearest beside it."""
        edge = self.tables.figures.study_high_note_number
        high = any(self.notes[place].pitch.number >= edge for place in held.places)
        if high or self.lengths.minutes >= SHORT_DAY_MIN:
            return held
        sounds = {self.notes[held.place].pitch.number: held.place}
        for place in sorted(held.places, key=lambda place: abs(place - held.place)):
            if len(sounds) < MOST_SHORT:
                sounds.setdefault(self.notes[place].pitch.number, place)
        return Held(held.place, tuple(sorted(sounds.values())))

    def _again(self, had: Sequence[tuple[bool, Held]], most: float) -> Stretch | None:
        """On the piccolo what was held longest ago and is not high; one group alone once, a day later."""
        figures = self.tables.figures
        edge = figures.study_high_note_number
        low = [each for each in had if all(self.notes[at].pitch.number < edge for at in each[1].places)]
        alone = len(low) == 1 and (self.course.used.get(TONE) == self.day - 1 or self.course.held > 1)
        if edge > figures.piccolo_high_note_number or not low or alone:
            return None
        ends = [(first, last) for _, first, last in self._done]

        def ago(each: tuple[bool, Held]) -> int:
            places = each[1].places
            return ends[::-1].index((places[0], places[-1]))

        begins, held = max(low, key=ago)
        lasts = self.notes[held.place].length_ms >= figures.study_long_ms
        return self._long_notes(self.tables.ways[STARTS if begins and not lasts else TONE], held, most)

    def _times_held(self, begins: bool, held: Held) -> int:
        """On how many days there were these notes, in this way."""
        return sum(
            begun is begins and (first, last) == (held.places[0], held.places[-1])
            for begun, first, last in self._done
        )

    @property
    def _done(self) -> list[tuple[bool, int, int]]:
        """Whether notes were begun, the first and the last of them, day by day."""
        return [(known == STARTS, first, last) for known, first, last in self.course.done if known in LONG]

    def _waits(self, begins: bool, held: Held, *, again: bool) -> bool:
        """Whether drills of the day have such notes, or they would come again a day later."""
        yesterday = self.course.used.get(TONE) == self.day - 1
        was = yesterday and self._done[-1:] == [(begins, held.places[0], held.places[-1])]
        had = self.drilled if again else self.lower
        return was or (not begins and {self.notes[place].pitch.number for place in held.places} <= had)

    def _long_notes(self, way: Way, held: Held, most: float) -> Stretch | None:
        """Notes one by one: high ones an octave lower first unless they last and sing, soft ones softly."""
        figures = self.tables.figures
        named = [self.notes[place] for place in held.places]
        note, soft = self.notes[held.place], {*held.places} <= held_softly(self.notes)
        if way.id == TONE and note.pitch.number >= figures.study_high_note_number:
            lasts = note.length_ms >= figures.study_long_ms
            all_last = all(each.length_ms >= figures.study_long_ms for each in named)
            sings = (lasts and soft) or (all_last and is_sung(named))
            way = way if sings else self.tables.ways[HIGH]
        if way.id == TONE and soft:
            way = self.tables.ways[SOFT]
        sounds = len({note.pitch.number for note in named})
        first, last = held.places[0], held.places[-1]
        study = self.lengths.lasting(way, Working(first, last, 0.0, 0, sounds * figures.study_hold_s), most)
        names = " ".join(dict.fromkeys(note.pitch.name for note in named))
        levels = {_printed_level(self.notes, place) for place in held.places}
        told = f", {levels.pop()}" if way.id in (STARTS, SOFT) and len(levels) == 1 else ""
        high = [each.pitch.name for each in named if each.pitch.number >= figures.study_high_note_number]
        if way.id == STARTS and high:
            told += f"; {' '.join(dict.fromkeys(high))} first an octave lower"
        return replace(study, about=f"({names}{told})") if study else None


def _printed_level(notes: Sequence[Note], place: int) -> str:
    """The level of a note as the part prints it: ppp is read as pp, and told as printed."""
    level = notes[place].dynamic
    printed = next((note.dynamic_mark for note in notes[place::-1] if note.dynamic_mark), "")
    softest = level == QUIET[1] and not printed.strip("p")
    return printed if softest and len(printed) > len(level) else level
