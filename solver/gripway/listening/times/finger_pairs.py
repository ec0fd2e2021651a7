"""Pairs of standard grips that tell of fingers: which move, and the law of an alternation."""

from dataclasses import dataclass

from gripway.candidates.candidates import Candidates
from gripway.effort.candidate import Candidate
from gripway.effort.change_time import ChangeTimes
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.pitch import plain_name

WIDEST = 4
"""Semitones of the widest pair on a card: what is trilled or shaken in music."""

MOST_MOVERS = 3
"""With more fingers a pair says little of any of them."""


@dataclass(frozen=True, slots=True)
class FingerPair:
    """Two written note numbers, their grips, the fingers that move between them.

    The law of an alternation gives base x slowest finger x `factor` milliseconds a note; `addends` is the
    part of the factor beyond 1 that other things than the finger bring (two hands, a swap, more fingers).
    """

    low: int
    high: int
    grips: tuple[Grip, Grip]
    fingers: tuple[str, ...]
    factor: float
    addends: float

    @property
    def name(self) -> str:
        """`G4-A4`, as the file of a take is called."""
        return f"{plain_name(self.low)}-{plain_name(self.high)}"


def finger_pair(low: int, high: int, book: Candidates, times: ChangeTimes) -> FingerPair:
    """The pair of the standard grips of two notes. Raises RequestError where one has none."""
    before, after = (_standard(pitch, book) for pitch in (low, high))
    change = times.change(before.position, after.position, (before.pattern ^ after.pattern).bit_count())
    addends = sum(size for _, size in change.terms)
    return FingerPair(
        low=low,
        high=high,
        grips=(before.grip, after.grip),
        fingers=tuple(finger for finger, _ in change.movers),
        factor=(1.0 + addends) * change.slide,
        addends=addends + change.slide - 1.0,
    )


def finger_pairs(lowest: int, highest: int, book: Candidates, times: ChangeTimes) -> tuple[FingerPair, ...]:
    """Every pair between two written notes that moves a few fingers without a slide."""
    found = []
    for low in range(lowest, highest):
        for high in range(low + 1, min(highest, low + WIDEST) + 1):
            try:
                pair = finger_pair(low, high, book, times)
            except RequestError:
                continue
            if (
                0 < len(pair.fingers) <= MOST_MOVERS
                and pair.factor <= 1.0 + pair.addends
                and pair.addends < 1.0
            ):
                found.append(pair)
    return tuple(found)


def _standard(pitch: int, book: Candidates) -> Candidate:
    row = book.standard_row(pitch)
    if row is None:
        raise RequestError(
            f"{plain_name(pitch)} has no standard grip here",
            next_step=f"Name notes of the flute: {book.why_none(pitch)}",
        )
    return book.plain(row)
