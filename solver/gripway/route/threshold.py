"""Is it worth it: the tempo below which the standard grips take no more effort than the best ones."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from gripway.model.passage import Note, Passage
from gripway.route.request import LEAST_EFFORT, STANDARD_ONLY, Wishes
from gripway.route.result import Route

SLOWEST, FASTEST = 0.25, 2.0
"""Tempo factors tried, against the tempo of the passage."""

SAME_EFFORT_MILLI = 50
"""Routes this near (thousandths of an effort) take the same trouble (judgement)."""

STEPS = 7
"""Halvings of the tempo range: the threshold is known to about 1.5 %."""

Solve = Callable[[Passage, Wishes], Route]


@dataclass(frozen=True, slots=True)
class Threshold:
    """Where leaving the standard grips begins to pay.

    `case` is `above` (it pays above `factor` times the tempo), `always` (at any tempo tried:
    for tuning or response, not for speed) or `never`. `quarters` is the tempo of the
    threshold in quarters per minute at the first note, for `above`. `saved` is the effort
    saved at the tempo of the passage.
    """

    case: str
    factor: float
    quarters: float
    saved: float


def threshold(passage: Passage, wishes: Wishes, solve: Solve) -> Threshold:
    """The tempo below which the all-standard route takes no more effort than the best one.

    A bisection over tempo factors from SLOWEST to FASTEST; it supposes that what pays at a
    tempo pays at faster ones too.
    """
    plain, best = replace(wishes, choose=STANDARD_ONLY), replace(wishes, choose=LEAST_EFFORT)

    def saved_milli(factor: float) -> int:
        played = at_tempo(passage, factor)
        return solve(played, plain).effort_milli - solve(played, best).effort_milli

    saved = saved_milli(1.0) / 1000
    quarters = _quarters(passage)
    if saved_milli(SLOWEST) > SAME_EFFORT_MILLI:
        return Threshold("always", SLOWEST, quarters * SLOWEST, saved)
    if saved_milli(FASTEST) <= SAME_EFFORT_MILLI:
        return Threshold("never", FASTEST, quarters * FASTEST, saved)
    low, high = SLOWEST, FASTEST
    for _ in range(STEPS):
        middle = (low * high) ** 0.5
        low, high = (low, middle) if saved_milli(middle) > SAME_EFFORT_MILLI else (middle, high)
    return Threshold("above", high, quarters * high, saved)


def at_tempo(passage: Passage, factor: float) -> Passage:
    """The passage played `factor` times as fast."""
    notes = (_faster(note, factor) for note in passage.notes)
    return replace(passage, notes=tuple(notes))


def around(passage: Passage, place: int, reach: int = 3) -> Passage:
    """The few notes around the change into note `place`."""
    return replace(passage, notes=passage.notes[max(0, place - 1 - reach) : place + 1 + reach])


def _faster(note: Note, factor: float) -> Note:
    return replace(note, onset_ms=note.onset_ms / factor, length_ms=note.length_ms / factor)


def _quarters(passage: Passage) -> float:
    """Tempo of the first measured note, in quarters per minute."""
    for note in passage.notes:
        if note.length > 0 and note.length_ms > 0:
            return float(note.length) * 4 * 60_000.0 / note.length_ms
    return 0.0
