"""The fit of the two player terms: least squares of the standard grips on equal temperament.

Only the grips from C4 to C#6 take part, and there are two figures for the whole flute: a third
one follows the residuals of the low octaves and spoils the third octave.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.atlas import grid, open_holes, resonances
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube, surface_impedance, total_impedance
from gripway.acoustics.tube import Real
from gripway.model.instrument import Instrument

LOWEST_FITTED, HIGHEST_FITTED = 60, 85
"""C4 to C#6 as note numbers."""

STEP_PER_M = 0.5
"""Step (1/m) of the differences that stand for derivatives."""

SETTLED_PER_M = 0.01
MOST_ROUNDS = 20


@dataclass(frozen=True)
class Grips:
    """Grips on one tube, ready for any player: axes (grip, freq), `targets` as note numbers."""

    freq_hz: Real
    without_player: NDArray[np.complex128]
    targets: Real
    tube: Tube

    def cents(self, player: PlayerTerm) -> Real:
        """Cents of each grip's nearest resonance from its target; NaN where there is none."""
        at_lips = self.without_player + player.impedance(self.freq_hz, self.tube.breath.at(0.0))
        numbers, _, _ = resonances(self.freq_hz, at_lips / surface_impedance(self.tube))
        return cents_off(numbers, self.targets)


def fitted_player(instrument: Instrument, tube: Tube, patterns: Mapping[int, int]) -> PlayerTerm:
    """The two player terms that leave the least squares of cents over the grips C4 to C#6.

    `patterns` gives a hole pattern by note number; those outside C4..C#6 take no part. The
    search (Gauss and Newton's) starts at the tube's own player. Raises ValueError for fewer
    than three grips, or when it does not settle.
    """
    grips = grips_on(instrument, tube, {n: p for n, p in patterns.items() if _takes_part(n)})
    if len(grips.targets) < 3:
        raise ValueError(f"{len(grips.targets)} grips between C4 and C#6 are too few to fit two terms")
    terms = np.array([tube.player.inertance_per_m, tube.player.growth_per_m])
    for _ in range(MOST_ROUNDS):
        change = _newton_step(grips, terms)
        terms = terms + change
        if np.abs(change).max() < SETTLED_PER_M:
            return _player(terms)
    raise ValueError(f"the player terms do not settle in {MOST_ROUNDS} rounds")


def grips_on(instrument: Instrument, tube: Tube, patterns: Mapping[int, int]) -> Grips:
    """The grips of some note numbers on a tube, its player taken off again."""
    freq_hz = grid()
    holes = open_holes(instrument, tube, np.array(list(patterns.values()), dtype=np.int64))
    silent = replace(tube, player=PlayerTerm(0.0, 0.0))
    without = total_impedance(freq_hz, silent, holes) - silent.player.impedance(freq_hz, tube.breath.at(0.0))
    return Grips(freq_hz, without, np.array(list(patterns), dtype=float), tube)


def cents_off(numbers: Real, targets: Real) -> Real:
    """Cents of the resonance nearest to each target: `numbers` (grip, resonance), `targets` (grip)."""
    cents = 100.0 * (numbers - targets[:, np.newaxis])
    distance = np.where(np.isnan(cents), np.inf, np.abs(cents))
    return np.asarray(np.take_along_axis(cents, distance.argmin(axis=1)[:, np.newaxis], axis=1)[:, 0])


def _takes_part(number: int) -> bool:
    return LOWEST_FITTED <= number <= HIGHEST_FITTED


def _newton_step(grips: Grips, terms: Real) -> Real:
    """What to add to the terms, by linear least squares about them."""
    here = grips.cents(_player(terms))
    slopes = [
        (grips.cents(_player(terms + step)) - here) / STEP_PER_M for step in np.eye(len(terms)) * STEP_PER_M
    ]
    return np.asarray(np.linalg.lstsq(np.stack(slopes, axis=1), -here, rcond=None)[0])


def _player(terms: Real) -> PlayerTerm:
    return PlayerTerm(float(terms[0]), float(terms[1]))
