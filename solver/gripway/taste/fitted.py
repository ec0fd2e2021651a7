"""What was learnt in one way, and which of several is believed: fewest changes among those that do as well.

Reference: Breiman, Friedman, Olshen and Stone (1984), Classification and regression trees, 3.4.3: of what is
held out in turns, the simplest within one standard error of the best; recalled, not read again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, sqrt

import numpy as np

from gripway.taste.agreement import Bools
from gripway.taste.always import KnownGrip
from gripway.taste.dial_settings import Dials
from gripway.taste.learning import Weights


@dataclass(frozen=True, slots=True)
class HeldOut:
    """Marks that were held out in turns: how many came out, with what was learnt from others and as it is.

    `gained` came out with what was learnt only, `lost` without it only; `chance_share` is how often as much
    would be gained by chance (one-sided sign test). `by` says what was held together (PASSAGE or FIGURE).
    """

    marks: int
    right: int
    right_now: int
    gained: int
    lost: int
    chance_share: float
    folds: int
    by: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """Dials and known grips learnt of all marks, and what the turns say of them.

    `right` are the marks that come out, `heard` all evidence that does, unmarked notes too. `came` says which
    evidence came out while it was held out, axis (evidence); `worth` is its weight, and `net` the gain in all
    marks, both less the price of what changes. `changes` counts dials moved and grips known.
    """

    dials: Dials
    known: tuple[KnownGrip, ...]
    right: int
    heard: int
    came: Bools
    worth: float
    net: float
    changes: int
    held_out: HeldOut


def believed(found: Sequence[Fitted], weights: Weights) -> Fitted:
    """Of those within one standard error of the best the one with fewest changes, the better of equals.

    `weights` are those of the evidence; the error is that of the paired difference (as in McNemar's test).
    """
    best = max(found, key=lambda each: each.worth)
    near = [each for each in found if best.worth - each.worth <= _error_of_difference(best, each, weights)]
    return min(near, key=lambda each: (each.changes, -each.worth))


def _error_of_difference(one: Fitted, other: Fitted, weights: Weights) -> float:
    return sqrt(float(np.square(weights[one.came != other.came]).sum()))


def chance_of(gained: int, lost: int) -> float:
    """How often at least so many of gained and lost are gained, where either is as likely (sign test).

    >>> chance_of(5, 0), chance_of(0, 0)
    (0.03125, 1.0)
    """
    trials = gained + lost
    ways: int = sum(comb(trials, k) for k in range(gained, trials + 1))
    return float(ways / 2**trials)
