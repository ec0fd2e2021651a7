"""How long, large and fast a recording may be, and what is refused however it is coded."""

import numpy as np
from numpy.typing import NDArray

from gripway.errors import RecordingError
from gripway.sound.recording import Recording

LONGEST_S = 1800.0
"""Half an hour: twenty grips, three takes each, three times over, with time to breathe (judgement)."""

MOST_SAMPLES = 90_000_000
"""Half an hour at 48 kHz, 700 MB in memory (judgement)."""

LOWEST_RATE_HZ, HIGHEST_RATE_HZ, MOST_CHANNELS = 8_000, 192_000, 8

LOUDEST = 1000.0
"""A sample of so many times full scale is no sound but a slip in the file (judgement)."""


def check_size(name: str, frames: int, channels: int, rate_hz: int) -> None:
    """Raise RecordingError where it is empty, too long, or of a rate or channels that are not taken."""
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise _fault(name, f"has a rate of {rate_hz} Hz", "Record at 44100 or 48000 Hz")
    if not 1 <= channels <= MOST_CHANNELS:
        raise _fault(name, f"has {channels} channels", "Record in mono or stereo")
    if frames == 0:
        raise _fault(name, "has no sound in it", "Record it again")
    if frames > LONGEST_S * rate_hz:
        raise _fault(name, f"lasts {frames / rate_hz / 60:.0f} minutes", "Give half an hour at most")
    if frames > MOST_SAMPLES:
        raise _fault(name, "is too long for its rate", "Record at 48000 Hz, or less at a time")


def mixed(frames: NDArray[np.float64], name: str) -> NDArray[np.float64]:
    """One channel of several, shape (n, channels) to (n,): their mean. RecordingError for no numbers."""
    if not np.isfinite(frames).all() or (frames.size and np.abs(frames).max() > LOUDEST):
        raise _fault(name, "has samples that are no sound", "Save it anew as a plain WAV")
    mean: NDArray[np.float64] = frames.mean(axis=1)
    return mean


def finished(samples: NDArray[np.float64], rate_hz: int, clipped_share: float, name: str) -> Recording:
    """The recording of all samples. Raises RecordingError for one that is silent throughout."""
    if not samples.any():
        raise _fault(name, "is silent throughout", "Check microphone and level, and record it again")
    samples.flags.writeable = False
    return Recording(samples, rate_hz, clipped_share, name)


def _fault(name: str, what: str, next_step: str) -> RecordingError:
    return RecordingError(what, place=name, next_step=next_step)
