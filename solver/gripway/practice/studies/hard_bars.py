"""Hard changes without drills in their bars: the hardest first, none new on the last of several days."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.practice.drills.drill_minutes import longer
from gripway.practice.plan.course import PLACE, SECTIONS
from gripway.practice.schedule.schedule_rules import middle_day
from gripway.practice.studies.study_day import StudyDay
from gripway.practice.ways.spots import HardPlace
from gripway.practice.ways.way_conditions import runs, suits
from gripway.practice.ways.whole_passage import Stretch

TURN_DAYS = 2
"""The run that leads rests so many days where others wait, or it is sure."""


@dataclass(frozen=True, slots=True)
class HardBars(StudyDay):
    """Work on hard changes without drills, in their bars."""

    def _place(
        self, most: float, there: Sequence[Stretch], *, new: bool, more: bool = False
    ) -> Stretch | None:
        """A hard place in its bar: the hardest that no day had yet, or the one longest ago.

        All have their turn by the middle of the days where there is time. None is new on the last of several
        days, none of the next hardest once half of them are over; none comes two days running where there are
        others, one that was at its tempo on the last alone. `more`: as many as there is time for.
        """
        today = {study.first for study in there if study.way == PLACE}
        met = self.course.met
        waiting = sum(place.first not in met for place in self.places)
        closes = self.left == 1 and self.day > 1
        days_to_begin = middle_day(self.day + self.left - 1) + 1 - self.day
        most_bars = max(self.tables.figures.study_most_bars, -(-waiting // max(1, days_to_begin)))
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
            late = new and days_to_begin < 1
            if place.nearly and (sure or not (new or more) or at_goal or not fits or late):
                continue
            if sure and self.left > 1:
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
            if place.holds_back
            and place.first not in today
            and not (self._is_rebuilt(place) or _is_within(place, there))
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
        """Work on a hard place, notches `ahead` of the passage, which finds it ready; a run for longer.

        On the first of several days it stays `back_notches` below its tempo at least, as the passage; but
        ornaments have a ladder of their own.
        """
        figures = self.tables.figures
        if ahead is None:
            ahead = figures.ahead_notches if self.left > 1 and place.holds_back else 0
        today = self._share_of(place.first, place.last)
        share = min(1.0, today * (1 + figures.notch_share) ** ahead, self._ornament_share(place))
        if self.day == 1 and self.left > 1 and place.ladder is None:
            share = max(today, min(share, (1 + figures.notch_share) ** -figures.back_notches))
        share = max(share, min(1.0, self.course.worked.get(place.first, 0.0)))
        before = self.course.worked.get(place.first, self._before(place.first, place.last) or today)
        sitting = before * (1 + figures.notch_share) ** figures.sitting_notches
        share = min(share, max(sitting, today), max(today, self._ready_in(place)))
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
        hard = any(spot.cell is not None for spot in self.spots) or not all(
            each.nearly for each in self.places
        )
        return replace(
            study, about=about, nearly=place.nearly, hardest=not hard, in_ways=self._in_ways(place)
        )

    def _ready_in(self, place: HardPlace) -> float:
        """How far the cells in a hard bar that are begun have been drilled, as a share of their tempo."""
        ids = (note.id for note in self.notes[place.first + 1 : place.last + 1])
        return min((self.ready[note] for note in ids if self.ready.get(note)), default=1.0)

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


def _is_within(place: HardPlace, there: Sequence[Stretch]) -> bool:
    """Whether the sections of a day go through a hard bar and those beside it."""
    rows = (study for study in there if study.way == SECTIONS)
    return any(study.first <= place.first and place.last <= study.last for study in rows)
