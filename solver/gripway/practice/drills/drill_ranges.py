"""Overlapping groups around a change as it stands in the part: beat, half bar, bar."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.practice.cells.cells import Cell
from gripway.practice.cells.short_passages import QUARTER, together
from gripway.route.result import RouteNote

LONGEST = 17
"""Notes of the longest group: a bar of sixteenths and the first note of the next."""

SPANS = (QUARTER, 2 * QUARTER)
"""A beat and half a bar of four quarters; bars themselves are known by their numbers."""


def windows(notes: Sequence[RouteNote], cell: Cell) -> list[tuple[int, int]]:
    """First and last note of each group, shortest first: beat, half bar, bar, to the first note beyond.

    Beats are counted from the start of the bar. Groups that would be longer than LONGEST, that
    have a note without a grip, or that are the same as a shorter one are left out.
    """
    start, end = cell.first, cell.first + len(cell.notes) - 1
    found: list[tuple[int, int]] = []
    for span in (*SPANS, None):
        first, last = _group(notes, start, end, span)
        fits = last - first < LONGEST and all(note.candidate for note in notes[first : last + 1])
        if fits and (first, last) not in found:
            found.append((first, last))
    return found


def _group(notes: Sequence[RouteNote], start: int, end: int, span: Fraction | None) -> tuple[int, int]:
    """The notes from `start` to `end` filled up to whole spans (None: bars), and the first note beyond.

    A long rest ends a group.
    """
    first, last = start, end
    while together(notes, first - 1) and _slot(notes, first - 1, span) == _slot(notes, start, span):
        first -= 1
    while together(notes, last) and _slot(notes, last + 1, span) == _slot(notes, end, span):
        last += 1
    return first, last + 1 if together(notes, last) else last


def _slot(notes: Sequence[RouteNote], place: int, span: Fraction | None) -> tuple[str, Fraction]:
    """The bar a note is in and which span of it; without bar numbers, bars of four quarters."""
    note = notes[place].note
    bar = note.bar or str(note.onset // 1)
    if span is None:
        return bar, Fraction(0)
    begins = _bar_begins(notes, place) if note.bar else note.onset // 1 * Fraction(1)
    return bar, Fraction((note.onset - begins) // span)


def _bar_begins(notes: Sequence[RouteNote], place: int) -> Fraction:
    """Onset of the first note of a bar, the best that is known of where it begins."""
    bar = notes[place].note.bar
    while place > 0 and notes[place - 1].note.bar == bar:
        place -= 1
    return notes[place].note.onset
