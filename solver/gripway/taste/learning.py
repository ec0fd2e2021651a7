"""The dials that explain marks best, as few of them moved as possible.

What is made small: the weight of the marks that do not come out, and a little for every doubling or halving
of a dial. Hundreds of settings are looked at by the quick routes (`batched_routes.py`); the best of them are
judged by the search itself, which has the last word.

Reference: Ratliff, Bagnell and Zinkevich (2006), Maximum margin planning, ICML 23: the weights of a search
learnt from the paths a person chose; recalled, not read again. With five weights the loss itself, which is
in steps, can be searched, and no convex bound stands for it.
"""

import random
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from gripway.taste.agreement import Agreement, Bools
from gripway.taste.dial_costs import Floats
from gripway.taste.dial_settings import DialRanges, Dials, first_settings, settings_near

SPREADS_OCTAVES = (0.5, 0.25, 0.12)
"""How far around the best settings is looked, turn by turn."""

BEST = 12
NEAR_EACH = 12
TRIES, FINE_TRIES = 3, 6
"""Settings that are looked around, new ones near each, and those judged by the search itself."""

FINE_STEP = 1.25
"""Each dial that is moved is tried so many times larger and smaller at the end, and put back."""

SEED = 17

Weights = NDArray[np.float64]
Tick = Callable[[], None]
"""Called with every step of the work; what it raises stops it."""


class Learner:
    """Finds dials for one set of evidence, of which each question may take a part (by weights)."""

    def __init__(
        self, agreement: Agreement, ranges: DialRanges, octave_marks: float, most: int, tick: Tick
    ) -> None:
        self.agreement, self.ranges, self.octave_marks = agreement, ranges, octave_marks
        self.tick = tick
        self.first = first_settings(ranges, most)
        self.right: Bools = agreement.quick(self.first)
        tick()

    @property
    def ever(self) -> Bools:
        """Which evidence comes out under any of the first settings, axis (evidence)."""
        return np.asarray(self.right.any(axis=0))

    def best(self, weights: Weights, *, fine: bool) -> Dials:
        """The best dials for evidence of these weights (0: left out); `fine` goes on in small steps."""
        chance = random.Random(SEED)  # noqa: S311 - the same marks give the same dials
        pool, cost = self.first, self._quick_cost(self.right, self.first, weights)
        for spread in SPREADS_OCTAVES:
            around = pool[np.argsort(cost, kind="stable")[:BEST]]
            new = settings_near(around, self.ranges, spread, NEAR_EACH, chance)
            new_cost = self._quick_cost(self.agreement.quick(new), new, weights)
            pool, cost = np.concatenate([pool, new]), np.concatenate([cost, new_cost])
            self.tick()
        order = (self.ranges.within(pool[k].tolist()) for k in np.argsort(cost, kind="stable")[:200])
        tries = [*list(dict.fromkeys(order))[: FINE_TRIES if fine else TRIES], self.ranges.now]
        best = min(tries, key=lambda dials: self._cost(dials, weights))
        return self._simpler(best, weights) if fine else best

    def _quick_cost(self, right: Bools, settings: Floats, weights: Weights) -> NDArray[np.float64]:
        cost: NDArray[np.float64] = (~right) @ weights + self.octave_marks * self.ranges.octaves(settings)
        return cost

    def _cost(self, dials: Dials, weights: Weights) -> float:
        """What the search itself says against a setting."""
        wrong = ~self.agreement.exact(dials)
        self.tick()
        octaves = self.ranges.octaves(np.array([dials], dtype=np.float32))[0]
        return round(float(wrong @ weights + self.octave_marks * octaves), 6)

    def _simpler(self, dials: Dials, weights: Weights) -> Dials:
        """The dials with each that is moved put back or moved a little where that costs less, and rounded."""
        best, least = dials, self._cost(dials, weights)
        moved = [d for d, now in enumerate(self.ranges.now) if dials[d] != now]
        for d in moved:
            now = self.ranges.now[d]
            for value in dict.fromkeys((now, best[d] * FINE_STEP, best[d] / FINE_STEP)):
                tried = self.ranges.within((*best[:d], value, *best[d + 1 :]))
                if tried != best and (cost := self._cost(tried, weights)) < least:
                    best, least = tried, cost
        return self._rounded(best, weights)

    def _rounded(self, dials: Dials, weights: Weights) -> Dials:
        """The dials to tenths, each where that explains as much."""
        wrong = float(~self.agreement.exact(dials) @ weights)
        for d, value in enumerate(dials):
            tried = self.ranges.within((*dials[:d], round(value, 1), *dials[d + 1 :]))
            if tried != dials:
                self.tick()
                if float(~self.agreement.exact(tried) @ weights) <= wrong:
                    dials = tried
        return dials
