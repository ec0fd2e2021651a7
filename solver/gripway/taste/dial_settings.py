"""Settings of the dials to look at: first few dials moved, then those near the best ones."""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from gripway.taste.dial_costs import Floats

Dials = tuple[float, ...]
"""A value for every dial, in the order of the tables."""

STEPS = (
    (0.0, 0.15, 0.25, 0.35, 0.5, 0.7, 1.4, 2.0, 2.8, 4.0),
    (0.0, 0.25, 0.5, 0.7, 1.4, 2.0, 4.0),
    (0.35, 2.5),
    (0.35, 2.5),
)
"""By how much a dial is moved where one, two, three or four of them are."""

SMALLEST = 0.125
"""A dial below this does as good as nothing; how far it is moved is counted from here."""

BACK = 0.1
MOVED = 0.5
"""Chances that a dial near a good setting is put back, and that it is moved."""


@dataclass(frozen=True, slots=True)
class DialRanges:
    """The dials as they stand, and the least and the most of each."""

    names: tuple[str, ...]
    now: Dials
    least: Dials
    most: Dials

    def within(self, dials: Sequence[float]) -> Dials:
        """A setting kept inside the ranges, to hundredths."""
        each = zip(dials, self.least, self.most, strict=True)
        return tuple(round(min(most, max(least, value)), 2) for value, least, most in each)

    def octaves(self, settings: Floats) -> NDArray[np.float64]:
        """How far settings lie from the dials as they stand: doublings and halvings, axis (setting)."""
        moved = np.log2(np.maximum(settings, SMALLEST)) - np.log2(np.maximum(self.now, SMALLEST))
        far: NDArray[np.float64] = np.abs(moved).sum(axis=1)
        return far


def first_settings(ranges: DialRanges, most: int) -> Floats:
    """The dials as they stand, then one moved, two, three, four; thinned evenly to at most so many."""
    found = [ranges.now]
    for size, steps in enumerate(STEPS, start=1):
        for which in combinations(range(len(ranges.now)), size):
            for chosen in product(steps, repeat=size):
                dials = list(ranges.now)
                for d, step in zip(which, chosen, strict=True):
                    dials[d] = step * max(dials[d], SMALLEST)
                found.append(ranges.within(dials))
    found = list(dict.fromkeys(found))
    if len(found) > most:
        found = [found[round(k * (len(found) - 1) / (most - 1))] for k in range(most)]
    return np.array(found, dtype=np.float32)


def settings_near(
    best: Floats, ranges: DialRanges, spread: float, each: int, chance: random.Random
) -> Floats:
    """So many settings near each of these: some dials moved by about `spread` octaves, some put back."""
    found: list[Dials] = []
    for row in best.tolist():
        for _ in range(each):
            dials = list(row)
            for d, value in enumerate(dials):
                roll = chance.random()
                if roll < MOVED:
                    dials[d] = max(value, SMALLEST) * 2 ** chance.gauss(0.0, spread)
                elif roll < MOVED + BACK:
                    dials[d] = ranges.now[d]
            found.append(ranges.within(dials))
    return np.array(found, dtype=np.float32)
