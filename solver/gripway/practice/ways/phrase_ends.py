"""Where work on some bars begins and ends: with the upbeat, on the note that the phrase goes to.

What it says: the first note (its upbeat, the note a slur begins on), the last (the first note of the next bar
where no rest comes before it), and where a new phrase may begin.
Why it matters: work that stops a note early trains a stop; work that begins late trains no beginning.
Example: four sixteenths before a bar line are played on to the note after it.
"""

from collections.abc import Sequence
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, last_bar
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.around import Ends
from gripway.practice.ways.whole_passage import bar_of, bars_of, goes_on, rest_after
from gripway.score.reading.expression_words import COURSE, kind_of

UPBEAT_REST_MS = 100.0
"""An upbeat has a rest before it, no shorter than this (judgement)."""

BREAK_MS = 30.0
"""A rest no longer than this is none."""

LONG_NOTE = 2
"""A note that lasts so many times as long as most may end a phrase (judgement)."""

MARKED, HELD, NEW_SLUR = 0, 1, 2
"""What a phrase begins with, the surest first: a mark or a word, after a long note, with its own slur."""


def from_upbeat(notes: Sequence[Note], first: int) -> int:
    """Where work begins whose first bar has an upbeat, or is slurred from the bar before.

    That is the first note of the slur, the one held over the bar line, or the first after a rest within a
    beat; a bar before at most.
    """
    begin = bar_of(notes, first)[0]
    if begin != first or not first or not goes_on(notes, first - 1, first):
        return first
    if notes[first].at and is_held_over(notes, first - 1):
        return first - 1
    earliest = bar_of(notes, first - 1)[0]
    if notes[first].slurred:
        place = first
        while place > earliest and notes[place].slurred:
            place -= 1
        return first if notes[place].slurred else place
    beat, upbeat = felt_beat(notes[first].metre) / 4, first
    while upbeat > earliest and notes[first].onset - notes[upbeat - 1].onset <= beat:
        upbeat -= 1
        if not upbeat or rest_after(notes, upbeat - 1) >= UPBEAT_REST_MS:
            return upbeat
    return first


def out_of_slur(notes: Sequence[Note], first: int) -> int:
    """The first note of a bar that is not slurred from the one before, or else the first."""
    free = (place for place in range(first, bar_of(notes, first)[1] + 1) if not notes[place].slurred)
    return next(free, first)


def is_held_over(notes: Sequence[Note], place: int) -> bool:
    """Whether a note is held over the bar line into the bar of the next, no further."""
    here = notes[place]
    if not here.metre or here.bar == notes[place + 1].bar or rest_after(notes, place) > BREAK_MS:
        return False
    return 1 < (here.at + here.length) / bar_length(here) <= 2


def to_arrival(notes: Sequence[Note], last: int) -> int:
    """The note on which work ends that has a bar's last note: the first of the next where no rest is between.

    A note that is held over the bar line is that itself, as is the first of a bar.
    """
    here, after = notes[last], last + 1
    begins = bar_of(notes, last)[0] == last and last > 0 and not here.at
    if begins or after == len(notes) or notes[after].bar == here.bar:
        return last
    if here.metre and here.at + here.length > bar_length(here):
        return to_slur_end(notes, last)
    if not goes_on(notes, last, after) or rest_after(notes, last) > BREAK_MS:
        return last
    while notes[after].grace and after + 1 < len(notes):
        after += 1
    return after


def to_slur_end(notes: Sequence[Note], last: int) -> int:
    """The last note of the slur that goes on from a note: of one over more than a bar the next note alone."""
    end = last
    while end + 1 < len(notes) and notes[end + 1].slurred and goes_on(notes, end, end + 1):
        if notes[end + 1].bar not in (last_bar(notes[last]), notes[last + 1].bar):
            return last + 1
        end += 1
    return end


def ends_line(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a line ends with a note: a rest follows, none within a slurred line no longer than its note."""
    if not goes_on(notes, place, place + 1):
        return True
    rest_ms = rest_after(notes, place)
    if rest_ms < figures.breath_rest_ms:
        return False
    through = notes[place].slurred and rest_ms < figures.study_rest_ms
    return not through or rest_ms > max(notes[place].length_ms, figures.study_slow_ms) + 1


def whole_line(notes: Sequence[Note], ends: Ends, figures: PracticeFigures) -> Ends:
    """The line that most notes of a phrase are of: from where it begins, over no rest that is cut short.

    A phrase stays as it is whose line is longer than is worked on whole.
    """
    cuts = [at + 1 for at in range(*ends) if rest_after(notes, at) > figures.rest_most_s * 1000]
    parts = [*zip((ends[0], *cuts), (*(cut - 1 for cut in cuts), ends[1]), strict=True)]
    first, last = max(parts, key=lambda part: part[1] - part[0])
    begin, long_ms = first, long_of(notes, (first, last))
    while begin and not ends_line(notes, begin - 1, figures):
        if opening_of(notes, begin, long_ms) in (MARKED, HELD):
            break
        begin -= 1
    fits = len(bars_of(notes, begin, last)) <= figures.line_most_bars
    return (begin if fits else first, last)


def long_of(notes: Sequence[Note], ends: Ends) -> float:
    """From how long (ms) a note of a stretch is a long one."""
    return LONG_NOTE * median(note.length_ms for note in notes[ends[0] : ends[1] + 1])


def opening_of(notes: Sequence[Note], place: int, long_ms: float) -> int | None:
    """What a phrase may begin with at a note that no rest is before; None where it does not."""
    before, note = notes[place - 1], notes[place]
    if note.slurred or note.grace or before.grace:
        return None
    if note.dynamic_mark or any(kind_of(said) != COURSE for said in note.words):
        return MARKED
    if before.length_ms >= long_ms:
        return HELD
    slur = before.slurred and place + 1 < len(notes) and notes[place + 1].slurred
    return NEW_SLUR if slur else None
