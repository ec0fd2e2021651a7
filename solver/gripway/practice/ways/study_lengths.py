"""How long work on the passage lasts: as often as the table says, or at several tempos."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import Note
from gripway.practice.drills.drill_minutes import in_half_minutes, tries_in_a_row
from gripway.practice.plan.course import LISTEN, SECTIONS
from gripway.practice.ways.sections import SECTION_BARS
from gripway.practice.ways.whole_passage import Stretch, Working, bars_of, played

IN_A_ROW = 3
"""What is to be played so often is to be clean in a row; what is less often is played in other ways."""


@dataclass(frozen=True, slots=True)
class StudyLengths:
    """Makes studies as long as is wanted on a day of so many `minutes`."""

    notes: Sequence[Note]
    minutes: float
    figures: PracticeFigures

    @property
    def wanted(self) -> float:
        """Minutes that work on the passage has at least, where it can."""
        return max(self.figures.study_least_min, self.minutes * self.figures.study_least_share)

    def lasting(self, way: Way, working: Working, most: float, before: float | None = None) -> Stretch | None:
        """A study in its minutes: as often as the table says, more where it would be short.

        What is to be clean so often in a row climbs from the share it was at `before`.
        Of the whole passage once more at most, of a part of it twice as often; it is listened to once.
        """
        wanted = min(self.wanted, most)
        of_part = way.of_part
        if of_part and way.share and way.times >= IN_A_ROW:
            return self.climbing(way, working, most, wanted, before)
        often = 2 * way.times if of_part else way.times + (way.id != LISTEN)
        for times in range(way.times, often + 1):
            minutes = in_half_minutes(self.seconds(way, working, times))
            if minutes >= wanted or times == often:
                minutes = max(self.figures.item_least_min, minutes)
                if minutes > most:
                    return None
                return replace(played(working, times, self.notes), minutes=minutes, way=way.id)
        return None

    def climbing(
        self,
        way: Way,
        working: Working,
        most: float,
        wanted: float,
        before: float | None,
        ways: int = 0,
    ) -> Stretch | None:
        """A study at several tempos: from the share it was at `before`, more where it would be short.

        It begins no more than `back_notches` below that. At each tempo it is played in so many other `ways`.
        """
        figures = self.figures
        times = figures.clean_times
        rise = working.share / before if before else 1.0
        notches = max(1, round(log(rise) / log(1 + figures.notch_share)))
        stride = min(figures.stride_notches, -(-notches // (figures.study_tempos - 1)))
        least = min(figures.study_tempos, 1 + -(-notches // stride))
        tries, breath = tries_in_a_row(times, figures.errors_slow_share) + ways, figures.breath_s
        lowest = log(rise) / log(1 + figures.notch_share) + figures.back_notches + 0.5
        most_tempos = min(figures.study_tempos, max(least, 1 + int(lowest // stride)) if before else 9)
        found = None
        for tempos in range(least, most_tempos + 1):
            slower = sum((1 + figures.notch_share) ** (down * stride) for down in range(tempos))
            seconds = tries * ((working.once_s - breath) * slower + breath * tempos)
            minutes = max(figures.item_least_min, in_half_minutes(seconds))
            if minutes > most:
                break
            made = played(working, times, self.notes)
            found = replace(made, minutes=minutes, way=way.id, tempos=tempos, stride=stride)
            if minutes >= wanted:
                break
        return found

    def seconds(self, way: Way, working: Working, times: int) -> float:
        """What a study takes, tries that fail counted in where it is to be clean so often in a row."""
        once, breath = working.once_s, self.figures.breath_s
        bars = len(bars_of(self.notes, working.first, working.last))
        tries = tries_in_a_row(times, self.figures.errors_slow_share)
        if way.id == SECTIONS:  # each so often, then twice as long ones once
            return (once - breath + -(-bars // SECTION_BARS) * breath) * (tries + 1)
        return once * (tries if way.of_part and way.share else times)
