"""FLAC, Ogg and what else the optional library `soundfile` reads."""

from typing import BinaryIO

import numpy as np

from gripway.errors import RecordingError
from gripway.sound.bounds import check_size, finished, mixed
from gripway.sound.recording import Recording
from gripway.sound.wav import BLOCK_FRAMES

FULL_SCALE = 1.0 - 2.0**-15
"""A sample at or above this is at full scale in 16 bits."""


def read_other(stream: BinaryIO, name: str) -> Recording:
    """The recording in a file that is no WAV. Raises RecordingError where it cannot be read.

    Also where `soundfile` is not installed, with the extra that brings it.
    """
    try:
        import soundfile
    except (ImportError, OSError):  # OSError: the library below it, libsndfile, is not there
        raise RecordingError(
            "is no WAV, and other recordings need soundfile, which is not installed",
            place=name,
            next_step='Give a WAV, or install it with: pip install "gripway[sound]"',
        ) from None
    stream.seek(0)
    try:
        with soundfile.SoundFile(stream) as file:
            check_size(name, file.frames, file.channels, file.samplerate)
            return _read(file, name)
    except (soundfile.SoundFileError, TypeError, ValueError) as problem:  # a name without a known ending
        raise RecordingError(
            f"is no recording that can be read ({_reason(problem)})",
            place=name,
            next_step="Give a WAV or a FLAC; save it anew where it is one",
        ) from None


def _read(file, name: str) -> Recording:  # type: ignore[no-untyped-def] # soundfile has no types
    samples = np.empty(file.frames)
    clipped = done = 0
    while done < len(samples):
        values = file.read(BLOCK_FRAMES, dtype="float64", always_2d=True)
        if not len(values):
            raise RecordingError(
                f"is cut off after {done / file.samplerate:.1f} s",
                place=name,
                next_step="Save it anew as a WAV",
            )
        samples[done : done + len(values)] = mixed(values, name)
        clipped += int((np.abs(values).max(axis=1) >= FULL_SCALE).sum())
        done += len(values)
    return finished(samples, file.samplerate, clipped / len(samples), name)


def _reason(problem: Exception) -> str:
    return str(problem).rstrip(".").rpartition(": ")[2].lower() or "unknown form"
