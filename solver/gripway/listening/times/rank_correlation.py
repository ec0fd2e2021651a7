"""How far two lists go together: Spearman's rank correlation with its interval.

Ties share their mean rank. The interval of 95 in 100 is by Fisher's z with the variance of Bonett & Wright
2000 (Sample size requirements for estimating Pearson, Kendall and Spearman correlations, Psychometrika 65),
fair from about ten values on.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atanh, sqrt, tanh

import numpy as np
from numpy.typing import NDArray

Z_95 = 1.959964


@dataclass(frozen=True, slots=True)
class RankCorrelation:
    """Spearman's correlation of `count` pairs from -1 to 1; `low` and `high` bound it 95 times in 100."""

    correlation: float
    low: float
    high: float
    count: int


def rank_correlation(one: Sequence[float], other: Sequence[float]) -> RankCorrelation | None:
    """The rank correlation of two lists of a length; None below four values or where one never changes.

    >>> rank_correlation([1, 2, 3, 4, 5], [1, 3, 2, 4, 5]).correlation
    0.9
    """
    count = len(one)
    if count < 4 or len(set(one)) < 2 or len(set(other)) < 2:
        return None
    first, second = (_ranks(np.asarray(values, dtype=np.float64)) for values in (one, other))
    correlation = round(float(np.corrcoef(first, second)[0, 1]), 12)
    if abs(correlation) >= 1.0:
        return RankCorrelation(correlation, correlation, correlation, count)
    spread = Z_95 * sqrt((1.0 + correlation**2 / 2.0) / (count - 3))
    middle = atanh(correlation)
    return RankCorrelation(correlation, tanh(middle - spread), tanh(middle + spread), count)


def _ranks(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Ranks from 1, equal values with the mean of theirs."""
    _, inverse, counts = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    ranks: NDArray[np.float64] = (last - (counts - 1) / 2.0)[inverse]
    return ranks
