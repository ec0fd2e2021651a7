"""The bars that have most of what a way of working is for: tongued notes, dotted ones, ties, upbeats."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import DYNAMICS, Note, bars_held
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.sections import LEAST_NOTES, pieces
from gripway.practice.ways.sequences import comes_again
from gripway.practice.ways.way_conditions import UNLIKE
from gripway.practice.ways.whole_passage import goes_on, is_apart, rest_after
from gripway.score.reading.expression_words import COURSE, kind_of

OVER_RESTS = ("upbeats", "contrasts", "entries")
"""What stands beside rests as often as not."""

BREAK_MS = 30.0
"""A rest no longer than this is none."""

SUDDEN_STEPS = 3
"""Dynamics that lie so far apart are a sudden change: p and f (judgement)."""

TONGUED_RUN = 4
"""Fewer quick notes tongued one after another are no work for the tongue (judgement)."""

NEAR_BEST = 0.6
"""Bars that have so much of the most are as good for a way (judgement)."""


def fitting_bars(notes: Sequence[Note], way: Way, figures: PracticeFigures) -> list[tuple[int, int]]:
    """First and last notes of bars for a way, those with most of what it seeks first, none over others.

    Each are `way.bars` bars more than one, on to the next note, with notes enough to be work, and
    `way.least` places of what is sought.
    """
    marks = [_MARKS[way.seeks](notes, place, figures) for place in range(len(notes))]
    windows = [each for each in _windows(notes, way, figures) if _counts(marks, each) >= way.least]
    found: list[tuple[int, int]] = []
    for first, last in sorted(windows, key=lambda each: (-_counts(marks, each), each)):
        if all(last < begin or first > end for begin, end in found):
            found.append((first, last))
    most = _counts(marks, found[0]) if found else 0
    return [each for each in found if _counts(marks, each) >= NEAR_BEST * most]


def _counts(marks: Sequence[bool], window: tuple[int, int]) -> int:
    """In how many places of a stretch there is what is sought; its first note stands for itself."""
    first, last = window
    return sum(marks[first : last + 1])


def _windows(notes: Sequence[Note], way: Way, figures: PracticeFigures) -> Iterator[tuple[int, int]]:
    """Bars that are worked on together, with notes enough."""
    bars = pieces(notes)
    for number, (first, last) in enumerate(bars):
        for begin, end in bars[number + 1 : number + 1 + way.bars]:
            if begin != last + 1 or not _together(notes, last, way, figures):
                break
            last = end
        if last + 1 < len(notes) and _together(notes, last, way, figures):
            last += 1
        if sum(not note.grace for note in notes[first : last + 1]) >= LEAST_NOTES:
            yield first, last


def _together(notes: Sequence[Note], place: int, way: Way, figures: PracticeFigures) -> bool:
    """Whether a note and the next belong to the same work."""
    if way.seeks in OVER_RESTS:
        return goes_on(notes, place, place + 1) and rest_after(notes, place) <= figures.rest_most_s * 1000
    return not is_apart(notes, place, figures)


def _before(notes: Sequence[Note], place: int) -> Note | None:
    """The note before one, the same time through; grace notes have no part in it."""
    if not place or notes[place].grace or not goes_on(notes, place - 1, place):
        return None
    before = notes[place - 1]
    return None if before.grace else before


def _is_quick(before: Note, note: Note, most_ms: float) -> bool:
    return note.onset_ms - before.onset_ms <= most_ms


def _tongued(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """One of `TONGUED_RUN` quick notes or more that are tongued one after another."""

    def is_one(at: int) -> bool:
        before = _before(notes, at)
        return bool(before and not notes[at].slurred and _is_quick(before, notes[at], figures.study_fast_ms))

    if not is_one(place):
        return False
    first = last = place
    while last - first + 1 < TONGUED_RUN and first and is_one(first - 1):
        first -= 1
    while last - first + 1 < TONGUED_RUN and last + 1 < len(notes) and is_one(last + 1):
        last += 1
    return last - first + 1 >= TONGUED_RUN


def _mixed(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Where slurred and tongued meet: the note after is the one, this the other."""
    note, before = notes[place], _before(notes, place)
    if not before or place + 1 == len(notes) or not _is_quick(before, note, figures.study_slow_ms):
        return False
    return note.slurred is not notes[place + 1].slurred


def _repeated(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    note, before = notes[place], _before(notes, place)
    again = before and before.pitch.number == note.pitch.number
    return bool(again and _tongued(notes, place, figures))


def _uneven(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """A note at least half as long again as the quick one beside it, with no rest between them."""
    note, before = notes[place], _before(notes, place)
    if not before or not before.length or not note.length or rest_after(notes, place - 1) > BREAK_MS:
        return False
    both = sorted((before.length, note.length))
    short = min(before.length_ms, note.length_ms)
    unlike = Fraction(UNLIKE) * both[0] <= both[1] < 4 * both[0]
    return unlike and both[1] <= felt_beat(note.metre) / 4 and short <= figures.study_fast_ms


def _tied(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    return bars_held(notes[place]) > 1


def _upbeat(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """A note after a rest to be counted, of a beat at least, that does not begin its bar."""
    note, before = notes[place], _before(notes, place)
    if not before or not note.at:
        return False
    return note.onset - before.onset - before.length >= felt_beat(note.metre) / 4


def _sudden(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """A mark far from the one before, which holds up to it: nothing grows or fades between them.

    Nor is there a bar of rest.
    """
    note, before = notes[place], _before(notes, place)
    if not before or before.hairpins or note.stress or before.stress or before.during:
        return False
    if not (note.dynamic_mark and before.dynamic_sure) or any(
        kind_of(said) == COURSE for said in before.words
    ):
        return False
    if note.onset - before.onset - before.length >= (Fraction(*note.metre) if note.metre else 1):
        return False
    if note.dynamic not in DYNAMICS or before.dynamic not in DYNAMICS:
        return False
    steps = abs(DYNAMICS.index(note.dynamic) - DYNAMICS.index(before.dynamic))
    return steps >= SUDDEN_STEPS


def _entry(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """The first note, and one after a rest of a bar."""
    note = notes[place]
    if not place or not goes_on(notes, place - 1, place):
        return not place
    bar = Fraction(*note.metre) if note.metre else 1
    return note.onset - notes[place - 1].onset - notes[place - 1].length >= bar


def _again(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    return comes_again(notes, place)


_MARKS: Mapping[str, Callable[[Sequence[Note], int, PracticeFigures], bool]] = MappingProxyType(
    {
        "tongued": _tongued,
        "mixed": _mixed,
        "repeated": _repeated,
        "uneven": _uneven,
        "ties": _tied,
        "upbeats": _upbeat,
        "contrasts": _sudden,
        "entries": _entry,
        "again": _again,
    }
)
