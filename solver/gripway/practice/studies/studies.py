"""Work on the passage beside the drills: other ways day by day, so that five days are a course.

A day has the ways of tables/practice/ways.csv that are longest ago, in the order of the table at first;
each is about the cells of that day in turn, or about the passage, and as long as it takes. Hard changes
without drills come first, in their bars, none for the first time on the last day. Sections go through the
bars that need them, on several days where one is too short, and come again where they were only met slowly.
No study is played at more than a notch above the tempo the passage has on the day.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import Way
from gripway.practice.plan.course import (
    BREATHS,
    FADES,
    GROWS,
    LISTEN,
    LONG,
    NO_BARS,
    PLACE,
    RHYTHM,
    SECTIONS,
    SWELLS,
    THREES,
    TONE,
    kind_of_way,
    mostly_in,
)
from gripway.practice.schedule.schedule_rules import more_things
from gripway.practice.sections.day_sections import LAST_BUT_ONE
from gripway.practice.studies.bar_rows import MOST_TIMES, UPBEATS
from gripway.practice.studies.bare_phrases import BarePhrases, has_alike
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.fitting_bars import ACCENTS, CONTRASTS, DOUBLE, REPEATED, TONGUES
from gripway.practice.ways.questions import (
    BEATS,
    ENTRY,
    MUSICAL,
    PHRASE,
    SLURS,
    is_asked,
)
from gripway.practice.ways.whole_passage import Stretch

SPARE = (*MUSICAL, *BEATS, *TONGUES, REPEATED, UPBEATS, CONTRASTS, ACCENTS)
"""What time that is left goes to: what had least work for its weight comes first, long notes last."""

MOST_SPARE = 5
"""A day has no more of these in all, the last fewer by two (judgement)."""

FEW_DONE = 0.4
"""A day that has no more than so much of its minutes may have a second line (judgement)."""

FREE = 0.5
"""A day whose work on the passage takes less of its minutes than this has time (judgement)."""

MORE_DAYS = 4
"""A way that is taken in turn comes once, and once more for each so many days of the plan (judgement)."""

FIRST_MIN = 3
"""The first day listens to the part before other work where it takes no longer than this (judgement)."""


@dataclass(frozen=True, slots=True)
class StudyMaker(BarePhrases):
    """Makes the studies of a day, one at a time, for its notes and its spots."""

    def more(
        self,
        most: float,
        there: Sequence[Stretch],
        refused: Collection[str] = (),
        *,
        fresh: bool = False,
        first: bool = False,
    ) -> Stretch | None:
        """One more study in so many minutes, in the way longest ago; None where none is left.

        Most days open with long notes. The last of several has the passage: no work on a part of it.

        `there` is what the day has; with `fresh` (it is nearly full) no way of the day before is taken; with
        `first` sections come before what is else in turn, as in the first days of a long passage.
        """
        there = [replace(each, way=kind_of_way(each.way)) for each in there]
        refused = [*map(kind_of_way, refused)]
        study = self._next(most, there, refused, fresh=fresh, first=first)
        if study and (self._is_last_line(study, there) or not self._comes_again(study)):
            return study
        climbs = study is not None and self._climbs(study)
        if (not climbs or self.left <= LAST_BUT_ONE) and (new := self._bare(most, there, refused)):
            return new
        is_new = study and not self.course.times(kind_of_way(study.way), study.first, study.last)
        if not (climbs or is_new) and (new := self._unmet(most, there, refused)):
            return new
        has_time = not fresh and sum(each.minutes for each in there) <= self.minutes * FREE
        return study or (self._least_worked(most, there, refused) if has_time else None)

    def _unmet(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """A way of working on some bars that they had on no day, on a day that has time."""
        today = {*refused, *(study.way for study in there)}
        ways = (self.tables.ways[way] for way in SPARE if way not in today)
        for way in sorted(ways, key=self._weight, reverse=True):
            late = self._closes and way.id not in (*MUSICAL, CONTRASTS, ACCENTS)
            if late or not self._may_come(way, today):
                continue
            study = self._on_bars(way, self.spots[0], most, there)
            if study and not self.course.times(way.id, study.first, study.last):
                return study
        return None

    def _is_last_line(self, study: Stretch, there: Sequence[Stretch]) -> bool:
        """Whether a row is a line that no day had as a whole, on the last day beside other work on bars."""
        ways = {each.way for each in there}
        return study.way == PHRASE and bool(ways - {PLACE, *NO_BARS}) and self._lacks_line(ways)

    def _comes_again(self, study: Stretch) -> bool:
        """Whether most of what a row works on had rows on days before, and it is no hard bar."""
        had = {at for first, last in self.course.rows for at in range(first, last + 1)}
        there = range(study.first, study.last + 1)
        return study.way not in (*NO_BARS, PLACE) and 2 * sum(at in had for at in there) > len(there)

    def _climbs(self, study: Stretch) -> bool:
        """Whether a row is sections that were never so fast."""
        ends, half = (study.first, study.last), (1 + self.tables.figures.notch_share) ** 0.5
        known = max((each.share for each in self.course.sections if mostly_in(ends, each[:2])), default=0.0)
        return study.way == SECTIONS and known * half < study.share

    def _next(
        self,
        most: float,
        there: Sequence[Stretch],
        refused: Collection[str],
        *,
        fresh: bool,
        first: bool,
    ) -> Stretch | None:
        """What is next in turn."""
        ways = {study.way for study in there} - {PLACE}
        if BREATHS not in {*ways, *refused} and (marked := self._breaths(most)):
            return marked
        left = SECTIONS not in refused
        late = self.left == LAST_BUT_ONE and left and self._is_due()
        hard = PLACE not in refused
        if cold := self._cold_entrance(most, there, refused):
            return cold
        if SECTIONS not in refused and (apart := self._together(most, there)):
            return apart
        if self._lacks_line({*ways, *refused}):
            urgent = (self._urgent(most, there) or self._left_out(most, there)) if hard else None
            if study := urgent or self._on_bars(self.tables.ways[PHRASE], self.spots[0], most, there):
                return study
        begun = ways - {BREATHS, ENTRY, PHRASE, SECTIONS if late else BREATHS}
        opens = TONE not in refused and not (begun or (BREATHS in ways and self._is_full()))
        first_tone = self.day > 1 and not self.course.held
        if opens and (first_tone or not late) and (opened := self._opening(most)):
            return opened
        if late and (study := self._before_all(most, there, hard=hard)):
            return study
        if opens and (opened := self._opening(most)):
            return opened
        if self.is_idle and len(ways - {BREATHS, TONE}) >= self.tables.figures.study_idle_ways:
            more = self._more_sections(there, most) if left and not fresh else None
            return more or self._spare(most, there, refused)
        if hard and (place := self._urgent(most, there) or self._left_out(most, there)):
            return place
        if asked := self._asked(most, there, refused):
            return asked
        due = self._is_due() and SECTIONS not in {*ways, *refused}
        places = sum(study.way == PLACE for study in there)
        if hard and not (due and places) and (place := self._place(most, there, new=True)):
            return place
        again = SECTIONS in {*ways, *refused} or self._sections().were_yesterday
        if (due or (first and not again and not self._closes)) and (
            study := self._in_sections(self.tables.ways[SECTIONS], most, there)
        ):
            return study
        if due and hard and (place := self._place(most, there, new=True)):
            return place
        taken = {*refused, *ways}
        if fresh:
            taken |= {way for way, day in self.course.used.items() if day == self.day - 1}
            taken -= {SECTIONS} - {*refused, *ways} if self._sections(there).is_lacking else set()
        if self.day > 1 and not fresh and (study := self._bare(most, there, refused)):
            return study
        if ways and hard and (place := self._place(most, there, new=False)):
            return place
        spot = self.spots[(self.day - 1) % len(self.spots)]
        full = len(ways) >= self._most_ways(fresh=fresh)
        listens = self.day == 1 and not fresh and (TONE in ways or not self._opens.held(most))
        for way in self._in_turn(listens=listens) if listens or not full else ():
            if full and way.id != LISTEN:
                continue
            if way.id in taken or way.from_day > self.day or (self._closes and self._is_too_late(way)):
                continue
            if self._had_enough(way) or has_alike(way.id, ways):
                continue
            short = listens and way.id == LISTEN
            if study := self._study(way, spot, min(most, FIRST_MIN) if short else most, there):
                return study
        return self._in_free_time(most, there, refused, fresh=fresh)

    def _cold_entrance(
        self, most: float, there: Sequence[Stretch], refused: Collection[str]
    ) -> Stretch | None:
        """The entrance after a long rest, before sections on the last day but one where no day had one."""
        places = self.questions.entrances[:1]
        if self.left != LAST_BUT_ONE or self.day < 2 or ENTRY in {*self.course.used, *refused}:
            return None
        if any(study.way == ENTRY for study in there) or not any(is_cold(self.notes, at) for at, _ in places):
            return None
        return self._on_bars(self.tables.ways[ENTRY], self.spots[0], most, there)

    def _lacks_line(self, had: Collection[str]) -> bool:
        """Whether the last day has drills and no day had a line that the music asks for."""
        drilled = any(spot.cell is not None for spot in self.spots)
        asked = PHRASE in self.questions.ways and PHRASE not in {*self.course.used, *had}
        return self._closes and drilled and asked

    def _in_free_time(
        self,
        most: float,
        there: Sequence[Stretch],
        refused: Collection[str],
        *,
        fresh: bool,
    ) -> Stretch | None:
        """What a day has beside the ways it needs, as long as it has time: what no row had first."""
        left, hard = SECTIONS not in refused and not fresh, PLACE not in refused
        if left and (study := self._more_sections(there, most, new=True)):
            return study
        if hard and (place := self._place(most, there, new=True, more=True)):
            return place
        if left and (study := self._more_sections(there, most)):
            return study
        if spare := self._spare(most, there, refused):
            return spare
        return self._place(most, there, new=False, more=True) if hard else None

    def _spare(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """What had least work for its weight: for how many notes a way is, on how many days it was there.

        On the last day nothing that the music does not ask for.
        """
        today = {study.way for study in there}
        if len(today & {*SPARE, TONE}) >= MOST_SPARE - 2 * self._closes:
            return None
        ways = [self.tables.ways[way] for way in SPARE if not (way in today or way in refused)]
        for way in sorted(ways, key=self._weight, reverse=True):
            if self._is_spare(way, today) and (
                study := self._on_bars(way, self.spots[0], most, there, again=True)
            ):
                return study
        held = None if {TONE} & {*today, *refused} else self._opens.held(most)
        return held or self._second_line(most, there, refused)

    def _second_line(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """Another line on a day that has little else than one."""
        lines = sum(study.way == PHRASE for study in there)
        done_min = sum(study.minutes for study in there)
        if lines != 1 or PHRASE in refused or done_min > self.minutes * FEW_DONE:
            return None
        return self._on_bars(self.tables.ways[PHRASE], self.spots[0], most, there)

    def _is_spare(self, way: Way, today: Collection[str]) -> bool:
        """Whether a day that has time may have a way: on the same bars not the day after, but the last."""
        if not self._may_come(way, today) or (way.id == ENTRY and self.day == 1):
            return False
        asked = way.id in self.questions.ways
        others = self.course.used.get(way.id) != self.day - 1 or len(self._times_of(way)) > 1
        return asked if self._closes else others

    def _may_come(self, way: Way, today: Collection[str]) -> bool:
        """Whether a way is one for the day, and its tongue the one that is right."""
        right = way.id not in TONGUES or way.id in self.questions.tongues
        return right and way.from_day <= self.day and not has_alike(way.id, today)

    def _weight(self, way: Way) -> float:
        """How many notes a way is for, for each day that it was there and the next one."""
        notes = sum(last - first + 1 for first, last in self._times_of(way))
        return notes / (1 + self.course.often.get(way.id, 0))

    def _asked(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """A way that the music asks for where one is due: rhythm, and of the others the one longest ago.

        Of a long passage sections come before all but rhythm, and a line or an entrance that no day had
        before the last ones.
        """
        asked, used = self.questions.ways, self.course.used
        ways = {study.way for study in there}
        others = {*asked} - {*BEATS}

        def turn(way: str) -> tuple[bool, bool, int]:
            known = way in MUSICAL and all(self._times_of(self.tables.ways[way]).values())
            return way not in BEATS and not self._wants_tongue(way), known, used.get(way, 0)

        for way in sorted(asked, key=turn):
            last = max(used.get(each, 0) for each in (TONGUES if way in TONGUES else (way,)))
            urgent = self._wants_tongue(way)
            alike = {*TONGUES} if urgent else others if way in others else {*BEATS}
            has = way in ways or alike & ways or has_alike(way, ways)
            often = (*BEATS, *MUSICAL, REPEATED, SLURS)
            has = has or (way in often and self._had_enough(self.tables.ways[way]))
            if has or way in refused:
                continue
            if not is_asked(way, self.day, self.left, last, tongued=self.course.tongued):
                continue
            found = self.tables.ways[way]
            first = way not in used and (
                (way == SWELLS and self.day > 1)
                or way == SLURS
                or (way == ENTRY and self.left == LAST_BUT_ONE)
            )
            again = urgent and last > 0
            waits = self._is_due() and SECTIONS not in ways and way not in BEATS and not (first or again)
            late = self._closes and found.of_part and way != ENTRY and not again
            if waits or found.from_day > self.day or late:
                continue
            if study := self._study(found, self.spots[0], most, there):
                return study
        return None

    def _wants_tongue(self, way: str) -> bool:
        """Whether what is too quick for a single tongue was not at its tempo, or on one day only."""
        few = sum(self.course.often.get(each, 0) for each in DOUBLE) < MOST_TIMES
        return way in DOUBLE and way in self.questions.tongues and (few or self.course.tongued < 1)

    def _is_too_late(self, way: Way) -> bool:
        """Whether a way is nothing for the last day: work on parts."""
        return way.of_part and way.id != TONE

    def _most_ways(self, *, fresh: bool) -> int:
        """How many ways the day may have: more on a long one, and where it is not nearly full."""
        figures = self.tables.figures
        more = 0 if fresh else figures.study_more_ways
        return figures.study_most_ways + more + more_things(self.minutes, figures)

    def _in_turn(self, *, listens: bool) -> Iterator[Way]:
        """The ways, those that are not through the passage first, then those longest ago.

        With `listens` the part is listened to after its rhythm; in the last days not for the first time. On
        the last of several what goes through it in pieces comes last.
        """
        apart = {
            BREATHS,
            ENTRY,
            SWELLS,
            GROWS,
            FADES,
            THREES,
            *LONG[1:],
            *({LISTEN, PHRASE} & self.course.used.keys()),
        }
        apart |= {*TONGUES} - {*self.questions.tongues}
        apart |= {LISTEN} if self.day > 1 and self.left <= LAST_BUT_ONE else set()
        ways = (way for way in self.tables.ways.values() if not way.of_place and way.id not in apart)
        sections, used = self._sections(), self.course.used
        lacking, closes = sections.is_lacking, self._closes and not sections.choice.unworked()

        def turn(way: Way) -> tuple[bool, bool, int, bool]:
            by_bars, early = way.id == SECTIONS, listens and way.id in (RHYTHM, LISTEN)
            return closes and by_bars, not (by_bars and lacking), used.get(way.id, 0), not early

        return iter(sorted(ways, key=turn))

    def _had_enough(self, way: Way) -> bool:
        """Whether a way that is taken in turn was there on the day before, or on enough days of the plan."""
        if way.id in (SECTIONS, TONE):
            return False
        days = self.day - 1 + self.left
        yesterday = self.course.used.get(way.id) == self.day - 1
        return yesterday or self.course.often.get(way.id, 0) >= 1 + days // MORE_DAYS
