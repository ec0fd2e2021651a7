"""How much each of some known pitches sounds in each frame of a recording.

Frames (Hann) every 5 ms; their spectrum is gathered into semitones (the strongest line within half a
semitone) and compared with the partials of each pitch by the cosine of the angle between the two. A frame
that is much quieter than the loud ones says nothing of pitch.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.sound.recording import Recording
from gripway.units import frequency_hz

Array = NDArray[np.float64]

HOP_S, FRAME_S = 0.005, 0.045
PARTIALS = {0: 1.0, 12: 0.7, 19: 0.45, 24: 0.3, 28: 0.2, 31: 0.15}
"""Amplitudes (shape only) of the partials of a flute's note, by semitones above it (rounded)."""

HIGHEST_HZ = 6000.0
QUIET_DB = 32.0
SILENT = 0.45
"""What a quiet frame says of every pitch: nothing for or against."""

BLOCK = 2048
"""Frames looked at in one go, so that memory stays bounded."""


@dataclass(frozen=True, eq=False)
class Pictures:
    """`alike` (pitch, frame) from 0 to 1; `level_db` (frame,) below the loud ones; a frame every `hop_s`."""

    alike: Array
    level_db: Array
    hop_s: float = HOP_S

    @property
    def quiet(self) -> NDArray[np.bool_]:
        """Which frames are too quiet to have a pitch."""
        found: NDArray[np.bool_] = self.level_db < -QUIET_DB
        return found


def pictures(recording: Recording, pitches: Sequence[int], a4_hz: float = 440.0) -> Pictures:
    """The pictures of sounding note numbers, in the order given."""
    rate, samples = recording.rate_hz, recording.samples
    size = max(16, round(FRAME_S * rate))
    hop = max(1, round(HOP_S * rate))
    padded = np.pad(samples, (size // 2, size // 2))
    window = np.hanning(size + 2)[1:-1]
    transform = 1 << (2 * size - 1).bit_length()
    lowest = min(pitches)
    highest_hz = min(HIGHEST_HZ, 0.48 * rate)
    bins = [n for n in range(lowest, lowest + 76) if frequency_hz(n + 0.5, a4_hz) < highest_hz]
    spans = [_span(n, a4_hz, rate / transform) for n in bins]
    starts = np.array([first for first, _ in spans])
    last = max(end for _, end in spans)
    frames = np.lib.stride_tricks.sliding_window_view(padded, size)[::hop]
    strong = np.empty((len(bins), len(frames)))
    energy = np.empty(len(frames))
    for begin in range(0, len(frames), BLOCK):
        block = frames[begin : begin + BLOCK] * window
        energy[begin : begin + len(block)] = np.mean(block**2, axis=1)
        lines = np.abs(np.fft.rfft(block, transform, axis=1)[:, : last + 1])
        strong[:, begin : begin + len(block)] = np.maximum.reduceat(lines, starts, axis=1).T
    level = 10.0 * np.log10(np.maximum(energy, 1e-14))
    level -= np.quantile(level, 0.9)
    strong /= np.maximum(np.linalg.norm(strong, axis=0), 1e-12)
    return Pictures(_templates(pitches, bins) @ strong, level, hop / rate)


def _span(number: int, a4_hz: float, line_hz: float) -> tuple[int, int]:
    """First and last line of a spectrum within half a semitone of a note number."""
    first = round(frequency_hz(number - 0.5, a4_hz) / line_hz)
    return first, max(first, round(frequency_hz(number + 0.5, a4_hz) / line_hz) - 1)


def _templates(pitches: Sequence[int], bins: Sequence[int]) -> Array:
    """Partials of each pitch over the bins, of length 1, (pitch, bin)."""
    at = {number: place for place, number in enumerate(bins)}
    found = np.zeros((len(pitches), len(bins)))
    for row, pitch in enumerate(pitches):
        for above, amplitude in PARTIALS.items():
            if pitch + above in at:
                found[row, at[pitch + above]] = amplitude
    norms = np.linalg.norm(found, axis=1, keepdims=True)
    templates: Array = found / np.maximum(norms, 1e-12)
    return templates
