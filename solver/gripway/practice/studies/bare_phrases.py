"""Phrases that no row of the plan has worked on, and the way of working that each asks for."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import Way
from gripway.model.passage import bar_length, rest_between
from gripway.practice.plan.course import NO_BARS, RHYTHM, SECTIONS, mostly_in
from gripway.practice.sections.day_sections import LAST_BUT_ONE, worked_on
from gripway.practice.studies.bar_rows import UPBEATS, BarRows
from gripway.practice.ways.around import Ends
from gripway.practice.ways.fitting_bars import (
    ACCENTS,
    PARTS,
    REPEATED,
    STACCATO,
    TONGUES,
    UNEVEN,
    marks_of,
)
from gripway.practice.ways.lines import is_tune
from gripway.practice.ways.phrase_ends import BREAK_MS, out_of_slur, to_arrival, to_slur_end, whole_line
from gripway.practice.ways.questions import BEATS, ENTRY, PHRASE
from gripway.practice.ways.sections import (
    LEAST_BARS,
    PHRASE_BARS,
    SECTION_BARS,
    is_busy,
    needs_of,
    parted,
    phrases,
    runs_in,
)
from gripway.practice.ways.whole_passage import Stretch, bar_of, bars_of, is_apart, rest_after

SHARES = {RHYTHM: 0.25, REPEATED: 0.6}
"""A phrase is for a way where so many of its notes are what it seeks (judgement)."""

LINE_SHARE = 0.5
"""A line has more of its notes bound to the next (judgement)."""

LEAST = 2
"""And no fewer than so many."""

ALIKE = (frozenset((*TONGUES, REPEATED, STACCATO)), frozenset((ENTRY, UPBEATS)), frozenset(BEATS))
"""Ways of which a day has one: they are work on the same thing."""

MOST_AGAIN, LEAST_WEIGHT = 2, 10
"""A day has so many sections for what is left over, none again of a phrase that wants less (judgement)."""

BARE_NOTES, FEW_NOTES = 6, 4
"""A phrase of fewer notes has no row, nor several of few together; four bars of one have from so many on."""


@dataclass(frozen=True, slots=True)
class BarePhrases(BarRows):
    """Rows for what no other row had."""

    def _bare(self, most: float, there: Sequence[Stretch], refused: Collection[str]) -> Stretch | None:
        """What no row had, the hardest and most exposed first, in the way it asks for.

        No way comes twice, but sections.
        """
        if self.day > 1 and not self.course.rows:
            return None  # a log knows of no rows
        today = {each.way for each in there}
        if sum(each.way == SECTIONS for each in there) < MOST_AGAIN:
            today.discard(SECTIONS)
        rows = [study for study in there if study.way == SECTIONS]
        for first, last in sorted(self._joined(self._bare_phrases(there)), key=self._weighs, reverse=True):
            if any(_is_in((first, last), study) for study in rows):
                continue
            for way in dict.fromkeys(self._ways_for(first, last)) or self._else_for(first, last):
                if way in (*refused, *today) or has_alike(way, today):
                    continue
                if self._is_breathless(self.tables.ways[way], (first, last)):
                    continue
                if study := self._row(self.tables.ways[way], first, last, most):
                    return study
        return None

    def _together(self, most: float, there: Sequence[Stretch]) -> Stretch | None:
        """Bars that the passage is played without, before it is played whole with them.

        In the last days those side by side, until all of them were in one row; on days before, from the
        second on, with the bars beside them where the whole is too slow to be played, on every second one.
        """
        if self.around is None or any(study.way == SECTIONS for study in there):
            return None
        drags = self.share < self.tables.figures.around_whole_share * self.around.share
        if self.left > LAST_BUT_ONE:
            joined = [self._with_neighbours(ends) for ends in self.around.ranges if drags and self.day > 1]
            had = [each[:2] for each in self.course.sections if each.day == self.day - 1]
        else:
            joined, had = [*self.around.ranges], [*self.course.rows]
        for ends in joined:
            size = len(bars_of(self.notes, *ends))
            if not LEAST_BARS <= size <= PHRASE_BARS or any(mostly_in(ends, row) for row in had):
                continue
            if study := self._row(self.tables.ways[SECTIONS], *ends, most):
                return study
        return None

    def _with_neighbours(self, ends: Ends) -> Ends:
        """Some bars with one before and after them where no long rest parts these, out of slurs."""
        (first, last), notes, figures = ends, self.notes, self.tables.figures
        if first and not is_apart(notes, first - 1, figures):
            first = out_of_slur(notes, bar_of(notes, first - 1)[0])
        if last + 1 < len(notes) and not is_apart(notes, last, figures):
            last = bar_of(notes, last + 1)[1]
        return first, last

    def _least_worked(
        self, most: float, there: Sequence[Stretch], refused: Collection[str]
    ) -> Stretch | None:
        """A phrase once more in sections: what had least work for how hard and exposed it is."""
        if SECTIONS in refused or sum(study.way == SECTIONS for study in there) >= MOST_AGAIN:
            return None
        rows = [study for study in there if study.way not in NO_BARS]
        half = (1 + self.tables.figures.notch_share) ** 0.5
        yesterday = [
            each[:2]
            for each in self.course.sections
            if each.day == self.day - 1 and each.share * half >= self._share_of(*each[:2])
        ]

        def wants(ends: Ends) -> float:
            return self._weighs(ends) / (1 + sum(mostly_in(ends, row) for row in self.course.rows))

        for ends in sorted(self._busy_phrases(), key=wants, reverse=True):
            if wants(ends) < LEAST_WEIGHT:
                return None
            if any(_is_in(ends, study) for study in rows) or any(mostly_in(ends, had) for had in yesterday):
                continue
            if study := self._row(self.tables.ways[SECTIONS], *ends, most):
                return study
        return None

    def _phrases(self) -> Sequence[tuple[int, ...]]:
        """The bars of the passage in phrases."""
        found = self.found.phrases
        if not found:
            found += phrases(self._wanted().bars, self.notes)
        return found

    def _busy_phrases(self) -> Iterator[Ends]:
        """First and last notes of the phrases that need sections."""
        wanted = self._wanted()
        needed = {number for group in wanted.groups for number in group}
        for phrase in self._phrases():
            if {*phrase} <= needed:
                yield wanted.bars[phrase[0]][0], wanted.bars[phrase[-1]][1]

    def _weighs(self, ends: Ends) -> int:
        """How hard and exposed some bars are."""
        wanted = self._wanted()
        there = zip(wanted.bars, wanted.weights, strict=True)
        return sum(weight for (first, _), weight in there if ends[0] <= first <= ends[1])

    def _joined(self, found: Iterable[Ends]) -> list[Ends]:
        """Neighbours that ask for the same first, in one row of a phrase's length at most."""
        joined: list[Ends] = []
        for first, last in found:
            if joined and joined[-1][1] + 1 == first:
                begin = joined[-1][0]
                few = len(bars_of(self.notes, begin, last)) <= PHRASE_BARS
                if few and next(self._ways_for(*joined[-1]), "") == next(self._ways_for(first, last), ""):
                    joined[-1] = begin, last
                    continue
            joined.append((first, last))
        return joined

    def _else_for(self, first: int, last: int) -> Iterator[str]:
        """What is always work: an entrance after a rest to be counted, then sections of what is hard.

        Long notes that are no tune have no more.
        """
        if self._is_line(first, last):
            return
        if first and rest_between(*self.notes[first - 1 : first + 1]) >= bar_length(self.notes[first]):
            yield ENTRY
        if (
            len(bars_of(self.notes, first, last)) >= LEAST_BARS
            and self._weighs((first, last)) >= LEAST_WEIGHT
        ):
            yield SECTIONS

    def _bare_phrases(self, there: Sequence[Stretch]) -> Iterator[Ends]:
        """First and last notes of what is played today and had no row: a phrase, or enough bars of one."""
        rows = worked_on(self.course, there)
        worked = {self.notes[at].id for first, last in rows for at in range(first, last + 1)}
        bars = self._wanted().bars

        def is_bare(number: int) -> bool:
            within = self.notes[bars[number][0] : bars[number][1] + 1]
            out = self.around is not None and self.around.leaves_out(*bars[number])
            return not out and 2 * sum(note.id in worked for note in within) < len(within)

        few: list[int] = []
        for phrase in self._phrases():
            bare = [number for number in phrase if is_bare(number)]
            whole = len(phrase) <= PHRASE_BARS and 2 * len(bare) > len(phrase)
            if bare == [*phrase] and bars[phrase[-1]][1] - bars[phrase[0]][0] + 1 < BARE_NOTES:
                few += phrase
                continue
            parts = [run for run in runs_in(phrase, bare) if self._is_much({*run} & {*bare}, bars)]
            for run in [phrase] if whole else parts:
                first, last = bars[run[0]][0], bars[run[-1]][1]
                if last - first + 1 >= (BARE_NOTES if whole else FEW_NOTES) and len(run) >= SECTION_BARS:
                    yield out_of_slur(self.notes, first), last
        for together in parted(few, bars, self.notes):
            first, last = bars[together[0]][0], bars[together[-1]][1]
            if last - first + 1 >= BARE_NOTES:
                yield first, last

    def _is_much(self, run: Collection[int], bars: Sequence[Ends]) -> bool:
        """Whether bars of a phrase that had no row are work: four, or fewer that are hard or exposed."""
        hard = sum(self._weighs(bars[number]) for number in run) >= LEAST_WEIGHT
        return len(run) >= (SECTION_BARS if hard else LEAST_BARS)

    def _ways_for(self, first: int, last: int) -> Iterator[str]:
        """What a phrase asks for, the most of it first: beats after rests, rhythm, tongue, accents, then all.

        As a whole it is for the fingers, in sections, or a line; what is neither has no more.
        """
        notes, figures = self.notes[first : last + 1], self.tables.figures
        parts = [way for way, part in PARTS.items() if part(self.notes, (first, last), figures)]
        if UPBEATS in parts:
            yield UPBEATS
        for way, share in SHARES.items():
            marks = marks_of(self.tables.ways[way].seeks, notes, figures)
            if sum(map(bool, marks)) >= max(LEAST, share * len(notes)):
                yield way
        if ACCENTS in parts:
            yield ACCENTS
        bars = [each for each in self._wanted().bars if first <= each[0] <= last]
        if is_busy(needs_of(bars, self._drilled, self.notes, figures)):
            yield SECTIONS
        if self._is_line(first, last) and is_tune(self.notes, whole_line(self.notes, (first, last), figures)):
            yield PHRASE
        if sum(map(bool, marks_of(UNEVEN, notes, figures))) >= FEW_NOTES:
            yield RHYTHM

    def _is_line(self, first: int, last: int) -> bool:
        """Whether most notes of a phrase are bound to the next, by a slur or as they are long: none apart."""
        long_ms = self.tables.figures.study_slow_ms
        played = [at for at in range(first, last + 1) if not self.notes[at].grace]
        bound = sum(
            (self.notes[at + 1].slurred and not self.notes[at + 1].grace)
            or (self.notes[at].length_ms > long_ms and rest_after(self.notes, at) < BREAK_MS)
            for at in played[:-1]
        )
        return bound > LINE_SHARE * (len(played) - 1)

    def _row(self, way: Way, first: int, last: int, most: float) -> Stretch | None:
        """Work on a phrase, from its upbeat to where it arrives; or on its bars that are for the way."""
        figures = self.tables.figures
        if part := PARTS.get(way.id):
            first, last = part(self.notes, (first, last), figures) or (first, last)
        if way.id == PHRASE:
            first, last = whole_line(self.notes, (first, last), figures)
        end = to_arrival(self.notes, to_slur_end(self.notes, last))
        return self._lasting(way, self._working(first, end, self.spots[0].quarters, way.share), most)


def _is_in(ends: Ends, study: Stretch) -> bool:
    """Whether a row has most of a phrase, or sections have a part of it."""
    row = study.first, study.last
    return mostly_in(ends, row) or (study.way == SECTIONS and mostly_in(row, ends))


def has_alike(way: str, ways: Collection[str]) -> bool:
    """Whether a day has a way that is work on the same thing."""
    return any(way in alike and alike & {*ways} - {way} for alike in ALIKE)
