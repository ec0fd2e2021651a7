"""Where a part comes in after rests: the note that enters, first what is exposed."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.way_conditions import QUIET
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

REST_BARS = Fraction(3, 4)
"""A rest from so many bars on is counted: the note after it enters (judgement)."""

MORE_BARS = 3
"""Bars that an entrance goes on for, after its own (judgement)."""

LONG_REST_BARS = 8
"""After so many bars of rest a part comes in cold: such entrances come first (judgement)."""

LEAST_NOTES = 4
"""Fewer notes are no entrance to work on; with so many it ends at the next counted rest (judgement)."""


def entering(notes: Sequence[Note], before_bars: int = 0) -> list[int]:
    """The notes that enter after a counted rest, each once, what is exposed first.

    That is after the longest of long rests; then soft, off the beat, high, after a longer rest.

    The first note enters where so many empty bars stand before it, or where it is soft and begins a slur;
    what else came before is not known.
    """
    rests = {place: rest for place in range(1, len(notes)) if (rest := _rest_bars(notes, place)) >= REST_BARS}
    if notes and (before_bars or _begins_softly(notes)):
        rests[0] = Fraction(before_bars)
    written = {notes[place].id: place for place in sorted(rests, reverse=True) if not notes[place].slurred}

    def exposed(place: int) -> tuple[Fraction, bool, bool, bool, Fraction, int]:
        note, rest = notes[place], rests[place]
        long = rest if rest >= LONG_REST_BARS else Fraction(0)
        on = not note.at % (felt_beat(note.metre) / 4)
        return -long, note.dynamic not in QUIET, on, note.pitch.number < THIRD_OCTAVE, -rest, place

    return sorted(written.values(), key=exposed)


def entrances(
    notes: Sequence[Note], figures: PracticeFigures, before_bars: int = 0
) -> tuple[tuple[int, int], ...]:
    """First and last notes from a note that enters to the end of a bar, or up to the next counted rest."""
    found: list[tuple[int, int]] = []
    for place in entering(notes, before_bars):
        last = _end(notes, place, figures)
        new = all(last < begin or place > end for begin, end in found)
        if new and sum(not note.grace for note in notes[place : last + 1]) >= LEAST_NOTES:
            found.append((place, last))
    return tuple(found)


def _begins_softly(notes: Sequence[Note]) -> bool:
    """Whether the passage begins with a soft note under a slur of its own."""
    first = notes[0]
    new = first.dynamic in QUIET and not (first.slurred or first.held_over or first.grace)
    return new and len(notes) > 1 and notes[1].slurred


def is_cold(notes: Sequence[Note], place: int) -> bool:
    """Whether a note enters after a long rest of the passage."""
    return place > 0 and _rest_bars(notes, place) >= LONG_REST_BARS


def _end(notes: Sequence[Note], place: int, figures: PracticeFigures) -> int:
    """The last note of the bars that go on from a note: `MORE_BARS`, and no counted rest after enough."""
    last = bar_of(notes, place)[1]
    for _ in range(MORE_BARS):
        after = last + 1
        if after == len(notes) or not goes_on(notes, last, after):
            break
        if rest_after(notes, last) > figures.rest_most_s * 1000:
            break
        if _rest_bars(notes, after) >= REST_BARS and after - place >= LEAST_NOTES:
            break
        last = bar_of(notes, after)[1]
    if last == len(notes) - 1 or not notes[last + 1].slurred or notes[last].slurred:
        return last
    return last - 1 if last - place >= LEAST_NOTES else bar_of(notes, last + 1)[1]  # no first note of a slur


def _rest_bars(notes: Sequence[Note], place: int) -> Fraction:
    """The rest before a note, in bars."""
    before, note = notes[place - 1], notes[place]
    if not goes_on(notes, place - 1, place):
        return Fraction(0)
    return rest_between(before, note) / bar_length(note)
