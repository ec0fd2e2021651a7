"""Rhythms over a few notes, laid so that the short step falls on the worst change and the last note on a beat."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import Rhythm
from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.short_passages import Laid
from gripway.route.result import RouteNote

EIGHTH = Fraction(1, 8)

LINE = 4
"""Notes a rhythm should have to run over, where the passage has them."""

MOST_NOTES, MANY_NOTES = 9, 6
"""Notes at most, and as many as are still seen at once (judgement)."""

OTHER_LONGS = (2, 5)
"""Steps of a long note where those of the table fill no beats: a triplet's, and a beat tied to one more."""


def in_rhythm(
    run: Sequence[RouteNote], worst: int, rhythm: Rhythm, step: Fraction, grid: BeatGrid
) -> list[Laid]:
    """Some of the notes of a run in a rhythm; empty where it does not fit into the beats.

    The rhythm begins wherever it is short from note `worst` (from 0) to the next and the last note comes on
    a beat, as long as that. At best there are four to six notes, a long one just before the change gives time
    to get ready, and nothing is tied.
    """
    beat = int(grid.beat / step)
    found = [
        (_cost(steps[:-1], worst - first, wait, long), first, wait, steps)
        for long, first, steps in _ways(rhythm, worst, len(run))
        for wait in range(beat)
        if keeps_to_beat(steps, wait, beat, int(grid.bar / step), _pulse(grid, step))
    ]
    if not found:
        return []
    _, first, wait, steps = min(found)
    chosen = run[first : first + len(steps)]
    laid = [Laid(note, step * length) for note, length in zip(chosen, steps, strict=True)]
    head, last = laid[0], laid[-1]
    return [Laid(head.note, head.length, wait=step * wait), *laid[1:-1], Laid(last.note, grid.beat)]


def _ways(rhythm: Rhythm, worst: int, notes: int) -> Iterator[tuple[int, int, tuple[int, ...]]]:
    """How a rhythm may be laid: which of its lengths a long note has, the first note, the steps of all."""
    longs = dict.fromkeys((max(rhythm.steps), *OTHER_LONGS))
    for place, long in enumerate(longs):
        for first in range(max(0, worst + 2 - MOST_NOTES), worst + 1):
            for count in range(worst + 2 - first, min(MOST_NOTES, notes - first) + 1):
                steps = steps_over(rhythm, count, long)
                if steps[worst - first] == 1 and max(steps[:-1]) > 1:
                    yield place, first, steps


def _cost(before: Sequence[int], worst: int, wait: int, long: int) -> tuple[int, ...]:
    """What makes one way worse than another, first of all notes that are missing or too many."""
    count = len(before) + 1
    ready = worst > 0 and before[worst - 1] > 1
    off_centre = abs(2 * worst + 1 - (count - 1))
    return (count < LINE, count > MANY_NOTES, not ready, wait > 0, long, count, off_centre)


def steps_over(rhythm: Rhythm, notes: int, long: int) -> tuple[int, ...]:
    """The length of each of so many notes, in steps: the rhythm over and over.

    >>> steps_over(Rhythm("LS", (3, 1)), 5, 2)
    (2, 1, 2, 1, 2)
    """
    one = tuple(long if step > 1 else 1 for step in rhythm.steps)
    return tuple(one[place % len(one)] for place in range(notes))


def _pulse(grid: BeatGrid, step: Fraction) -> int:
    """In threes notes are read by the eighth, else by the beat; in steps."""
    return int(max(EIGHTH, step) / step) if grid.compound else int(grid.beat / step)


def keeps_to_beat(steps: Sequence[int], wait: int, beat: int, bar: int, pulse: int) -> bool:
    """Whether the last of some notes begins on a beat, and each goes over only what it begins on.

    >>> keeps_to_beat((3, 1, 3, 1, 3), 0, 4, 16, 4), keeps_to_beat((3, 1, 1, 1, 3), 0, 4, 16, 4)
    (True, False)
    """
    at = wait
    for length in steps[:-1]:
        over = any(at % unit and at % unit + length > unit for unit in (beat, pulse))
        if over or at % bar + length > bar:
            return False
        at += length
    return at % beat == 0
