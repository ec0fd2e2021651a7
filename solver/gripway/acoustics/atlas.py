"""The atlas: the resonances of every hole pattern of an instrument.

A flute plays where the imaginary part of the impedance at the lips passes zero on the rise
(no jet term: Coltman, JASA 40 (1966) 99, saw no pulling). No claim is made above C#7.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.ladder import Tube, surface_impedance, total_impedance
from gripway.acoustics.touch_holes import touch_holes
from gripway.acoustics.tube import Real
from gripway.model.instrument import Instrument
from gripway.model.mechanism import FINGERS
from gripway.units import A4_HZ, A4_NUMBER

LOWEST_NUMBER, HIGHEST_NUMBER = 57.5, 99.5
"""Range of the grid in note numbers: below B3, above D7."""

GRID_CENTS = 10.0
MOST_RESONANCES = 16


def grid() -> Real:
    """The frequencies (Hz) of the atlas, 10 cents apart."""
    numbers = np.arange(LOWEST_NUMBER, HIGHEST_NUMBER, GRID_CENTS / 100.0)
    return np.asarray(A4_HZ * 2.0 ** ((numbers - A4_NUMBER) / 12.0))


@dataclass(frozen=True)
class Atlas:
    """Resonances of hole patterns, axes (pattern, resonance), low to high, NaN after the last.

    `patterns` are the mechanism's bit patterns; `numbers` the note numbers (60 = C4, A440) at
    which they sound; `loss` the resistance there over the bore's characteristic impedance;
    `sharpness` the quality factor.
    """

    patterns: NDArray[np.int64]
    numbers: Real
    loss: Real
    sharpness: Real

    def rows(self) -> dict[int, int]:
        """Row of each pattern."""
        return {int(pattern): row for row, pattern in enumerate(self.patterns)}


def reachable_patterns(instrument: Instrument) -> NDArray[np.int64]:
    """Every hole pattern some state of the fingers makes, sorted."""
    holes = touch_holes(instrument.mechanism)
    moved = {0}
    for finger in FINGERS:
        reaches = (reach for reach in instrument.mechanism.reaches if reach.finger == finger)
        options = [0, *(holes.moved_by(reach.mask) for reach in reaches)]
        moved = {one | other for one in moved for other in options}
    return np.array(sorted(holes.at_rest ^ one for one in moved), dtype=np.int64)


def open_holes(instrument: Instrument, tube: Tube, patterns: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which of the bore's holes (head to foot) each pattern opens; holes are matched by id."""
    bit = {hole.id: place for place, hole in enumerate(instrument.mechanism.holes)}
    columns = [(patterns >> bit[hole.id]) & 1 for hole in tube.bore.holes]
    return np.stack(columns, axis=1).astype(bool)


def atlas(instrument: Instrument, tube: Tube, patterns: Sequence[int] | NDArray[np.int64]) -> Atlas:
    """The resonances of some hole patterns on a tube."""
    wanted = np.asarray(patterns, dtype=np.int64)
    freq_hz = grid()
    impedance = total_impedance(freq_hz, tube, open_holes(instrument, tube, wanted))
    numbers, loss, sharpness = resonances(freq_hz, impedance / surface_impedance(tube))
    return Atlas(wanted, numbers, loss, sharpness)


def resonances(freq_hz: Real, impedance: NDArray[np.complex128]) -> tuple[Real, Real, Real]:
    """Note number, resistance and quality factor of each rising zero of the imaginary part.

    Linear interpolation in log frequency; axes (pattern, resonance), padded with NaN.
    """
    reactance = impedance.imag
    rows, places = np.nonzero((reactance[:, :-1] < 0.0) & (reactance[:, 1:] >= 0.0))
    low, high = reactance[rows, places], reactance[rows, places + 1]
    share = low / (low - high)
    octaves = np.log2(freq_hz / A4_HZ)
    step = octaves[places + 1] - octaves[places]
    number = A4_NUMBER + 12.0 * (octaves[places] + share * step)
    resistance = impedance.real[rows, places] * (1.0 - share) + impedance.real[rows, places + 1] * share
    slope = (high - low) / (step * np.log(2.0))  # d X / d ln f
    order = np.arange(len(rows)) - np.searchsorted(rows, rows)
    kept = order < MOST_RESONANCES
    shape = (len(impedance), MOST_RESONANCES)
    result = []
    for values in (number, resistance, slope / (2.0 * resistance)):
        table = np.full(shape, np.nan)
        table[rows[kept], order[kept]] = values[kept]
        result.append(table)
    return result[0], result[1], result[2]
