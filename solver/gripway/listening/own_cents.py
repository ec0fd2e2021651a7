"""From takes to a player's own cents: the difference of two grips, paired in time, and how sure it is.

Takes go standard, other, standard. A straight line of time and one step for the other grip are fitted to
their cents at once (least squares), so that a flute that warms up evenly moves no difference. The range is
that of nine in ten after Student's t, and never below what a player's lip does from day to day.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.effort.candidate import Tendency
from gripway.effort.lean_effort import NINETY_PERCENT
from gripway.listening.takes import BLOCKS, OTHER, Asked, Take
from gripway.model.grip import Grip


@dataclass(frozen=True, slots=True)
class MeasuredGrip:
    """What a recording says of one grip, in cents.

    `cents` from equal temperament at the reference of the recording; `vs_standard` against the standard
    grip, None for a standard grip itself; nine in ten repeats are reckoned to lie within `spread_cents`;
    `takes` is how many takes it rests on.
    """

    pitch: int
    grip: Grip
    cents: float
    spread_cents: float
    vs_standard: float | None
    takes: int


@dataclass(frozen=True, slots=True)
class Difference:
    """Of one grip asked for: cents against the standard grip, and of that one (at A4 = 440 Hz)."""

    vs_standard: float
    spread_cents: float
    standard_cents: float
    standard_spread_cents: float
    takes: int
    standard_takes: int


def difference(takes: Sequence[Take], figures: CentsFigures) -> Difference | None:
    """The difference of one grip from its takes; None where a block has too few that can be used."""
    good = [take for take in takes if take.cents is not None]
    if any(sum(take.block == block for take in good) < figures.least_takes for block in BLOCKS):
        return None
    times = np.array([take.start_s for take in good])
    other = np.array([take.block == OTHER for take in good], float)
    cents = np.array([take.cents for take in good])
    terms = np.column_stack([np.ones(len(good)), times - times.mean(), other])
    found = np.linalg.lstsq(terms, cents, rcond=None)[0]
    freedom = len(good) - terms.shape[1]
    variance = float(((cents - terms @ found) ** 2).sum()) / freedom
    doubt = np.sqrt(variance * np.diag(np.linalg.inv(terms.T @ terms)))
    spread = [max(figures.spread_least_cents, student_95(freedom) * float(doubt[k])) for k in (0, 2)]
    many = int(other.sum())
    return Difference(float(found[2]), spread[1], float(found[0]), spread[0], many, len(good) - many)


def student_95(freedom: int) -> float:
    """The point that Student's t exceeds once in twenty (nine in ten lie within it on both sides).

    Expansion by Fisher and Cornish (Abramowitz and Stegun, 1964, 26.7.5); from 3 degrees on within 1 %.

    >>> round(student_95(6), 2)
    1.94
    """
    z, n = NINETY_PERCENT, freedom
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / n + second / n**2 + third / n**3


@dataclass(frozen=True, slots=True)
class Heard:
    """All that was measured, and the player's A4 by the standard grips: its cents from 440 Hz."""

    measured: tuple[MeasuredGrip, ...]
    reference_cents: float | None


def heard(
    asked: Sequence[Asked], takes: Sequence[Take], expected: Sequence[Tendency], figures: CentsFigures
) -> Heard:
    """The measured grips, in the order they were asked for, each pitch's standard grip before them.

    `expected` is the tendency of the standard grip of each grip asked for: the reference is what makes the
    standard grips lie where they are expected on average, each counting by how narrow its range is. From
    `reference_least_pitches` on the standard grips are measured themselves, with the doubt of the reference.
    """
    found = {
        place: each
        for place in range(len(asked))
        if (each := difference([take for take in takes if take.place == place], figures))
    }
    if not found:
        return Heard((), None)
    standards = {
        place: (expected[place].cents or 0.0, expected[place].spread_cents or 0.0) for place in found
    }
    weights = {
        place: 1.0 / (spread**2 + found[place].standard_spread_cents ** 2)
        for place, (_, spread) in standards.items()
    }
    total = sum(weights.values())
    reference = (
        sum(weights[place] * (found[place].standard_cents - standards[place][0]) for place in found) / total
    )
    whole = len({asked[place].pitch for place in found}) >= figures.reference_least_pitches
    measured: list[MeasuredGrip] = []
    for place, each in found.items():
        one, base = asked[place], standards[place][0]
        if whole:
            base = each.standard_cents - reference
            spread = hypot(each.standard_spread_cents, sqrt(1.0 / total))
            if (one.pitch, one.standard) not in {(have.pitch, have.grip) for have in measured}:
                measured.append(_grip(one.pitch, one.standard, base, spread, None, each.standard_takes))
        measured.append(
            _grip(
                one.pitch, one.grip, base + each.vs_standard, each.spread_cents, each.vs_standard, each.takes
            )
        )
    return Heard(tuple(measured), reference)


def _grip(
    pitch: int, grip: Grip, cents: float, spread: float, vs_standard: float | None, takes: int
) -> MeasuredGrip:
    """Cents to a tenth, as a tuner's list has them."""
    versus = None if vs_standard is None else round(vs_standard, 1)
    return MeasuredGrip(pitch, grip, round(cents, 1), round(spread, 1), versus, takes)
