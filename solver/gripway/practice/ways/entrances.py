"""Where a part comes in after rests: the note that enters, first what is exposed."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.phrase_ends import to_arrival
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.way_conditions import QUIET
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

REST_BARS = Fraction(3, 4)
"""A rest from so many bars on is counted: the note after it enters (judgement)."""

LEAST_BARS, USUAL_BARS, MOST_BARS = 2, 4, 6
"""Bars in which the phrase of an entrance ends, and how many it has where it may (judgement)."""

HELD_BARS = Fraction(3, 2)
"""A note that is held for so many bars ends a phrase (judgement)."""

SLUR_BARS = 3
"""A slur that ends within so many bars is played to its end (judgement)."""

LONG_REST_BARS = 8
"""After so many bars of rest a part comes in cold: such entrances come first (judgement)."""

LEAST_NOTES = 4
"""Fewer notes are no entrance to work on; with so many it ends at the next counted rest (judgement)."""


def entering(notes: Sequence[Note], before_bars: int | None = 0) -> list[int]:
    """The notes that enter after a counted rest, each once, what is exposed first.

    That is after the longest of long rests; then, those after less than a bar last, soft, off the beat,
    high, after a longer rest.

    The first note enters where so many empty bars stand before it, or where it is soft and begins a slur;
    what else came before is not known. `before_bars` is None where it has an upbeat or a note from before.
    """
    rests = {place: rest for place in range(1, len(notes)) if (rest := _rest_bars(notes, place)) >= REST_BARS}
    if notes and before_bars is not None and (before_bars or _begins_softly(notes)):
        rests[0] = Fraction(before_bars)
    written = {notes[place].id: place for place in sorted(rests, reverse=True) if not notes[place].slurred}

    def exposed(place: int) -> tuple[Fraction, bool, bool, bool, bool, Fraction, int]:
        note, rest = notes[place], rests[place]
        long = rest if rest >= LONG_REST_BARS else Fraction(0)
        on = not note.at % (felt_beat(note.metre) / 4)
        loud, low = note.dynamic not in QUIET, note.pitch.number < THIRD_OCTAVE
        return -long, 0 < rest < 1, loud, on, low, -rest, place

    return sorted(written.values(), key=exposed)


def entrances(
    notes: Sequence[Note], figures: PracticeFigures, before_bars: int | None = 0
) -> tuple[tuple[int, int], ...]:
    """First and last notes from a note that enters to the end of a bar, or up to the next counted rest.

    A soft one that comes in cold may have few notes, but more than one. None is of a row of lone notes, or
    the same as before.
    """
    found: list[tuple[int, int]] = []
    for place in entering(notes, before_bars):
        last = _end(notes, place, figures)
        new = all(last < begin or place > end for begin, end in found)
        cold = is_cold(notes, place)
        soft = cold and notes[place].dynamic in QUIET
        played = sum(not note.grace for note in notes[place : last + 1])
        enough = played >= LEAST_NOTES or (soft and played > 1)
        if new and enough and (cold or not (_is_of_hits(notes, place) or _is_again(notes, place))):
            found.append((place, last))
    return tuple(found)


def _is_of_hits(notes: Sequence[Note], place: int) -> bool:
    """Whether one that enters, or the note before it, stands alone and no longer rest was before it."""
    rest = _rest_bars(notes, place) if place else Fraction(0)
    before = place > 1 and _rest_bars(notes, place - 1) >= rest > 0
    return before or (place + 1 < len(notes) and _rest_bars(notes, place + 1) >= rest > 0)


def _is_again(notes: Sequence[Note], place: int) -> bool:
    """Whether it begins as the notes just before it did: the figure goes on."""
    parts = notes[max(0, place - LEAST_NOTES) : place], notes[place : place + LEAST_NOTES]
    one, other = ([(note.pitch, note.length) for note in part] for part in parts)
    return one == other and len(one) == LEAST_NOTES


def _begins_softly(notes: Sequence[Note]) -> bool:
    """Whether the passage begins with a soft note under a slur of its own."""
    first = notes[0]
    new = first.dynamic in QUIET and not (first.slurred or first.held_over or first.grace)
    return new and len(notes) > 1 and notes[1].slurred


def is_cold(notes: Sequence[Note], place: int) -> bool:
    """Whether a note enters after a long rest of the passage."""
    return place > 0 and _rest_bars(notes, place) >= LONG_REST_BARS


def _end(notes: Sequence[Note], place: int, figures: PracticeFigures) -> int:
    """The last note of the phrase: where it comes to rest most, else that of a slur, else that of a bar.

    It ends after `LEAST_BARS` or more, near `USUAL_BARS`, or with a counted rest after notes enough.
    """
    bar = bar_length(notes[place])
    ends: list[tuple[Fraction, bool, Fraction, int]] = []
    last = place
    while last + 1 < len(notes) and goes_on(notes, last, last + 1):
        enough = last + 1 - place >= LEAST_NOTES
        long = rest_after(notes, last) > figures.rest_most_s * 1000
        if long or (enough and _rest_bars(notes, last + 1) >= REST_BARS):
            return last
        lasts = (notes[last + 1].onset - notes[place].onset) / bar
        comes_to_rest = _rest_at(notes, last, figures)
        if enough and lasts >= LEAST_BARS and (comes_to_rest or _begins_slur(notes, last + 1)):
            closes = last == bar_of(notes, last)[1]
            ends.append((comes_to_rest, closes, -abs(lasts - USUAL_BARS), last))
        if lasts >= MOST_BARS or (ends and comes_to_rest and notes[last + 1].dynamic_mark):
            break
        last += 1
    else:
        return last
    if ends:
        return max(ends)[-1]
    most = notes[place].onset + USUAL_BARS * bar
    return _usual_end(
        notes, max((at for at in range(place, last) if notes[at + 1].onset <= most), default=last)
    )


def _rest_at(notes: Sequence[Note], place: int, figures: PracticeFigures) -> Fraction:
    """How long the music comes to rest with a note (whole notes): a rest, and a note that is held long."""
    note, after = notes[place : place + 2]
    rest = rest_between(note, after) if rest_after(notes, place) >= figures.breath_rest_ms else Fraction(0)
    held = note.length if note.length >= HELD_BARS * bar_length(note) and not after.slurred else Fraction(0)
    return rest + held


def _usual_end(notes: Sequence[Note], place: int) -> int:
    """Where a line goes that has no end: to that of a slur or bar near a note, or to its downbeat."""
    slur = place
    while slur + 1 < len(notes) and notes[slur + 1].slurred and goes_on(notes, slur, slur + 1):
        slur += 1
    begin, end = bar_of(notes, place)
    if slur > end and notes[slur].onset - notes[place].onset <= SLUR_BARS * bar_length(notes[place]):
        return slur
    if place == end or slur > place:
        return to_arrival(notes, end)
    beat = felt_beat(notes[place].metre) / 4
    rests = rest_between(*notes[place : place + 2]) > 0 or notes[place].length >= beat
    return place if rests or notes[place].slurred else begin


def _begins_slur(notes: Sequence[Note], place: int) -> bool:
    """Whether a slur begins with a bar, after another that ends with a note that is no short one."""
    note = notes[place]
    slurred = place + 1 < len(notes) and notes[place + 1].slurred
    rests = notes[place - 1].length >= felt_beat(note.metre) / 4 and notes[place - 1].slurred
    return slurred and rests and not (note.slurred or note.at or note.grace)


def _rest_bars(notes: Sequence[Note], place: int) -> Fraction:
    """The rest before a note, in bars."""
    before, note = notes[place - 1], notes[place]
    if not goes_on(notes, place - 1, place):
        return Fraction(0)
    return rest_between(before, note) / bar_length(note)
