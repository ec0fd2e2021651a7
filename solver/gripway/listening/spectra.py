"""Short spectra of a recording: Hann frames, their power, and the exact place of a peak between bins."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FRAME_S = 0.08
"""Length of a frame: partials of C3 (131 Hz) still stand apart, a vibrato of 5 Hz is still followed."""

HOP_S = 0.025
HANN_LOBE_BINS = 2.0
"""Half the width of a peak of a Hann window, in bins of a frame without padding."""

CHUNK_FRAMES = 400
"""So many frames are worked on at once: ten seconds, some 30 MB."""


@dataclass(frozen=True, slots=True)
class Spectra:
    """Power of frames by frequency: `power` of shape (frame, bin), bins `bin_hz` apart from 0 Hz on.

    `lobe_hz` is half the width of a peak.
    """

    power: Array
    bin_hz: float
    lobe_hz: float

    def bins(self, low_hz: float, high_hz: float) -> slice:
        """The bins from one frequency to another, at least three, as far as there are any."""
        last = self.power.shape[1] - 1
        first = min(max(int(np.floor(low_hz / self.bin_hz)), 1), last - 2)
        return slice(first, min(max(int(np.ceil(high_hz / self.bin_hz)), first + 2), last) + 1)


def spectra(samples: Array, rate_hz: int) -> Spectra:
    """The spectra of samples of shape (n,); fewer than a frame has are filled up with silence."""
    length = round(FRAME_S * rate_hz)
    padded = 1 << (2 * length - 1).bit_length()
    if len(samples) < length:
        samples = np.pad(samples, (0, length - len(samples)))
    frames = np.lib.stride_tricks.sliding_window_view(samples, length)[:: round(HOP_S * rate_hz)]
    transformed = np.fft.rfft(frames * np.hanning(length + 1)[:-1], padded, axis=1)
    power: Array = transformed.real**2 + transformed.imag**2
    return Spectra(power, rate_hz / padded, HANN_LOBE_BINS * rate_hz / length)


def peak_hz(power: Array, bin_hz: float, bins: slice) -> tuple[Array, Array]:
    """Frequency and power of the highest peak among some bins, in every frame of power (frame, bin).

    A parabola through the logarithms of three bins, as a Hann window with twofold padding allows (J. O.
    Smith and X. Serra, PARSHL, 1987). A frame that only rises to an edge of the bins has power 0 there.
    """
    part = power[:, bins]
    top = part.argmax(axis=1)
    inside = (top > 0) & (top < part.shape[1] - 1)
    top = np.clip(top, 1, part.shape[1] - 2)
    row = np.arange(len(part))
    below, here, above = (np.log(part[row, top + step] + 1e-300) for step in (-1, 0, 1))
    bend = below - 2.0 * here + above
    offset = np.where(bend < 0.0, 0.5 * (below - above) / np.where(bend < 0.0, bend, -1.0), 0.0)
    return (bins.start + top + offset) * bin_hz, np.where(inside, np.exp(here), 0.0)
