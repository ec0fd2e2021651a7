"""WAV read by our own reader: PCM of 8 to 32 bits and floats, block by block."""

from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from gripway.sound.bounds import check_size, finished, mixed
from gripway.sound.recording import Recording
from gripway.sound.riff import FLOAT, WavFormat, fault, find_samples

BLOCK_FRAMES = 1 << 18
"""So many samples of each channel are read at once."""


def read_wav(stream: BinaryIO, size: int, name: str) -> Recording:
    """The recording in a WAV of `size` bytes. Raises RecordingError, placed at `name`, for anything amiss."""
    form, data_bytes = find_samples(stream, size, name)
    if data_bytes % max(form.frame_bytes, 1):
        raise fault(name, "ends within a sample: its sizes are wrong")
    frames = data_bytes // max(form.frame_bytes, 1)
    check_size(name, frames, form.channels, form.rate_hz)
    samples = np.empty(frames)
    clipped = 0
    for first in range(0, frames, BLOCK_FRAMES):
        count = min(BLOCK_FRAMES, frames - first)
        block = stream.read(count * form.frame_bytes)
        if len(block) < count * form.frame_bytes:  # it grew shorter while it was read
            raise fault(name, "is cut off")
        values = _values(block, form).reshape(count, form.channels)
        samples[first : first + count] = mixed(values, name)
        clipped += int((np.abs(values).max(axis=1) >= _full_scale(form)).sum())
    return finished(samples, form.rate_hz, clipped / frames, name)


def _full_scale(form: WavFormat) -> float:
    """The largest sample the format has on its positive side."""
    return 1.0 if form.kind == FLOAT else 1.0 - 2.0 ** (1 - 8 * form.sample_bytes)


def _values(block: bytes, form: WavFormat) -> NDArray[np.float64]:
    """The samples of a block, all channels in turn, within -1 to 1 at full scale."""
    if form.kind == FLOAT:
        return np.frombuffer(block, f"<f{form.sample_bytes}").astype(np.float64)
    if form.sample_bytes == 1:  # the one width without a sign
        return np.frombuffer(block, np.uint8) / 128.0 - 1.0
    if form.sample_bytes == 3:
        padded = np.zeros((len(block) // 3, 4), np.uint8)
        padded[:, 1:] = np.frombuffer(block, np.uint8).reshape(-1, 3)
        return padded.view("<i4")[:, 0] / 2.0**31
    return np.frombuffer(block, f"<i{form.sample_bytes}") / 2.0 ** (8 * form.sample_bytes - 1)
