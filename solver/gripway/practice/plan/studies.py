"""Work on the passage beside the drills: other ways day by day, so that five days are a course.

A day has the ways of tables/practice/ways.csv that are longest ago, in the order of the table at first;
each is about the cells of that day in turn, or about the passage, and as long as it takes. Hard changes
without drills come first, in their bars, none for the first time on the last day. Sections go through the
bars that need them, on several days where one is too short, and come again where they were only met slowly.
No study is played at more than a notch above the tempo the passage has on the day.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gripway.catalog.tables.practice_figures import PracticeTables, Way
from gripway.model.passage import Note
from gripway.practice.drills.drill_minutes import in_half_minutes, longer
from gripway.practice.plan.course import (
    BREATHS,
    FADES,
    GROWS,
    LISTEN,
    LONG,
    PLACE,
    SECTIONS,
    SWELLS,
    TONE,
    Course,
    kind_of_way,
    mostly_in,
)
from gripway.practice.schedule.schedule_rules import LAST_FROM_DAYS, more_things
from gripway.practice.sections.day_sections import LAST_BUT_ONE, MOST_ROWS, DaySections, choice_of
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.breathing import breath_words
from gripway.practice.ways.day_opening import DayOpening
from gripway.practice.ways.drone import Drone
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.fitting_bars import TONGUES, fitting_bars
from gripway.practice.ways.questions import (
    BEATS,
    ENTRY,
    MUSICAL,
    NO_QUESTIONS,
    PHRASE,
    RHYTHM,
    Questions,
    is_asked,
)
from gripway.practice.ways.sections import (
    LEAST_BARS,
)
from gripway.practice.ways.spots import HardPlace, Spot
from gripway.practice.ways.study_lengths import IN_A_ROW, StudyLengths
from gripway.practice.ways.swells import grows_and_fades
from gripway.practice.ways.way_conditions import runs, suits
from gripway.practice.ways.whole_passage import (
    Stretch,
    Working,
    bars_of,
    from_upbeat,
    is_long,
    played,
    seconds_of,
    working_at,
)

ENTRIES, LINES = "entries", "lines"
"""What is music as it stands, not so many bars that have most of something."""

MOST_LINES = 3
"""So many lines that sing, the most exposed ones, are played in turn."""

MOST_ENTRANCES = 4
"""So many entrances, the most exposed ones, are practised (judgement)."""

TURN_DAYS = 2
"""The run that leads rests so many days where others wait, or it is sure."""

MOST_TIMES = 2
"""A way that is for some bars has no bars on more days than this (judgement)."""

SPARE = (ENTRY, TONE, PHRASE, SWELLS, RHYTHM)
"""What time that is left goes to, in this order."""

MOST_SPARE = 5
"""A day has no more of these in all, the last fewer by two (judgement)."""

DRONE, UPBEATS = "drone", "upbeats"

ALIKE = (frozenset((*TONGUES, "repeated")), frozenset((ENTRY, UPBEATS)), frozenset(BEATS))
"""Ways of which a day has one: they are work on the same thing."""

MORE_DAYS = 4
"""A way that is taken in turn comes once, and once more for each so many days of the plan (judgement)."""


@dataclass(frozen=True, slots=True)
class StudyMaker:
    """Makes the studies of a day, for its notes and its spots, one at least.

    `share` is that of the tempo of the passage, `course` what there was on the days before; `places` are the
    hard changes without drills, new ones not on the last of several days; `minutes` are those of the day,
    `left` the days with it; `before` is the passage of the day before; `drone` is the
    note that may lie under the passage, and where; `questions` are what its music asks for; `touch` is a cell
    with a new grip that the day does not drill. The passage is played `around` few hard bars at a higher
    tempo, and so is work on the others. `is_kept`: its drills are of what was at its goal before. `left_out`
    are these bars, `rebuilt` those of hard changes that a drill of the day puts together again.
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
        ways = {study.way for study in there} - {PLACE}
        if BREATHS not in {*ways, *refused} and (marked := self._breaths(most)):
            return marked
        left = SECTIONS not in refused
        late = self.left == LAST_BUT_ONE and left and self._is_due()
        hard = PLACE not in refused
        if cold := self._cold_entrance(most, there, refused):
            return cold
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
        if ways and hard and (place := self._place(most, there, new=False)):
            return place
        spot = self.spots[(self.day - 1) % len(self.spots)]
        full = len(ways) >= self._most_ways(fresh=fresh)
        for way in self._in_turn() if not full else ():
            if way.id in taken or way.from_day > self.day or (self._closes and self._is_too_late(way)):
                continue
            if self._had_enough(way) or any(way.id in alike and ways & alike for alike in ALIKE):
                continue
            if study := self._study(way, spot, most, there):
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

    def _before_all(self, most: float, there: Sequence[Stretch], *, hard: bool) -> Stretch | None:
        """What the last day but one has first: what holds the passage back, what no row had, what lacks."""
        if hard and (place := self._urgent(most, there) or self._left_out(most, there)):
            return place
        if study := self._more_sections(there, most, new=True):
            return study
        if hard and (place := self._place(most, there, new=True)):
            return place
        return self._more_sections(there, most)

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
        if asked := self._asked(most, there, refused, second=True):
            return asked
        if hard and (place := self._place(most, there, new=False, more=True)):
            return place
        return self._spare(most, there, refused)

    def _spare(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """Time that is left goes to what is music, on bars that had none of its kind."""
        had = [study.way for study in there if study.way in SPARE]
        if len(had) >= MOST_SPARE - 2 * self._closes:
            return None
        for way in (way for way in SPARE if way not in (*refused, *had)):
            found = self.tables.ways[way]
            if (way == ENTRY and self.day == 1) or (self._closes and way == RHYTHM):
                continue
            if way == TONE:
                rested = bool(self.course.done) and self.course.used.get(TONE, 0) < self.day - 1
                again = not there or rested
                study = self._opens.held(most, again=again)
            else:
                study = self._on_bars(found, self.spots[0], most, there, new=True)
            if study:
                return study
        return None

    def _opening(self, most: float) -> Stretch | None:
        """Long notes on the first day and most others: on short days every second, on longer two of three."""
        figures = self.tables.figures
        long = self.minutes >= figures.tone_every_min
        if self.touch and (study := self._opens.of_spot(self.touch, most)):
            return study
        rests = self.course.held and (self.day % 3 == 0 if long else self.day % 2 == 0)
        if rests or (self.day > 1 and self.minutes < figures.study_from_min):
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

    def _asked(
        self, most: float, there: Sequence[Stretch], refused: Collection[str], *, second: bool = False
    ) -> Stretch | None:
        """A way that the music asks for where one is due: rhythm, and of the others the one longest ago.

        Of a long passage sections come before all but rhythm, and a line or an entrance that no day had
        before the last ones. A `second` of the others comes where the day has time.
        """
        asked, used = self.questions.ways, self.course.used
        ways = {study.way for study in there}
        others = {*asked} - {*BEATS}

        def turn(way: str) -> tuple[bool, bool, int]:
            known = way in MUSICAL and all(self._times_of(self.tables.ways[way]).values())
            return way not in BEATS, known, used.get(way, 0)

        for way in sorted(asked, key=turn):
            last = max(used.get(each, 0) for each in (TONGUES if way in TONGUES else (way,)))
            alike = others if way in others else {*BEATS}
            has = way in ways or (alike & ways and not second)
            has = has or (way in (*BEATS, *MUSICAL) and self._had_enough(self.tables.ways[way]))
            if has or way in refused:
                continue
            if not is_asked(way, self.day, self.left, last, tongued=self.course.tongued):
                continue
            found = self.tables.ways[way]
            first = way == SWELLS and self.day > 1 and way not in used
            first = first or (way == ENTRY and self.left == LAST_BUT_ONE and way not in used)
            waits = self._is_due() and SECTIONS not in ways and way not in BEATS and not first
            if waits or found.from_day > self.day or (self._closes and found.of_part and way != ENTRY):
                continue
            if study := self._study(found, self.spots[0], most, there):
                return study
        return None

    def _is_full(self) -> bool:
        """Whether a day that begins with the breaths has no time for long notes beside its sections."""
        return self._is_due() and self.minutes < self.tables.figures.day_usual_min

    def _is_due(self) -> bool:
        """Whether sections come first."""
        return self._sections().is_due

    def _more_sections(self, there: Sequence[Stretch], most: float, *, new: bool = False) -> Stretch | None:
        """Sections where some bars are left after those of today, `new`: that no row has worked on."""
        rows = sum(study.way == SECTIONS for study in there)
        full = rows >= MOST_ROWS and self.left > LAST_BUT_ONE
        if full or most < self.tables.figures.item_least_min:
            return None
        sections = self._sections(there)
        lacks = sections.choice.unworked() if new else sections.is_lacking
        return self._in_sections(self.tables.ways[SECTIONS], most, there) if lacks else None

    @property
    def is_long(self) -> bool:
        """Whether the passage takes much of a day once at its tempo."""
        return is_long(self.notes, self.minutes, self.tables.figures)

    @property
    def _closes(self) -> bool:
        """Whether the day is the last of several: it has the passage."""
        return self.left == 1 and self.day >= LAST_FROM_DAYS

    def _is_too_late(self, way: Way) -> bool:
        """Whether a way is nothing for the last day: work on parts, listening to the others."""
        return (way.of_part and way.id != TONE) or way.id == LISTEN

    @property
    def is_idle(self) -> bool:
        """Whether nothing climbs any more: all is at its tempo since the day before."""
        ready = self.share >= 1 and bool(self.before and self.before.share >= 1)
        places = (place.first for place in self.places if not place.nearly)
        return ready and self.is_kept and all(self.course.sure.get(first, 0) for first in places)

    def _most_ways(self, *, fresh: bool) -> int:
        """How many ways the day may have: more on a long one, and where it is not nearly full."""
        figures = self.tables.figures
        more = 0 if fresh else figures.study_more_ways
        return figures.study_most_ways + more + more_things(self.minutes, figures)

    def _in_turn(self) -> Iterator[Way]:
        """The ways, those that are not through the passage first, then those longest ago.

        On the last of several days what goes through it in pieces comes last.
        """
        apart = {
            BREATHS,
            ENTRY,
            SWELLS,
            GROWS,
            FADES,
            *LONG[1:],
            *({LISTEN, PHRASE} & self.course.used.keys()),
        }
        apart |= {*TONGUES} - {*self.questions.tongues}
        ways = (way for way in self.tables.ways.values() if not way.of_place and way.id not in apart)
        sections, used = self._sections(), self.course.used
        lacking, closes = sections.is_lacking, self._closes and not sections.choice.unworked()

        def turn(way: Way) -> tuple[bool, bool, int]:
            by_bars = way.id == SECTIONS
            return closes and by_bars, not (by_bars and lacking), used.get(way.id, 0)

        return iter(sorted(ways, key=turn))

    def _had_enough(self, way: Way) -> bool:
        """Whether a way that is taken in turn was there on the day before, or on enough days of the plan."""
        if way.id in (SECTIONS, TONE):
            return False
        days = self.day - 1 + self.left
        yesterday = self.course.used.get(way.id) == self.day - 1
        return yesterday or self.course.often.get(way.id, 0) >= 1 + days // MORE_DAYS

    def _place(
        self, most: float, there: Sequence[Stretch], *, new: bool, more: bool = False
    ) -> Stretch | None:
        """A hard place in its bar: the hardest that no day had yet, or the one longest ago.

        None is new on the last of several days, none comes two days running where there are others. `more`:
        as many as there is time for.
        """
        today = {study.first for study in there if study.way == PLACE}
        met = self.course.met
        waiting = sum(place.first not in met for place in self.places)
        closes = self.left == 1 and self.day > 1
        most_bars = max(self.tables.figures.study_most_bars, -(-waiting // max(1, self.left - 1)))
        if (len(today) >= most_bars and not more) or (new and closes):
            return None
        for place in sorted(self.places, key=lambda place: met.get(place.first, 0)):
            if place.first in today or (place.first not in met) is not new or self._is_rebuilt(place):
                continue
            alone = len(self.places) == 1 and not place.nearly
            if met.get(place.first) == self.day - 1 and not (alone or more):
                continue
            sure = self.course.sure.get(place.first, 0) >= self.tables.figures.sure_days
            at_goal = self.course.worked.get(place.first, 0.0) >= 1 and met[place.first] == self.day - 1
            fits = suits(
                self.tables.ways[PLACE], self.notes[place.first : place.last + 1], self.tables.figures
            )
            if place.nearly and (sure or not (new or more) or at_goal or not fits):
                continue
            if sure and met.get(place.first) == self.day - 1:
                continue
            if study := self._in_its_bar(place, most):
                return study
        return None

    def _urgent(self, most: float, there: Sequence[Stretch]) -> Stretch | None:
        """A hard place that waits for no turn: the run that leads, the worst at the end, what is behind.

        The run comes on the first day and on every second, on every day once all hard bars have been met and
        until it is sure, and on the last; bars that have not been at the tempo that the passage is to have
        come so that it may have it: all on the last day. Those that the passage is played without, as they
        hold back the whole, come before the others, and on every day once they were met.
        """
        today = {study.first for study in there if study.way == PLACE}
        holding = [
            place
            for place in self.places
            if place.holds_back and place.first not in today and not self._is_rebuilt(place)
        ]
        worst = next((place for place in self.places if place.holds_back and not place.nearly), None)
        wanted = {place.first: self._share_of(place.first, place.last) for place in holding}
        behind = self.course.behind(wanted)
        waiting = any(place.first not in self.course.met for place in holding if not place.nearly)
        full = self.left > 1 and len(today) >= self.tables.figures.study_most_bars
        if self.left == 1 and self.day > 1:
            holding = [place for place in holding if place.first in self.course.met]
        around, met = self.around, self.course.met
        apart = {place for place in holding if around and around.leaves_out(place.first, place.last)}
        for place in sorted(holding, key=lambda place: place not in apart):
            sure = self.course.sure.get(place.first, 0) >= self.tables.figures.sure_days
            rests = TURN_DAYS if sure or waiting else 1
            turn = place.leads and self.course.met.get(place.first, -TURN_DAYS) <= self.day - rests
            closes = self.left == 1 and place is worst and place.first in self.course.met
            again = place in apart and place.first in met
            due = turn or closes or ((again or place.first in behind) and not full)
            if due and (study := self._in_its_bar(place, most)):
                return study
        return None

    def _is_rebuilt(self, place: HardPlace) -> bool:
        """Whether a drill of the day puts the bar of a hard place together: it is not there a second time."""
        return any(place.first <= first < place.last for first, _ in self.rebuilt)

    def _left_out(self, most: float, there: Sequence[Stretch]) -> Stretch | None:
        """Bars that the passage is played without, as they stand: from the second day on, on every day."""
        today = [(study.first, study.last) for study in there if study.way in (PLACE, SECTIONS)]
        ahead = self.tables.figures.part_notches
        for place in self.left_out if self.day > 1 else ():
            has = any(first < place.last and place.first < last for first, last in today)
            if not has and not self._is_rebuilt(place) and (study := self._in_its_bar(place, most, ahead)):
                return study
        return None

    def _in_its_bar(self, place: HardPlace, most: float, ahead: int | None = None) -> Stretch | None:
        """Work on a hard place, notches `ahead` of the passage, which finds it ready; a run for longer."""
        figures = self.tables.figures
        if ahead is None:
            ahead = figures.ahead_notches if self.left > 1 and place.holds_back else 0
        today = self._share_of(place.first, place.last)
        share = min(1.0, today * (1 + figures.notch_share) ** ahead, self._ornament_share(place))
        share = max(share, min(1.0, self.course.worked.get(place.first, 0.0)))
        before = self.course.worked.get(place.first, self._before(place.first, place.last) or today)
        sitting = before * (1 + figures.notch_share) ** figures.sitting_notches
        share = min(share, max(sitting, today))
        working = self._working_at(place.first, place.last, place.quarters, share)
        study = self._lengths.climbing(
            self.tables.ways[PLACE],
            working,
            most,
            min(most, self._least_of(place)),
            before,
            figures.run_more_times if self._in_ways(place) else 0,
        )
        about = f"({', '.join(place.titles)})"
        if study is None:
            return None
        return replace(study, about=about, nearly=place.nearly, in_ways=self._in_ways(place))

    def _share_of(self, first: int, last: int) -> float:
        """The share of their tempo that some notes have in the passage of the day."""
        free = self.around and not self.around.leaves_out(first, last)
        return self.around.share if self.around and free else self.share

    def _before(self, first: int, last: int) -> float | None:
        """What they had on the day before; None on the first."""
        return min(1.0, self.before.share_of(first, last)) if self.before else None

    def _in_ways(self, place: HardPlace) -> bool:
        """Whether a hard place is worked on in several ways: it leads, and is a run."""
        return place.leads and runs(self.notes[place.first : place.last + 1], self.tables.figures)

    def _least_of(self, place: HardPlace) -> float:
        """Minutes that work on a hard place takes at least, where it can."""
        figures = self.tables.figures
        least = figures.study_least_min if place.leads else figures.item_least_min
        return least * longer(self.minutes, figures)

    def _ornament_share(self, place: HardPlace) -> float:
        """The share of its tempo that a bar with hard grace notes has on the day: notch by notch."""
        if place.ladder is None:
            return 1.0
        up = (self.day - 1) * self.tables.figures.others_notches
        steps = place.ladder.steps
        return steps[min(up, len(steps) - 1)] / place.ladder.target

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
        if working is None or working.share > 1:
            return None
        study = self._lasting(way, working, most)
        # at the tempo of the recording
        return replace(study, share=0.0, quarters=0) if study and way.id == LISTEN else study

    def _on_bars(
        self, way: Way, spot: Spot, most: float, there: Sequence[Stretch], *, new: bool = False
    ) -> Stretch | None:
        """The bars that have most of what the way is for; other ones before they come again.

        None come on more than one day, or `MOST_TIMES` where they climb or are music, but not if they are
        to be `new`; nor on a day that has other such work on them. An entrance that comes in cold waits for
        a day that has none.
        """
        often = MOST_TIMES if way.id in (*MUSICAL, *TONGUES, UPBEATS) and not new else 1
        times = self._times_of(way)
        least = min(times.values(), default=0)
        for (first, last), had in sorted(times.items(), key=lambda each: each[1]):
            if had >= often or (way.id in MUSICAL and had > least):
                return None
            if self._tires(way, (first, last), there):
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
        begin = first if way.id in (PHRASE, ENTRY) else from_upbeat(self.notes, first)
        share = self._share_of(begin, last) * way.share
        study = self._lasting(way, self._working_at(begin, last, spot.quarters, share), most)
        if study and way.id == ENTRY:
            return replace(study, about=f"on {self.notes[first].pitch.name}")
        if study and way.id == SWELLS:
            turns = grows_and_fades(self.notes, (first, last))
            return replace(study, way={(True, False): GROWS, (False, True): FADES}.get(turns, SWELLS))
        return study

    def _tires(self, way: Way, ends: Ends, there: Sequence[Stretch]) -> bool:
        """Whether most of some notes are high ones that the drills or long notes of the day are about."""
        edge = self.tables.figures.study_high_note_number
        held = (self.notes[each.first : each.last + 1] for each in there if each.way == TONE)
        had = self._opens.drilled | {note.pitch.number for notes in held for note in notes}
        sounds = [note.pitch.number for note in self.notes[ends[0] : ends[1] + 1] if not note.grace]
        high = sum(sound >= edge and sound in had for sound in sounds)
        return way.id not in (PHRASE, SWELLS) and 2 * high > len(sounds)

    def _is_there(self, way: Way, ends: Ends, there: Sequence[Stretch]) -> bool:
        """Whether a day has such work on half of some notes, or holds the one that enters."""
        for study in there:
            other = study.first, study.last
            begins = (
                study.way in LONG and way.id == ENTRY and study.first <= ends[1] and ends[0] <= study.last
            )
            apart = study.way in (PLACE, BREATHS, LISTEN, *LONG)
            music = {way.id, study.way} <= {*MUSICAL} and mostly_in(other, ends)
            if begins or music or (not apart and mostly_in(ends, other)):
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
        return fitting_bars(self.notes, way, self.tables.figures)

    def _tongued(self, way: Way, first: int, last: int, spot: Spot, most: float) -> Stretch | None:
        """Work on tongued notes: from where it ended, ahead of the passage, which finds them ready."""
        figures, today = self.tables.figures, self._share_of(first, last)
        before = self.course.tongued or self._before(first, last) or today
        sitting = before * (1 + figures.notch_share) ** figures.sitting_notches
        ahead = today * (1 + figures.notch_share) ** figures.ahead_notches
        share = max(today, min(1.0, sitting, ahead))
        working = self._working_at(first, last, spot.quarters, share)
        wanted = max(figures.study_least_min, self.minutes * figures.study_least_share)
        return self._lengths.climbing(way, working, most, min(most, wanted), before)

    def _in_rhythm(self, way: Way, first: int, last: int, spot: Spot, most: float) -> Stretch | None:
        """A rhythm climbs to the tempo of the passage; after the first time it is at no other."""
        working = self._working(first, last, spot.quarters)
        if way.id in self.course.used:
            return self._lasting(replace(way, times=IN_A_ROW - 1), working, most)
        return self._lasting(way, working, most)

    def _drone(self, way: Way, spot: Spot, most: float) -> Stretch | None:
        """The bars over one chord with its root held under them; None where no chord holds."""
        if self.drone is None:
            return None
        working = self._working(self.drone.first, self.drone.last, spot.quarters, way.share)
        study = self._lasting(way, working, most)
        return replace(study, about=f"on {self.drone.name}") if study else None

    @property
    def _lengths(self) -> StudyLengths:
        return StudyLengths(self.notes, self.minutes, self.tables.figures)

    @property
    def _opens(self) -> DayOpening:
        """The notes that are held one by one."""
        spots = (spot.ends for spot in self.spots if spot.cell is not None)
        drilled = frozenset(
            self.notes[at].pitch.number for first, last in spots for at in range(first, last + 1)
        )
        entering = self.questions.entering
        return DayOpening(self.notes, entering, self.day, self.course, self.tables, self._lengths, drilled)

    def _lasting(self, way: Way, working: Working, most: float) -> Stretch | None:
        """A study in its minutes, from where its bars were the day before."""
        return self._lengths.lasting(way, working, most, self._before(working.first, working.last))

    def _working(self, first: int, last: int, quarters: float, part: float = 1.0) -> Working:
        """Some notes, from their upbeat on, at a part of the tempo that they have in the passage today."""
        first = from_upbeat(self.notes, first)
        return self._working_at(first, last, quarters, self._share_of(first, last) * part)

    def _working_at(self, first: int, last: int, quarters: float, share: float) -> Working:
        once = seconds_of(self.notes, first, last, share, self.tables.figures)
        return Working(first, last, share, round(quarters * share), once)

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

    def _in_sections(self, way: Way, most: float, there: Sequence[Stretch] = ()) -> Stretch | None:
        """The bars that need it most, as many as there is time for; the next day goes on with the others."""
        today = [(study.first, study.last) for study in there if study.way == SECTIONS]
        for ends, times in self._sections(there).pieces(way):
            if any(mostly_in(ends, each) for each in today):
                continue
            working = self._working(*ends, self.spots[0].quarters)
            if made := self._lasting(replace(way, times=times), working, most):
                return made
        return None

    def _sections(self, there: Sequence[Stretch] = ()) -> DaySections:
        """The sections of the day, beside what it has."""
        hard = {place for spot in self.spots if spot.cell is not None for place in (spot.place, *spot.places)}
        hard |= {place.first for place in self.places if not place.nearly}
        figures, around, course = self.tables.figures, self.around, self.course
        choice = choice_of(self.notes, hard, around, course, there, self.day, self._share_of, figures)
        return DaySections(choice, self.day, self.left, course, self.is_long)

    def in_order(self, studies: Sequence[Stretch]) -> tuple[Stretch, ...]:
        """The studies as they are played: in the order of the table, music last."""
        places = [*self.tables.ways]
        return tuple(sorted(studies, key=lambda study: (places.index(study.way), study.first)))
