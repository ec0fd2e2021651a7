"""Rhythms over a few notes: the short step falls on the worst change, the last note on a beat."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from gripway.catalog.tables.practice_figures import Rhythm
from gripway.practice.cells.beat_grid import QUARTER, BeatGrid, felt_beat
from gripway.practice.cells.short_passages import Laid, spacing, together
from gripway.route.result import RouteNote

EIGHTH = Fraction(1, 8)

LINE = 4
"""Notes a rhythm has to run over at least: it makes fewer no run."""

MOST_NOTES, MANY_NOTES = 9, 6
"""Notes at most, and as many as are still seen at once (judgement)."""

SHORTEST_WAIT = Fraction(1, 16)
"""A rest before the first note is of such values (judgement)."""

OTHER_LONGS = (2, 5)
"""Steps of a long note where those of the table fill no beats: a triplet's, and a beat tied to one more."""


@dataclass(frozen=True, slots=True)
class Beats:
    """Beats in steps: what a note may not go over, what a last note comes on, the bar."""

    beat: int
    pulse: int
    felt: int
    bar: int

    @classmethod
    def of(cls, grid: BeatGrid, step: Fraction) -> "Beats":
        """The beats of a metre: in threes notes are read by the eighth, in cut time they end on a half."""
        beat = int(grid.beat / step)
        pulse = int(max(EIGHTH, step) / step) if grid.compound else beat
        felt = max(beat, int(felt_beat(grid.metre) * QUARTER / step))
        return cls(beat, pulse, felt, int(grid.bar / step))


def in_rhythm(
    run: Sequence[RouteNote],
    worst: int,
    rhythm: Rhythm,
    step: Fraction,
    grid: BeatGrid,
    named: range = range(0),
) -> list[Laid]:
    """Some of the notes of a run in a rhythm; empty where it does not fit into the beats.

    The rhythm begins wherever it is short from note `worst` (from 0) to the next and the last note comes on
    a beat, as long as that. At best all `named` notes are in it, long notes are on beats, there are four to
    six notes, a long one just before the change gives time to get ready, and nothing is tied.
    """
    beats = Beats.of(grid, step)
    waits = [wait for wait in range(beats.felt) if wait * step % SHORTEST_WAIT == 0]
    found = [
        ((_left_out(named, first, len(steps)), *_cost(steps, worst - first, wait, beats)), first, wait, steps)
        for first, steps in _ways(rhythm, worst, len(run))
        for wait in waits
        if keeps_to_beat(steps, wait, beats)
    ]
    if not found:
        return []
    _, first, wait, steps = min(found)
    chosen = run[first : first + len(steps)]
    laid = [Laid(note, step * length) for note, length in zip(chosen, steps, strict=True)]
    head, last = laid[0], laid[-1]
    return [Laid(head.note, head.length, wait=step * wait), *laid[1:-1], Laid(last.note, grid.beat)]


def run_in_rhythm(notes: Sequence[RouteNote], worst: int) -> tuple[int, int]:
    """First and last of the notes around a change that rhythms may have: its even run.

    They go on to other notes without a rest or an ornament, all after as much time.
    """
    step = spacing(notes, worst)

    def goes_on(place: int) -> bool:
        if not together(notes, place):
            return False
        note, after = notes[place].note, notes[place + 1].note
        plain = not (note.ornament or note.grace or after.grace)
        moves = note.pitch.number != after.pitch.number
        return plain and moves and spacing(notes, place) == step == note.length

    first, last = worst, worst + 1
    if not goes_on(worst):
        return first, last
    while worst - first < MOST_NOTES and goes_on(first - 1):
        first -= 1
    while last - worst < MOST_NOTES and goes_on(last):
        last += 1
    return first, last


def _ways(rhythm: Rhythm, worst: int, notes: int) -> Iterator[tuple[int, tuple[int, ...]]]:
    """How a rhythm may be laid: the first note, and the steps of all, over one group at least."""
    for long in dict.fromkeys((max(rhythm.steps), *OTHER_LONGS)):
        for first in range(max(0, worst + 2 - MOST_NOTES), worst + 1):
            least = max(worst + 2 - first, len(rhythm.steps) + 1, LINE)
            for count in range(least, min(MOST_NOTES, notes - first) + 1):
                steps = steps_over(rhythm, count, long)
                if steps[worst - first] == 1:
                    yield first, steps


def _cost(steps: Sequence[int], worst: int, wait: int, beats: Beats) -> tuple[int, ...]:
    """What makes one way worse than another: long notes off the beat, too few or many notes, and so on."""
    before, count = steps[:-1], len(steps)
    at = accumulate(before, initial=wait)
    snaps = sum(length > 1 and place % beats.pulse > 0 for place, length in zip(at, before, strict=False))
    ready = worst > 0 and before[worst - 1] > 1
    off_centre = abs(2 * worst + 2 - count)
    return (snaps, count > MANY_NOTES, is_tied(steps), not ready, wait > 0, count, off_centre)


def _left_out(named: range, first: int, count: int) -> int:
    """How many of the notes of a cell a rhythm over so many notes leaves out."""
    return sum(not first <= place < first + count for place in named)


def is_tied(steps: Sequence[int]) -> bool:
    """Whether a long note is tied."""
    return max(steps) == max(OTHER_LONGS)


def steps_over(rhythm: Rhythm, notes: int, long: int) -> tuple[int, ...]:
    """The length of each of so many notes, in steps: the rhythm over and over.

    >>> steps_over(Rhythm("LS", (3, 1)), 5, 2)
    (2, 1, 2, 1, 2)
    """
    one = tuple(long if step > 1 else 1 for step in rhythm.steps)
    return tuple(one[place % len(one)] for place in range(notes))


def keeps_to_beat(steps: Sequence[int], wait: int, beats: Beats) -> bool:
    """Whether the last of some notes begins on a beat, and each goes over only what it begins on.

    >>> four = Beats(4, 4, 4, 16)
    >>> keeps_to_beat((3, 1, 3, 1, 3), 0, four), keeps_to_beat((3, 1, 1, 1, 3), 0, four)
    (True, False)
    """
    at = wait
    for length in steps[:-1]:
        over = any(at % unit and at % unit + length > unit for unit in (beats.felt, beats.beat, beats.pulse))
        if over or at % beats.bar + length > beats.bar:
            return False
        at += length
    return at % beats.felt == 0
