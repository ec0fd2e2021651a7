"""Overlapping groups around a change as it stands in the part: beat, half bar, bar."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.short_passages import TRILL, together
from gripway.route.result import RouteNote

LONGEST = 17
"""Notes of the longest group: a bar of sixteenths and the first note of the next."""


def windows(notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid) -> list[tuple[int, int]]:
    """First and last note of each group, shortest first: beat, half bar, bar, to the first note beyond.

    Beats are counted from the start of the bar. Groups that would be longer than LONGEST, that
    have a note without a grip, or that are the same as a shorter one are left out.
    """
    start, end = cell.first, cell.first + len(cell.notes) - 1
    found: list[tuple[int, int]] = []
    for span in (grid.beat, grid.half_bar, None):
        first, last = _group(notes, start, end, span)
        fits = last - first < LONGEST and all(note.candidate for note in notes[first : last + 1])
        if fits and (first, last) not in found:
            found.append((first, last))
    return found


def _group(notes: Sequence[RouteNote], start: int, end: int, span: Fraction | None) -> tuple[int, int]:
    """The notes from `start` to `end` filled up to whole spans (None: bars), and the first note beyond.

    A long rest ends a group; none begins with the ending of a trill.
    """
    first, last = start, end
    while together(notes, first - 1) and _slot(notes, first - 1, span) == _slot(notes, start, span):
        first -= 1
    while together(notes, last) and _slot(notes, last + 1, span) == _slot(notes, end, span):
        last += 1
    first = _with_its_trill(notes, first)
    last = last + 1 if together(notes, last) else last
    while notes[last].note.grace and together(notes, last):
        last += 1
    return first, last


def _with_its_trill(notes: Sequence[RouteNote], first: int) -> int:
    """Where a group begins: with the trill whose ending it would else begin with."""
    before = first
    while notes[before].note.grace and together(notes, before - 1):
        before -= 1
    ornament = notes[before].note.ornament
    return before if before < first and ornament is not None and ornament.kind == TRILL else first


def _slot(notes: Sequence[RouteNote], place: int, span: Fraction | None) -> tuple[str, Fraction]:
    """The bar a note is in and which span of it; without bar numbers, bars of four quarters."""
    note = notes[place].note
    bar = note.bar or str(note.onset // 1)
    if span is None:
        return bar, Fraction(0)
    return bar, Fraction((note.at if note.bar else note.onset % 1) // span)
