"""Overlapping groups around a change as it stands in the part: beat, half bar, bar."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.beat_grid import QUARTER, BeatGrid
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import is_ending
from gripway.practice.cells.short_passages import TRILL, spacing, together
from gripway.route.result import RouteNote

LEAST_NOTES = 3
"""A group has so many notes at least where the part goes on: two are the change alone."""

MOST_BEYOND = 4
"""So many notes further on a group looks for one on a beat to arrive on (judgement)."""

LONGEST = 17
"""Notes of the longest group: a bar of sixteenths and the first note of the next."""


def windows(
    notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid, figures: PracticeFigures
) -> list[tuple[int, int]]:
    """First and last note of each group, shortest first: beat, half bar, bar, to the first note beyond.

    Beats are counted from the start of the bar. Groups that would be longer than LONGEST, that
    have a note without a grip, or that have no more than one note less than the next are left out. A change
    that is hardest in grace notes is met where it is hard in plain ones.
    """
    cell = in_plain_notes(notes, cell, figures)
    start, end = cell.first, cell.first + len(cell.notes) - 1
    found: list[tuple[int, int]] = []
    for span in (grid.beat, grid.half_bar, None):
        first, last = _group(notes, start, end, span, grid)
        fits = last - first < LONGEST and all(note.candidate for note in notes[first : last + 1])
        if not fits:
            continue
        if found and last - first <= found[-1][1] - found[-1][0] + 1:
            found.pop()
        found.append((first, last))
    return [_from_the_beat_before(notes, cell, *each, grid) for each in found] if len(found) == 1 else found


def _from_the_beat_before(
    notes: Sequence[RouteNote], cell: Cell, first: int, last: int, grid: BeatGrid
) -> tuple[int, int]:
    """A group that is the change and one note more, with the beat before it: else it is a drill already."""
    begins, beat = first == cell.first + cell.worst - 1, first - 1
    if not begins or last - first >= LEAST_NOTES or not together(notes, beat):
        return first, last
    while together(notes, beat - 1) and _slot(notes, beat - 1, grid.beat) == _slot(notes, beat, grid.beat):
        beat -= 1
    plain = not any(each.note.grace or _is_trill(each) for each in notes[beat:first])
    return (beat if plain else first), last


def in_plain_notes(notes: Sequence[RouteNote], cell: Cell, figures: PracticeFigures) -> Cell:
    """A cell that is hardest in grace notes where the part has it quickest in plain ones, the most in a row.

    As it is where it is hardest in plain notes, more than two, and where it is hard in grace notes only.
    """

    def plain(first: int) -> int:
        """How many plain notes follow on around a place of the cell; 0 with a grace note in it."""
        last = first + len(cell.notes) - 1
        if any(note.note.grace for note in notes[first : last + 1]):
            return 0
        while together(notes, first - 1) and not notes[first - 1].note.grace:
            first -= 1
        while together(notes, last) and not notes[last + 1].note.grace:
            last += 1
        return last - first + 1

    own = plain(cell.first)
    if cell.trill or own >= LEAST_NOTES:
        return cell
    whole = (each.index for each in cell.places if each.whole and not each.other_grips)
    places = [first for first in whole if plain(first) > own and _is_hard(notes, cell, first, figures)]
    if not places:
        return cell
    best = min(places, key=lambda first: (spacing(notes, first + cell.worst - 1), -plain(first)))
    return replace(cell, notes=tuple(notes[best : best + len(cell.notes)]))


def _is_hard(notes: Sequence[RouteNote], cell: Cell, first: int, figures: PracticeFigures) -> bool:
    """Whether the worst change of a cell is hard in the time it has at another of its places."""
    begin = first + cell.worst - 1
    gap_ms = notes[begin + 1].note.onset_ms - notes[begin].note.onset_ms
    return cell.change.needed_ms >= figures.hard_load * gap_ms


def bar_beside(notes: Sequence[RouteNote], cell: Cell, figures: PracticeFigures) -> str:
    """The bars of the change where `windows` have it, if they are not those of the cell; else empty."""

    def bars(of: Cell) -> str:
        return "-".join(dict.fromkeys(each.note.bar for each in of.notes[of.worst - 1 : of.worst + 1]))

    there = bars(in_plain_notes(notes, cell, figures))
    return "" if there == bars(cell) else there


def _group(
    notes: Sequence[RouteNote], start: int, end: int, span: Fraction | None, grid: BeatGrid
) -> tuple[int, int]:
    """The notes from `start` to `end` filled up to whole spans (None: bars), and the note they arrive on.

    That is the first one beyond, or the next one on a beat; or the last of them where it opens a span and is
    held for a beat. A long rest ends a group, and so does a trill after it, which has a figure of its own;
    none begins with the ending of a trill, nor with a note that only goes before a rest, and none ends off
    the beat after a rest.
    """

    def goes_on(last: int) -> bool:
        return together(notes, last) and not _is_trill(notes[last + 1])

    first, last = start, end
    while together(notes, first - 1) and _slot(notes, first - 1, span) == _slot(notes, start, span):
        first -= 1
    while goes_on(last) and _slot(notes, last + 1, span) == _slot(notes, end, span):
        last += 1
    first = _with_its_trill(notes, first)
    while first < start and _rest_after(notes, first) >= QUARTER:
        first += 1
    if last - first >= LEAST_NOTES - 1 and _is_arrival(notes, last, grid, span):
        return first, last
    if last - first >= LEAST_NOTES - 1 and _closes(notes, last, grid):
        return first, last
    beyond = last
    while goes_on(beyond):
        beyond += 1
        if not notes[beyond].note.grace and grid.place_of(notes[beyond].note) % grid.beat == 0:
            return first, beyond
        if beyond - last > MOST_BEYOND:
            break
    last = last + 1 if goes_on(last) else last
    while last > end and _rest_after(notes, last - 1) > 0 and grid.place_of(notes[last].note) % grid.beat:
        last -= 1
    return first, last


def _is_arrival(notes: Sequence[RouteNote], place: int, grid: BeatGrid, span: Fraction | None) -> bool:
    """Whether a note opens a span (None: a bar) and is held for a beat: a group arrives on it."""
    note = notes[place].note
    return not note.grace and grid.place_of(note) % (span or grid.bar) == 0 and note.length >= grid.beat


def _closes(notes: Sequence[RouteNote], place: int, grid: BeatGrid) -> bool:
    """Whether a note on a beat has a rest after it: nothing goes on there."""
    on_beat = not notes[place].note.grace and grid.place_of(notes[place].note) % grid.beat == 0
    return on_beat and place + 1 < len(notes) and _rest_after(notes, place) > 0


def _rest_after(notes: Sequence[RouteNote], place: int) -> Fraction:
    """The rest after a note; none after a grace note."""
    note = notes[place].note
    return Fraction(0) if note.grace else spacing(notes, place) - note.length


def _with_its_trill(notes: Sequence[RouteNote], first: int) -> int:
    """Where a group begins: with the trill whose ending it would else begin with."""
    before, plain = first, [note.note for note in notes]
    while (plain[before].grace or is_ending(plain, before)) and together(notes, before - 1):
        before -= 1
    return before if before < first and _is_trill(notes[before]) else first


def _is_trill(note: RouteNote) -> bool:
    """Whether a note is trilled."""
    return note.note.ornament is not None and note.note.ornament.kind == TRILL


def _slot(notes: Sequence[RouteNote], place: int, span: Fraction | None) -> tuple[str, Fraction]:
    """The bar a note is in and which span of it; without bar numbers, bars of four quarters."""
    note = notes[place].note
    bar = note.bar or str(note.onset // 1)
    if span is None:
        return bar, Fraction(0)
    return bar, Fraction((note.at if note.bar else note.onset % 1) // span)
