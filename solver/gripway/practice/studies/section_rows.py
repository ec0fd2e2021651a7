"""Sections of a day: when they come first, and which bars are left for them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import Way
from gripway.practice.plan.course import (
    NO_BARS,
    PLACE,
    SECTIONS,
    mostly_in,
)
from gripway.practice.sections.day_sections import (
    LAST_BUT_ONE,
    MOST_ROWS,
    DaySections,
    Wanted,
    choice_of,
    wanted_in,
)
from gripway.practice.studies.hard_bars import HardBars
from gripway.practice.ways.phrase_ends import from_upbeat, out_of_slur, to_slur_end
from gripway.practice.ways.questions import BEATS, ENTRY, PHRASE, SLURS
from gripway.practice.ways.whole_passage import (
    Stretch,
)


@dataclass(frozen=True, slots=True)
class SectionRows(HardBars):
    """Sections of a day, beside what it has."""

    def _is_due(self) -> bool:
        """Whether sections come first."""
        return self._sections().is_due

    def _is_full(self) -> bool:
        """Whether a day that begins with the breaths has no time for long notes beside its sections."""
        return self._is_due() and self.minutes < self.tables.figures.day_usual_min

    def _before_all(self, most: float, there: Sequence[Stretch], *, hard: bool) -> Stretch | None:
        """What the last day but one has first: what holds the passage back, what no row had, what lacks."""
        if hard and (place := self._urgent(most, there) or self._left_out(most, there)):
            return place
        met = any(study.way == PLACE for study in there)
        if hard and not met and (place := self._place(most, there, new=True)):
            return place
        if study := self._more_sections(there, most, new=True):
            return study
        if hard and (place := self._place(most, there, new=True)):
            return place
        return self._more_sections(there, most)

    def _more_sections(self, there: Sequence[Stretch], most: float, *, new: bool = False) -> Stretch | None:
        """Sections where some bars are left after those of today, `new`: that no row has worked on."""
        rows = sum(study.way == SECTIONS for study in there)
        full = rows >= MOST_ROWS and self.left > LAST_BUT_ONE
        if full or most < self.tables.figures.item_least_min:
            return None
        sections = self._sections(there)
        lacks = sections.choice.unworked() if new else sections.is_lacking
        return self._in_sections(self.tables.ways[SECTIONS], most, there) if lacks else None

    def _in_sections(self, way: Way, most: float, there: Sequence[Stretch] = ()) -> Stretch | None:
        """The bars that need it most, as many as there is time for; the next day goes on with the others.

        None that the day works on in another row, nor that have an entrance, a line or a rhythm of the day in
        them; nor do they begin or end within a slur.
        """
        today = [(study.first, study.last) for study in there if study.way not in (*NO_BARS, SLURS)]
        within = [(each.first, each.last) for each in there if each.way in (ENTRY, PHRASE, *BEATS)]
        for ends, times in self._sections(there).pieces(way):
            there_already = any(mostly_in(ends, each) for each in today)
            if there_already or any(mostly_in(each, ends) for each in within):
                continue
            first = out_of_slur(self.notes, from_upbeat(self.notes, ends[0]))
            working = self._working(first, to_slur_end(self.notes, ends[1]), self.spots[0].quarters)
            if made := self._lasting(replace(way, times=times), working, most):
                return made
        return None

    def _sections(self, there: Sequence[Stretch] = ()) -> DaySections:
        """The sections of the day, beside what it has."""
        figures, course = self.tables.figures, self.course
        choice = choice_of(
            self.notes,
            self._wanted(),
            course,
            there,
            self.day,
            self._share_of,
            figures,
            closes=self.left == 1,
        )
        return DaySections(choice, self.day, self.left, course, self.is_long)

    def _wanted(self) -> Wanted:
        """What wants sections, found once for all days with the same hard changes."""
        hard = frozenset(self._drilled | {place.first for place in self.places if not place.nearly})
        if (hard, self.around) not in self.found.wanted:
            self.found.wanted[hard, self.around] = wanted_in(
                self.notes, hard, self.around, self.tables.figures
            )
        return self.found.wanted[hard, self.around]
