"""Which bars a day takes in sections: what no row had, what had no sections, what was slow, the hardest."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

from gripway.model.passage import Note
from gripway.practice.plan.course import Section
from gripway.practice.ways.around import Ends
from gripway.practice.ways.sections import (
    LEAST_BARS,
    PHRASE_BARS,
    PHRASE_MORE,
    SECTION_BARS,
    Piece,
    neighbours,
    run_of,
    runs_in,
)

SLOW_NOTCHES = 2
"""Sections that were so many notches slower than the passage is today were only met slowly (judgement)."""


KNOWN_TIMES = 2
"""Sections that were at the tempo of the day so often do not come again (judgement)."""

HARD_SHARE = 0.5
"""What is this much less hard than the hardest bars does not come in sections again (judgement)."""

Groups = list[tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class SectionChoice:
    """The sections of a day: `bars` of a passage, the `weights` of each, the `groups` that need it.

    `had` are the sections of the days before and of today, `worked` all stretches that any row worked on;
    `day` is today, `share_of` gives the share of their tempo that some notes have today, `notch_share` is a
    notch. `unknown`: nothing is known of the days before (a log has only the tempos). The last day `closes`.
    """

    notes: Sequence[Note]
    bars: Sequence[Piece]
    weights: Sequence[int]
    groups: Sequence[tuple[int, ...]]
    had: Sequence[Section]
    worked: Sequence[Ends]
    day: int
    share_of: Callable[[int, int], float]
    notch_share: float
    unknown: bool = False
    closes: bool = False

    def unworked(self) -> Groups:
        """What no row of the plan has worked on, two bars or more."""
        return [] if self.unknown else self._runs(self.groups, self._new())

    def _new(self) -> set[int]:
        """The bars that no row has worked on."""
        return {number for group in self.groups for number in group if self._is_new(number)}

    def lacking(self) -> Groups:
        """The bars that need sections and had none; then those that the passage has left behind."""
        if self.unknown:
            return []
        slower = (1 + self.notch_share) ** -SLOW_NOTCHES
        met = [(number, self._met(number)[0]) for group in self.groups for number in group]
        unmet = {number for number, share in met if not share}
        slow = {number for number, share in met if share < self.share_of(*self.bars[number]) * slower + 1e-9}
        return self._runs(self.groups, unmet) or self._runs(self.groups, slow)

    def open(self) -> Groups:
        """What no row had, else what is lacking, else the hardest again."""
        return self.unworked() or self.lacking() or self._again()

    def _runs(self, groups: Sequence[tuple[int, ...]], wanted: Collection[int]) -> Groups:
        """The wanted bars of some groups, two or more of them together."""
        found = (run for group in groups for run in runs_in(group, wanted))
        return [run for run in found if len({*run} & {*wanted}) >= SECTION_BARS]

    def _again(self) -> Groups:
        """The bars of the groups that may come again and are about as hard as the hardest."""
        hardest = max((self._weight(each, group) for group in self.groups for each in group), default=0)
        free = [[each for each in group if self._may_come_again(each)] for group in self.groups]
        runs = (run for group in free for run in neighbours(group) if len(run) >= LEAST_BARS)
        return [run for run in runs if max(self._weight(each, run) for each in run) >= HARD_SHARE * hardest]

    def _is_new(self, number: int) -> bool:
        """Whether no row has worked on half the notes of a bar."""
        first, last = self.bars[number]
        places = range(first, last + 1)
        had = sum(any(begin <= place <= end for begin, end in self.worked) for place in places)
        return 2 * had < len(places)

    def _may_come_again(self, number: int) -> bool:
        """Whether a bar was in no section today or the day before, and `KNOWN_TIMES` at no such tempo."""
        first, last = self.bars[number]
        at = self.share_of(first, last) * (1 + self.notch_share) ** -0.5
        known = sum(each.share >= at for each in self.had if each.first <= first and last <= each.last)
        return self._met(number)[1] < self.day - 1 and known < KNOWN_TIMES

    def _weight(self, number: int, group: Sequence[int]) -> int:
        """How hard and exposed a bar is with those after it in its group."""
        return sum(self.weights[each] for each in range(number, number + LEAST_BARS) if each in group)

    def sections(self, counts: Iterator[tuple[int, int]]) -> Iterator[tuple[Ends, int]]:
        """First and last note of what is most urgent, for so many bars each, and how often they are played.

        That is what had none or was slowest, then the hardest; where the day `closes` the hardest of these.
        """
        groups, new = self.open(), self._new()

        def urgent(place: tuple[int, int]) -> tuple[bool, float, int]:
            at, number = place
            slow = 0.0 if self.closes else self._met(number)[0]
            return number not in new, slow, -self._weight(number, groups[at])

        _, wanted = min(((at, number) for at, group in enumerate(groups) for number in group), key=urgent)
        whole = next(group for group in self.groups if wanted in group)
        among = {number for group in groups for number in group}
        for count, times in counts:
            for most in (PHRASE_BARS, int(PHRASE_MORE * count)):
                piece = run_of(whole, wanted, count, self.bars, self.notes, among=among, most=most)
                yield (self.bars[piece[0]][0], self.bars[piece[-1]][1]), times

    def _met(self, number: int) -> tuple[float, int]:
        """The highest share a bar has been at in sections, and the last day; 0 where it was in none."""
        first, last = self.bars[number]
        own = [each for each in self.had if each.first <= first and last <= each.last]
        return max((each.share for each in own), default=0.0), max((each.day for each in own), default=0)
