"""Rests that are counted: the notes that come in after them, and which bars of a phrase are for that."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.sections import LEAST_NOTES
from gripway.practice.ways.uneven import just_before
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

COUNTED_MS = 450.0
"""In a shorter rest nobody counts and breathes (judgement)."""

ENTERS_NOTES = 3
"""So many notes after a rest begin something (judgement)."""

LONE_NOTES, LONE_BARS = 4, 4
"""So many notes alone between rests are a row to be counted, over no longer rests (judgement)."""

NO_REST, SHORT_REST, COUNTED, APART = range(4)
"""What stands between two notes."""


def _upbeat(notes: Sequence[Note], place: int) -> bool:
    """A note off the beat after a rest to be counted and breathed in, of a beat at least."""
    note, before = notes[place], just_before(notes, place)
    beat = felt_beat(note.metre) / 4
    if not before or not note.at % beat or rest_after(notes, place - 1) < COUNTED_MS:
        return False
    rest = rest_between(before, note)
    return note.at // beat - ceil((note.at - rest) / beat) >= 1


def after_rests(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that come in off the beat after a rest, and those alone between rests on changing beats."""
    alone = {place for row in lone_rows(notes) for place in row}
    return [int(place in alone or _upbeat(notes, place)) for place in range(len(notes))]


def lone_rows(notes: Sequence[Note]) -> list[list[int]]:
    """Rows of notes of a beat at most, alone between rests, one of them counted, that do not come evenly.

    Grace notes are no part of it, nor does a row go on over many bars. Each that is written comes once.
    """
    played = [place for place, note in enumerate(notes) if not note.grace]
    rests = [_rest_kind(notes, *pair) for pair in pairwise(played)]
    rows: list[list[int]] = [[]]
    for place, before, after in zip(played, (APART, *rests), (*rests, APART), strict=True):
        short = notes[place].length <= felt_beat(notes[place].metre) / 4
        alone = short and min(before, after) > NO_REST and max(before, after) >= COUNTED
        if rows[-1] and (before == APART or not alone):
            rows.append([])
        if alone:
            rows[-1].append(place)
    written = {notes[row[0]].id: row for row in reversed(rows) if _is_uneven_row(notes, row)}
    return [*written.values()]


def _rest_kind(notes: Sequence[Note], place: int, after: int) -> int:
    """What stands between two notes: no rest, a short one, one of a beat that can be counted, many bars."""
    rest = rest_between(notes[place], notes[after])
    goes = all(goes_on(notes, at, at + 1) for at in range(place, after))
    if not goes or rest > LONE_BARS * bar_length(notes[place]):
        return APART
    rest_ms = notes[after].onset_ms - notes[place].onset_ms - notes[place].length_ms
    if rest >= felt_beat(notes[after].metre) / 4 and rest_ms >= COUNTED_MS:
        return COUNTED
    return SHORT_REST if rest > 0 else NO_REST


def _is_uneven_row(notes: Sequence[Note], row: Sequence[int]) -> bool:
    """Whether there are notes enough that come on changing beats, now sooner, now later."""
    gaps = {notes[after].onset - notes[place].onset for place, after in pairwise(row)}
    return len(row) >= LONE_NOTES and len(gaps) > 1 and len({notes[place].at for place in row}) > 1


def _enters(notes: Sequence[Note], place: int) -> bool:
    """A note after such a rest that begins something, on the beat too, or is short and alone.

    The next comes before the next beat, or with it, as one of `ENTERS_NOTES` or more.
    """
    if _upbeat(notes, place):
        return True
    note, before = notes[place], just_before(notes, place)
    beat = felt_beat(note.metre) / 4
    if not before or rest_between(before, note) < beat or rest_after(notes, place - 1) < COUNTED_MS:
        return False
    run = notes[place : place + ENTERS_NOTES]
    gap = run[1].onset - note.onset if len(run) > 1 else beat
    if gap >= note.length + beat:
        return note.length < beat
    bound = all(rest_between(*each) <= 0 for each in pairwise(run))
    return gap < beat or (gap == beat and bound and len(run) == ENTERS_NOTES)


def counted_bars(
    notes: Sequence[Note], window: tuple[int, int], figures: PracticeFigures
) -> tuple[int, int] | None:
    """Bars of a phrase from the first counted rest within it to the last note that enters after one.

    They go on as long as each bar has one; None where there are few notes, or not one in two bars enters.
    """
    first, last = window
    there = [place for place in range(first, last + 1) if _enters(notes, place)]
    while last + 1 < len(notes) and rest_after(notes, last) <= figures.rest_most_s * 1000:
        after = range(last + 1, bar_of(notes, last + 1)[1] + 1)
        more = [place for place in after if _enters(notes, place)]
        if not (more and goes_on(notes, last, after[0])):
            break
        there, last = [*there, *more], after[-1]
    if len(there) < 2:
        return None
    begin, end = max(first, bar_of(notes, there[0] - 1)[0]), bar_of(notes, there[-1])[1]
    bars = (notes[there[-1]].onset - notes[there[0]].onset) / bar_length(notes[begin])
    return (begin, end) if bars <= 2 * (len(there) - 1) and end - begin + 1 >= LEAST_NOTES else None
