"""Rows for some bars or for the passage: what each way is for, none over other rows of the day."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from gripway.catalog.tables.practice_figures import Way
from gripway.practice.drills.drill_minutes import in_half_minutes
from gripway.practice.plan.course import (
    BREATHS,
    FADES,
    GROWS,
    LISTEN,
    LONG,
    PLACE,
    RHYTHM,
    SECTIONS,
    SWELLS,
    THREES,
    TONE,
    kind_of_way,
    mostly_in,
)
from gripway.practice.studies.section_rows import SectionRows
from gripway.practice.ways.around import Ends
from gripway.practice.ways.breathing import breath_words, outlasts_a_breath
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.fitting_bars import CONTRASTS, DOUBLE, REPEATED, STACCATO, TONGUES, fitting_bars
from gripway.practice.ways.phrase_ends import from_upbeat
from gripway.practice.ways.questions import ENTRY, MUSICAL, PHRASE
from gripway.practice.ways.sections import LEAST_BARS
from gripway.practice.ways.spots import Spot
from gripway.practice.ways.study_lengths import IN_A_ROW
from gripway.practice.ways.swells import grows_and_fades
from gripway.practice.ways.uneven import is_between
from gripway.practice.ways.way_conditions import suits
from gripway.practice.ways.whole_passage import (
    Stretch,
    Working,
    bars_of,
    is_apart,
    played,
    working_at,
)

ENTRIES, LINES = "entries", "lines"
"""What is music as it stands, not so many bars that have most of something."""

MOST_LINES = 3
"""So many lines that sing, the most exposed ones, are played in turn."""

MOST_ENTRANCES = 4
"""So many entrances, the most exposed ones, are practised (judgement)."""

MOST_TIMES = 2
"""A way that is for some bars has no bars on more days than this (judgement)."""

LINE_SHARE = 0.85
"""A line that is longer than a breath is played no slower than this (share of its tempo, judgement)."""

FEW_SHARE, MOST_ROWS = 0.1, 2
"""So few of the notes have no more rows in ways for some bars than come after so many (judgement)."""

TIRING_SHARE = 0.75
"""Repeated notes are no work at a lower share of their tempo: the tongue does not tire there (judgement)."""

DRONE, UPBEATS = "drone", "upbeats"


@dataclass(frozen=True, slots=True)
class BarRows(SectionRows):
    """Work on some bars, in the ways that are for them."""

    def _study(self, way: Way, spot: Spot, most: float, there: Sequence[Stretch]) -> Stretch | None:
        """One study as long as there is time for; None where the music is not for it or it takes too long."""
        if not way.share:
            return self._opens.held(most)
        if way.id == SECTIONS:
            return self._in_sections(way, most, there)
        if way.id == DRONE:
            return self._drone(way, spot, most)
        if way.seeks != "any":
            return self._on_bars(way, spot, most, there)
        working = self._of_passage(way, spot, most)
        if working is None:
            return None
        study = self._lasting(way, working, most)
        # at the tempo of the recording
        return replace(study, share=0.0, quarters=0) if study and way.id == LISTEN else study

    def _opening(self, most: float) -> Stretch | None:
        """Long notes on the first day and most others: on short days every second, on longer two of three.

        None on the shortest, but on the first where nothing hard waits for its time.
        """
        figures = self.tables.figures
        long = self.minutes >= figures.tone_every_min
        if self.touch and (study := self._opens.of_spot(self.touch, most)):
            return study
        rests = self.course.held and (self.day % 3 == 0 if long else self.day % 2 == 0)
        if rests or (self.minutes < figures.study_from_min and (self.day > 1 or self.places)):
            return None
        return self._opens.held(most)

    def _breaths(self, most: float) -> Stretch | None:
        """On the first day the breaths are marked in the part, where rests are too far apart."""
        figures, found = self.tables.figures, self.questions.long_lines
        if self.day > 1 or not found or figures.item_least_min > most:
            return None
        made = played(Working(0, len(self.notes) - 1, 0.0, 0, 0.0), 1, self.notes)
        places = breath_words(found, figures.breath_most_lines)
        return replace(made, minutes=figures.item_least_min, way=BREATHS, about=f"({places})")

    def _on_bars(
        self, way: Way, spot: Spot, most: float, there: Sequence[Stretch], *, again: bool = False
    ) -> Stretch | None:
        """The bars that have most of what the way is for; other ones before they come again.

        None come on more than one day, or `MOST_TIMES` where they climb, are music, or the music asks for
        them and there is time for them `again`, once more on the last day; nor on a day that has other such
        work on them, nor where few bars had enough of it in other ways. An entrance that comes in cold waits
        for a day that has none.
        """
        again = again and way.id in self.questions.ways and way.id != CONTRASTS
        often = MOST_TIMES if again or way.id in (*MUSICAL, *TONGUES, STACCATO, UPBEATS) else 1
        often += again and self._closes and way.id not in MUSICAL
        often = self.day if way.id in DOUBLE and self.course.tongued < 1 else often
        times = self._times_of(way)
        least = min(times.values(), default=0)
        alike = {ends for ends in times if way.id == RHYTHM and self._goes_on_alike(ends)}
        for (first, last), had in sorted(times.items(), key=lambda each: (each[1], each[0] in alike)):
            if had >= often or (way.id in MUSICAL and had > least):
                return None
            if self._tires(way, (first, last), there) or self._is_breathless(way, (first, last)):
                continue
            if way.id == REPEATED and self._share_of(first, last) < TIRING_SHARE:
                continue
            if self._had_much(first, last) or (
                way.id in (RHYTHM, *TONGUES) and self._is_of_a_run(first, last)
            ):
                continue
            if again and had and not self._closes and self._was_yesterday(way, (first, last)):
                continue
            if self._is_there(way, (first, last), there):
                waits = way.id == ENTRY and is_cold(self.notes, first)
                if (
                    self.left > 1
                    and not had
                    and (waits or (way.id == PHRASE and PHRASE not in self.course.used))
                ):
                    return None
                continue
            if study := self._of_bars(way, first, last, spot, most):
                return study
        return None

    def _goes_on_alike(self, ends: Ends) -> bool:
        """Whether notes go on with a rhythm that had a row: most of their lengths and places were in it."""

        def values(first: int, last: int) -> set[tuple[Fraction, Fraction]]:
            return {(note.at, note.length) for note in self.notes[first : last + 1] if not note.grace}

        own, done = values(*ends), self.course.done
        before = [row for way, *row in done if kind_of_way(way) == RHYTHM and row[0] < ends[0] <= row[1] + 1]
        return any(
            2 * len(own & values(*row)) > len(own)
            and not is_apart(self.notes, ends[0] - 1, self.tables.figures)
            for row in before
        )

    def _had_much(self, first: int, last: int) -> bool:
        """Whether few notes of the passage had rows enough of their own, in whatever ways."""
        few = last - first < FEW_SHARE * len(self.notes)
        own = (each for each in self.course.rows if mostly_in(each, (first, last)))
        return few and sum(mostly_in((first, last), each) for each in own) >= MOST_ROWS

    def _was_yesterday(self, way: Way, ends: Ends) -> bool:
        """Whether the day before had a way on some notes, as the last of its bars."""
        had = (known[1:] for known in reversed(self.course.done) if known[0] == way.id)
        was = self.course.used.get(way.id) == self.day - 1
        return was and any(mostly_in(ends, each) for each in islice(had, 1))

    def _is_of_a_run(self, first: int, last: int) -> bool:
        """Whether some notes have bars that the day leaves out of the passage, or the run that leads."""
        runs = [(place.first, place.last) for place in self.places if place.leads]
        out = self.around.ranges if self.around else ()
        return any(first <= end and begin <= last for begin, end in (*runs, *out))

    def _times_of(self, way: Way) -> dict[Ends, int]:
        """How often a way was taken on each of the bars it is for; none that came as what is alike."""
        figures, course = self.tables.figures, self.course
        alike = {ENTRY: UPBEATS, UPBEATS: ENTRY}.get(way.id, "")
        return {
            (first, last): course.times(way.id, first, last)
            for first, last in self._bars_for(way)
            if suits(way, self.notes[first : last + 1], figures) and not course.times(alike, first, last)
        }

    def _of_bars(self, way: Way, first: int, last: int, spot: Spot, most: float) -> Stretch | None:
        """Work on some bars; lines and entrances begin with their first note."""
        if way.id in TONGUES:
            return self._tongued(way, first, last, spot, most)
        if way.id == RHYTHM:
            return self._in_rhythm(way, first, last, spot, most)
        begin = first if way.id in MUSICAL else from_upbeat(self.notes, first)
        share = self._share_of(begin, last) * way.share
        study = self._lasting(way, self._working_at(begin, last, spot.quarters, share), most)
        if study and way.id == ENTRY:
            return replace(study, about=f"on {self.notes[first].pitch.name}")
        if study and way.id == SWELLS:
            turns = grows_and_fades(self.notes, (first, last))
            return replace(study, way={(True, False): GROWS, (False, True): FADES}.get(turns, SWELLS))
        return study

    def _tires(self, way: Way, ends: Ends, there: Sequence[Stretch]) -> bool:
        """Whether most of some notes are high ones that the drills or long notes of the day are about.

        Twos that go over to threes are worked on where they are, as is what comes in cold.
        """
        edge = self.tables.figures.study_high_note_number
        held = (self.notes[each.first : each.last + 1] for each in there if each.way == TONE)
        had = self._drilled_pitches | {note.pitch.number for notes in held for note in notes}
        sounds = [note.pitch.number for note in self.notes[ends[0] : ends[1] + 1] if not note.grace]
        high = sum(sound >= edge and sound in had for sound in sounds)
        odd = way.id == RHYTHM and is_between(self.notes[ends[0] : ends[1] + 1], self.tables.figures)
        cold = way.id == ENTRY and is_cold(self.notes, ends[0])
        return not (odd or cold) and way.id not in (PHRASE, SWELLS) and 2 * high > len(sounds)

    def _is_breathless(self, way: Way, ends: Ends) -> bool:
        """Whether a line is so slow today that no breath lasts from rest to rest."""
        share = self._share_of(*ends)
        within = self.notes[ends[0] : ends[1] + 1]
        return (
            way.id == PHRASE and share < LINE_SHARE and outlasts_a_breath(within, share, self.tables.figures)
        )

    def _is_of_a_breath(self, ends: Ends) -> bool:
        """Whether a line has most of one that outlasts a breath: sections of it do not stand for it."""
        return any(mostly_in(line.ends, ends) for line in self.questions.long_lines)

    def _is_there(self, way: Way, ends: Ends, there: Sequence[Stretch]) -> bool:
        """Whether a day has such work on half of some notes, or holds the one that enters.

        A sudden change is there only where all its bars are: one side of it is no work on it.
        """
        for study in there:
            other = study.first, study.last
            begins = (
                study.way in LONG and way.id == ENTRY and study.first <= ends[1] and ends[0] <= study.last
            )
            apart = study.way in (PLACE, BREATHS, LISTEN, *LONG)
            apart = apart or (study.way == SECTIONS and way.id in DOUBLE)
            music = {way.id, study.way} <= {*MUSICAL, SECTIONS} and mostly_in(other, ends)
            music = music and not (study.way == SECTIONS and way.id == PHRASE and self._is_of_a_breath(ends))
            most = mostly_in(ends, other)
            most = most and (way.id != CONTRASTS or (other[0] <= ends[0] and ends[1] <= other[1]))
            if begins or music or (not apart and most):
                return True
        return False

    def _bars_for(self, way: Way) -> Sequence[Ends]:
        """First and last notes of the bars a way is for, the best first."""
        if way.seeks == ENTRIES:
            return self.questions.entrances[:MOST_ENTRANCES]
        if way.seeks == SWELLS:
            return self.questions.swells[:MOST_LINES]
        if way.seeks == LINES:
            return self.questions.lines[:MOST_LINES]
        fitting = self.found.fitting
        if way.id not in fitting:
            fitting[way.id] = fitting_bars(self.notes, way, self.tables.figures)
        return fitting[way.id]

    def _tongued(self, way: Way, first: int, last: int, spot: Spot, most: float) -> Stretch | None:
        """Work on tongued notes: from where it ended, ahead of the passage, but of no cell that stands there.

        None before that is begun.
        """
        there = (note.id for note in self.notes[first + 1 : last + 1])
        cells = [self.ready[note] for note in there if note in self.ready]
        if not all(cells):
            return None
        figures, today = self.tables.figures, self._share_of(first, last)
        before = self.course.tongued or self._before(first, last) or today
        sitting = before * (1 + figures.notch_share) ** figures.sitting_notches
        ahead = today * (1 + figures.notch_share) ** figures.ahead_notches
        share = max(today, min(1.0, sitting, ahead, *cells))
        working = self._working_at(first, last, spot.quarters, share)
        wanted = max(figures.study_least_min, self.minutes * figures.study_least_share)
        return self._spared(self._lengths.climbing(way, working, most, min(most, wanted), before))

    def _in_rhythm(self, way: Way, first: int, last: int, spot: Spot, most: float) -> Stretch | None:
        """A rhythm climbs to the tempo of the passage; after the first time it is at no other."""
        working = self._working(first, last, spot.quarters)
        if is_between(self.notes[first : last + 1], self.tables.figures, tied=False):
            way = self.tables.ways[THREES]
        if RHYTHM in self.course.used:
            return self._lasting(replace(way, times=IN_A_ROW - 1), working, most)
        return self._lasting(way, working, most)

    def _drone(self, way: Way, spot: Spot, most: float) -> Stretch | None:
        """The bars over one chord with its root held under them; None where no chord holds."""
        if self.drone is None:
            return None
        working = self._working(self.drone.first, self.drone.last, spot.quarters, way.share)
        study = self._lasting(way, working, most)
        return replace(study, about=f"on {self.drone.name}") if study else None

    def _of_passage(self, way: Way, spot: Spot, most: float) -> Working | None:
        """The passage; where it takes too long for any day, the bars around a cell that fit in."""
        figures = self.tables.figures

        def widest(size: float) -> Working | None:
            return working_at(self.notes, spot.place, self.share * way.share, spot.quarters, size, figures)

        size, whole = most, widest(figures.item_most_min)
        lasts = whole and in_half_minutes(self._lengths.seconds(way, whole, way.times))
        if lasts and most < lasts <= figures.item_most_min:
            return None
        while working := widest(size):
            if len(bars_of(self.notes, working.first, working.last)) < LEAST_BARS and working != whole:
                return None
            if in_half_minutes(self._lengths.seconds(way, working, way.times)) <= most:
                return working
            size *= 0.7
        return None
