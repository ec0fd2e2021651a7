"""Which pairs to record: those that tell most of the fingers, one after another.

Greedy D-optimal design: each pair taken is the one that makes the determinant of the posterior precision
of base and finger weights grow most (Chaloner & Verdinelli 1995, Bayesian experimental design, section 2).
A change of one finger tells more than one with addends, whose sizes are uncertain themselves.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.times.own_fit import design_row, noise_share, prior_precision

COMFORTABLE = 76
"""Pairs near E5 come first where several tell as much: easy to blow, neither soft nor shrill."""


def designed_pairs(
    pairs: Sequence[FingerPair], weights: Mapping[str, float], figures: TimesFigures
) -> tuple[FingerPair, ...]:
    """At most `asked_pairs` of the pairs, the most telling first."""
    precision = prior_precision(len(weights), figures)
    left = sorted(pairs, key=lambda pair: (pair.high - pair.low, abs(pair.low - COMFORTABLE), pair.low))
    chosen: list[FingerPair] = []
    while left and len(chosen) < figures.asked_pairs:
        covariance = np.linalg.inv(precision)
        gains = []
        for pair in left:
            row = design_row(pair, weights)
            gains.append(row @ covariance @ row / noise_share(pair.addends, figures.pair_takes, figures) ** 2)
        best = int(np.argmax(np.round(gains, 6)))
        pair = left.pop(best)
        row = design_row(pair, weights)
        precision = (
            precision + np.outer(row, row) / noise_share(pair.addends, figures.pair_takes, figures) ** 2
        )
        chosen.append(pair)
    return tuple(chosen)
