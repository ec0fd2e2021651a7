"""Which bars a day takes in sections: what no day had, what the passage has left behind, hardest first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from gripway.model.passage import Note
from gripway.practice.plan.course import Section
from gripway.practice.ways.around import Ends
from gripway.practice.ways.sections import LEAST_BARS, Piece, run_of, runs_in

SLOW_NOTCHES = 2
"""Sections that were so many notches slower than the passage is today were only met slowly (judgement)."""


KNOWN_TIMES = 2
"""Sections that were at the tempo of the day so often do not come again (judgement)."""


@dataclass(frozen=True, slots=True)
class SectionChoice:
    """The sections of a day: `bars` of a passage, how much each `needs` work, the `groups` that do, `others`.

    `had` are the sections of the days before and of today; `day` is today, `share_of` gives the share of
    their tempo that some notes have today, `notch_share` is a notch. `unknown`: nothing is known of sections
    on the days before (a log has only the tempos).
    """

    notes: Sequence[Note]
    bars: Sequence[Piece]
    needs: Sequence[int]
    groups: Sequence[tuple[int, ...]]
    others: Sequence[tuple[int, ...]]
    had: Sequence[Section]
    day: int
    share_of: Callable[[int, int], float]
    notch_share: float
    unknown: bool = False

    def lacking(self) -> list[tuple[int, ...]]:
        """The bars that need sections and had none; then those that the passage has left behind."""
        if self.unknown:
            return []
        slower = (1 + self.notch_share) ** -SLOW_NOTCHES
        met = [(number, self._met(number)[0]) for group in self.groups for number in group]
        unmet = {number for number, share in met if not share}
        slow = {number for number, share in met if share < self.share_of(*self.bars[number]) * slower + 1e-9}
        return [run for group in self.groups for run in runs_in(group, unmet or slow)]

    def open(self) -> list[tuple[int, ...]]:
        """What is lacking; where nothing is, what else no day had; then what had a day without sections."""
        unmet = [group for group in self.others if not any(self._met(number)[0] for number in group)]
        return (
            self.lacking()
            or unmet
            or [group for group in self.groups if all(map(self._may_come_again, group))]
        )

    def _may_come_again(self, number: int) -> bool:
        """Whether a bar was in no section today or the day before, and `KNOWN_TIMES` at no such tempo."""
        first, last = self.bars[number]
        at = self.share_of(first, last) * (1 + self.notch_share) ** -0.5
        known = sum(each.share >= at for each in self.had if each.first <= first and last <= each.last)
        return self._met(number)[1] < self.day - 1 and known < KNOWN_TIMES

    def sections(self, counts: Iterator[tuple[int, int]]) -> Iterator[tuple[Ends, int]]:
        """First and last note of what is most urgent, for so many bars each, and how often they are played.

        That is what was slowest, then longest ago, then hardest.
        """
        groups = self.open()

        def urgent(place: tuple[int, int]) -> tuple[float, int, int]:
            at, number = place
            beside = range(number, number + LEAST_BARS)
            return (*self._met(number), -sum(self.needs[each] for each in groups[at] if each in beside))

        at, wanted = min(((at, number) for at, group in enumerate(groups) for number in group), key=urgent)
        for count, times in counts:
            piece = run_of(groups[at], wanted, count, self.bars, self.notes)
            yield (self.bars[piece[0]][0], self.bars[piece[-1]][1]), times

    def _met(self, number: int) -> tuple[float, int]:
        """The highest share a bar has been at in sections, and the last day; 0 where it was in none."""
        first, last = self.bars[number]
        own = [each for each in self.had if each.first <= first and last <= each.last]
        return max((each.share for each in own), default=0.0), max((each.day for each in own), default=0)
