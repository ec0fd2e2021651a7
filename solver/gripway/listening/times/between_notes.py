"""Which of two notes sounds, moment by moment: a number that goes from the lower to the upper one and back.

One note of a flute sounds at a time, so that two fundamentals taken by turns are a signal whose frequency
is keyed between two values. Near notes share a band, in which the mean frequency weighted by power lies at
the lower one, at the upper one, or between the two where both sound (a change, an echo); it passes the middle
when both are equally strong. Notes farther apart have a band each, whose powers are compared; over an octave
the second partial of the lower note lies on the upper one, so that the middle is taken between the levels
that are found, not where both are equal.
Reference: A. B. Carson, Notes on the theory of modulation (1922), for the width of the band.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.sound.recording import Recording

Array = NDArray[np.float64]

MARGIN_HZ = 40.0
"""Band beside the outer fundamentals: twice the fastest alternation and a little (Carson's rule)."""

SMOOTHED_S = 0.012
"""Length of the window (Hann) in which power is gathered; a change takes about as long."""

RATE_FACTOR = 4.0
"""Samples of the narrow band for each hertz of its width."""

WIDE_HZ = 110.0
"""Fundamentals so far apart have a band each."""

OCTAVE = 1.9
"""From this ratio on only the odd partials of the lower note are its own: the first and the third count."""

FLOOR = 0.01
"""Shares nearer than this to 0 or 1 are not told apart from them."""


@dataclass(frozen=True, eq=False)
class BetweenTwo:
    """`share` (n,) runs from 0 (the lower note) to 1 (the upper one); `power` (n,) is that of the band.

    `rate_hz` values make a second, the first at 0 s.
    """

    share: Array
    power: Array
    rate_hz: float


def between_two(recording: Recording, low_hz: float, high_hz: float) -> BetweenTwo:
    """The share of the upper of two notes over a whole recording.

    `low_hz` and `high_hz` are the fundamentals, up to an octave apart.
    """
    if high_hz - low_hz < WIDE_HZ:
        return _in_one_band(recording, low_hz, high_hz)
    beside_hz = min(max(MARGIN_HZ, 0.03 * high_hz), (high_hz - low_hz) / 2.0)  # of one width: of one rate
    octave = high_hz > OCTAVE * low_hz
    powers = []
    rate_hz = float(recording.rate_hz)
    for partials in ((low_hz, 3.0 * low_hz) if octave else (low_hz,), (high_hz,)):
        power = np.zeros(0)
        for hz in partials:
            narrow, found_hz, _ = _narrow_band(
                recording.samples, recording.rate_hz, hz - beside_hz, hz + beside_hz
            )
            if len(narrow):  # else it lies above what the recording holds
                own = np.abs(narrow) ** 2
                power, rate_hz = (power + own if len(power) else own), found_hz
        powers.append(np.convolve(power, _window(rate_hz), mode="same") if len(power) else power)
    count = min(map(len, powers))
    low, high = (power[:count] for power in powers)
    whole = low + high
    return BetweenTwo(np.divide(high, whole, out=np.zeros(count), where=whole > 0.0), whole, rate_hz)


def _in_one_band(recording: Recording, low_hz: float, high_hz: float) -> BetweenTwo:
    """The share from the mean frequency of the band that holds both fundamentals."""
    bottom = max(low_hz / 2.0, low_hz - max(MARGIN_HZ, 0.04 * low_hz))
    top = high_hz + max(MARGIN_HZ, 0.04 * high_hz)
    narrow, rate_hz, middle_hz = _narrow_band(recording.samples, recording.rate_hz, bottom, top)
    if len(narrow) < 2:
        return BetweenTwo(np.zeros(0), np.zeros(0), rate_hz)
    window = _window(rate_hz)
    turned = np.convolve(narrow[1:] * narrow[:-1].conj(), window, mode="same")
    power = np.convolve(np.abs(narrow[1:]) ** 2, window, mode="same")
    found_hz = middle_hz + np.angle(turned) * rate_hz / (2.0 * np.pi)
    share = np.clip((found_hz - low_hz) / (high_hz - low_hz), 0.0, 1.0)
    return BetweenTwo(share, power, rate_hz)


def _window(rate_hz: float) -> Array:
    window: Array = np.hanning(max(3, round(SMOOTHED_S * rate_hz)) + 2)[1:-1]
    window /= window.sum()
    return window


def _narrow_band(
    samples: Array, rate_hz: int, bottom_hz: float, top_hz: float
) -> tuple[NDArray[np.complex128], float, float]:
    """The complex signal of a band shifted down to its middle, its rate, and where the middle was.

    By one transform of the whole: the band's lines, with raised-cosine edges, are turned back on their own.
    """
    count = len(samples)
    spectrum = np.fft.rfft(samples)
    line_hz = rate_hz / max(count, 1)
    middle = round((bottom_hz + top_hz) / 2.0 / line_hz)
    half = int((top_hz - bottom_hz) / 2.0 / line_hz)
    size = int(RATE_FACTOR * (top_hz - bottom_hz) / line_hz)
    if half < 2 or middle + half >= len(spectrum) or middle - half < 0:
        return np.zeros(0, dtype=np.complex128), float(rate_hz), middle * line_hz
    places = np.arange(-half, half + 1)
    edge = np.clip((half - np.abs(places)) / (0.3 * half), 0.0, 1.0)
    band = spectrum[middle + places] * (0.5 - 0.5 * np.cos(np.pi * edge))
    shifted = np.zeros(size, dtype=np.complex128)
    shifted[places % size] = band
    return np.fft.ifft(shifted) * (size / count) * 2.0, size * line_hz, middle * line_hz


def sure(share: Array) -> Array:
    """The share as log odds (n,): what counts is which note is stronger, and by how much."""
    kept = np.clip(share, FLOOR, 1.0 - FLOOR)
    odds: Array = np.log(kept / (1.0 - kept))
    return odds
