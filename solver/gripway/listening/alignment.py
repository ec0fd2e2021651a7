"""Which note of a recording is which take: the notes laid along the order asked for at the least cost.

A note may be left out (a false start, a slip) and a take may be missing. A take is told for sure only where
every other way to lay the notes costs clearly more; sizes are judgements, in units of one take left out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log2

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.listening.sounding import Sounding
from gripway.units import CENTS_PER_OCTAVE

MISSING_COST = 1.0
"""Of a take that was not played, and of a whole note that is left out."""

OTHER_NOTE_COST, SEMITONE_COST = 0.7, 0.5
"""Of a note taken for another one, and for one a semitone off (it grows with the square, up to the first)."""

SHORT_COST, FALSE_START_COST = 0.4, 1.25
"""Of a note too short for a take that is taken for one, and of one so short that nobody means it as one."""

LEFT_OUT_COST, LENGTH_COST = 0.2, 0.4
"""Of leaving out a note too short for a take: the first, and the second for its share of a take's length."""

SURE_COST = 0.2
"""Another way to lay the notes is ruled out where it costs so much more."""


@dataclass(frozen=True, slots=True)
class LaidTakes:
    """The notes laid along the takes asked for.

    `notes` has for every take the number of its note, None where it has none or where that cannot be told
    (`sure` is False); `near` the numbers of all notes that may be it.
    """

    notes: tuple[int | None, ...]
    sure: tuple[bool, ...]
    near: tuple[frozenset[int], ...]


def laid(notes: Sequence[Sounding], takes_hz: Sequence[float], figures: CentsFigures) -> LaidTakes:
    """The notes of a recording laid along takes of these pitches, in the order of playing."""
    left_out = [_left_out_cost(note, figures) for note in notes]
    costs = [[_cost(note, hz, figures) for hz in takes_hz] for note in notes]
    before = _least(costs, left_out, len(takes_hz))
    turned = _least([row[::-1] for row in costs[::-1]], left_out[::-1], len(takes_hz))
    after = [row[::-1] for row in turned[::-1]]
    found: list[int | None] = []
    sure: list[bool] = []
    near: list[frozenset[int]] = []
    for k in range(len(takes_hz)):
        ways: list[tuple[float, int | None]] = [
            (before[n][k] + costs[n][k] + after[n + 1][k + 1], n) for n in range(len(notes))
        ]
        none = min(before[n][k] + MISSING_COST + after[n][k + 1] for n in range(len(notes) + 1))
        ways = sorted([*ways, (none, None)], key=lambda way: way[0])
        least, best = ways[0]
        found.append(best)
        sure.append(len(ways) == 1 or ways[1][0] >= least + SURE_COST)
        near.append(frozenset(n for cost, n in ways if n is not None and cost < least + SURE_COST))
    return LaidTakes(tuple(found), tuple(sure), tuple(near))


def _least(costs: Sequence[Sequence[float]], left_out: Sequence[float], takes: int) -> list[list[float]]:
    """The least cost of laying the first n notes along the first k takes, of shape (notes + 1, takes + 1)."""
    best = [[inf] * (takes + 1) for _ in range(len(costs) + 1)]
    best[0] = [MISSING_COST * k for k in range(takes + 1)]
    for n, (row, out) in enumerate(zip(costs, left_out, strict=True), start=1):
        best[n][0] = best[n - 1][0] + out
        for k in range(1, takes + 1):
            best[n][k] = min(
                best[n - 1][k - 1] + row[k - 1], best[n - 1][k] + out, best[n][k - 1] + MISSING_COST
            )
    return best


def _cost(note: Sounding, hz: float, figures: CentsFigures) -> float:
    """Of taking a note for a take of this pitch: how far off it is, and how short."""
    cost = OTHER_NOTE_COST
    if note.hz is not None:
        semitones = 12 * log2(note.hz / hz)
        cost = min(SEMITONE_COST * semitones**2, OTHER_NOTE_COST)
    if note.length_s < figures.false_start_s:
        return cost + FALSE_START_COST
    if note.length_s < figures.take_least_s:
        return cost + SHORT_COST
    return cost


def _left_out_cost(note: Sounding, figures: CentsFigures) -> float:
    """Of passing over a note: little where it is short."""
    if note.length_s >= figures.take_least_s:
        return MISSING_COST
    return LEFT_OUT_COST + LENGTH_COST * note.length_s / figures.take_least_s


def cents_between(heard_hz: float | None, hz: float) -> float | None:
    """How far a pitch that was heard lies from another one; None where none was."""
    return None if heard_hz is None else CENTS_PER_OCTAVE * log2(heard_hz / hz)
