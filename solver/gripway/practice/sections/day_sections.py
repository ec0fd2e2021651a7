"""The sections of one day: when they are due, how many bars and how often, beside what the day has."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import Note
from gripway.practice.plan.course import NO_BARS, SECTIONS, Course, Section
from gripway.practice.sections.section_choice import SectionChoice
from gripway.practice.ways.around import Around, Ends
from gripway.practice.ways.sections import (
    LEAST_BARS,
    SECTION_BARS,
    Piece,
    exposed,
    needing,
    needs_of,
    pieces,
)
from gripway.practice.ways.whole_passage import Stretch

FAR_SHARE = 2 / 3
"""What is below so much of its tempo is far from clean: it has all times of the table (judgement)."""

MOST_ROWS = 3
"""A day that has time left has no more of them, but the last one (judgement)."""

SHORT_BARS = 4 * SECTION_BARS
"""A passage of so few bars is not gone through in sections on two days running to fill them."""

FROM_SECOND = 2
"""Sections of a passage that is not long begin on this day."""

LAST_BUT_ONE = 2
"""With so many days left all bars are met in sections, before anything else is done."""

LEAST_TIMES = 2
"""Sections that are played fewer times in a row do not get clean (judgement)."""


@dataclass(frozen=True, slots=True)
class DaySections:
    """Sections on a `day` with so many days `left`, itself counted, after a `course`.

    `choice` says which bars; `is_long`: the passage takes much of a day.
    """

    choice: SectionChoice
    day: int
    left: int
    course: Course
    is_long: bool

    @property
    def is_short(self) -> bool:
        """Whether the passage has few bars."""
        return len(self.choice.bars) <= SHORT_BARS

    @property
    def were_yesterday(self) -> bool:
        """Whether the day before had them, of a passage that is short."""
        return self.is_short and self.course.used.get(SECTIONS) == self.day - 1

    @property
    def is_lacking(self) -> bool:
        """Whether bars had no work yet, or need sections and had none or only slow ones."""
        return bool(self.choice.unworked() or self.choice.lacking())

    @property
    def is_due(self) -> bool:
        """Whether sections come first: all bars of a long passage are met by the middle of the days.

        Those of one that is neither long nor short by the last day but one, from the second day on.
        """
        if not self.choice.lacking():
            return False
        if self.is_long:
            return bool(self.course.sections) or self.day <= self._middle
        if self.is_short or self.day < FROM_SECOND:
            return False
        return bool(self.course.sections) or (SECTIONS not in self.course.used and self.left >= LAST_BUT_ONE)

    def pieces(self, way: Way) -> Iterator[tuple[Ends, int]]:
        """What may be taken, the largest first: first and last note, and how often it is played."""
        left = sum(len(group) for group in self.choice.open())
        if len(self.choice.bars) < LEAST_BARS or not left:
            return
        for ends, times in self.choice.sections(self._sizes(way, left)):
            if times == way.times or self.choice.share_of(*ends) >= FAR_SHARE:
                yield ends, times

    @property
    def _middle(self) -> int:
        """The day by which all bars are met in sections."""
        return -(-(self.day - 1 + self.left) // 2)

    def _sizes(self, way: Way, left: int) -> Iterator[tuple[int, int]]:
        """How many pieces a day may take, and how often each: all, or fewer; in time less often."""
        often = range(way.times, LEAST_TIMES - 1, -1)
        if self.is_long or not self.is_short:
            by = self._middle if self.is_long else self.day + self.left - LAST_BUT_ONE
            wanted = max(LEAST_BARS, -(-left // (max(self.day, by) - self.day + 1)))
            yield from ((count, times) for count in range(wanted, LEAST_BARS - 1, -1) for times in often)
            return
        for parts in range(1, left + 1):
            for times in often if parts >= self.left else (way.times,):
                yield -(-left // parts), times


def had_sections(course: Course, there: Sequence[Stretch], day: int) -> tuple[Section, ...]:
    """The sections of the days before, and those a day has."""
    today = (Section(each.first, each.last, each.share, day) for each in there if each.way == SECTIONS)
    return (*course.sections, *today)


def worked_on(course: Course, there: Sequence[Stretch]) -> tuple[Ends, ...]:
    """First and last notes of all that rows of the days before, and of the day, work on."""
    return (*course.rows, *((each.first, each.last) for each in there if each.way not in NO_BARS))


def _alike(had: Sequence[Section], bars: Sequence[Piece], notes: Sequence[Note]) -> Iterator[Section]:
    """The same music as some sections elsewhere, `LEAST_BARS` or more: what is known there is known here."""
    music = [tuple((note.pitch, note.at, note.length) for note in notes[a : b + 1]) for a, b in bars]
    for each in had:
        within = [at for at, (first, last) in enumerate(bars) if each.first <= first and last <= each.last]
        count = len(within)
        for at in range(len(bars) - count + 1) if count >= LEAST_BARS else ():
            if at != within[0] and music[at : at + count] == music[within[0] : within[-1] + 1]:
                yield each._replace(first=bars[at][0], last=bars[at + count - 1][1])


class Wanted(NamedTuple):
    """The bars of a passage, how much work each wants, and the groups that need it."""

    bars: Sequence[Piece]
    weights: Sequence[int]
    groups: Sequence[tuple[int, ...]]


def wanted_in(
    notes: Sequence[Note], hard: Collection[int], around: Around | None, figures: PracticeFigures
) -> Wanted:
    """What wants work in sections: none of what the passage is played `around`.

    `hard` are the notes that hard changes lead to.
    """
    bars = pieces(notes)
    needs = needs_of(bars, hard, notes, figures)
    apart = {number for number, ends in enumerate(bars) if around and around.leaves_out(*ends)}
    weights = [need + heard for need, heard in zip(needs, exposed(bars, notes, figures), strict=True)]
    return Wanted(bars, weights, needing(needs, bars, notes, apart))


def choice_of(
    notes: Sequence[Note],
    wanted: Wanted,
    course: Course,
    there: Sequence[Stretch],
    day: int,
    share_of: Callable[[int, int], float],
    figures: PracticeFigures,
    *,
    closes: bool = False,
) -> SectionChoice:
    """What a day may take of what is wanted, beside what it has."""
    had = had_sections(course, there, day)
    alike = [*_alike(had, wanted.bars, notes)]
    return SectionChoice(
        notes,
        *wanted,
        (*had, *alike),
        (*worked_on(course, there), *((each.first, each.last) for each in alike)),
        day,
        share_of,
        figures.notch_share,
        unknown=SECTIONS in course.used and not course.sections,
        closes=closes,
    )
