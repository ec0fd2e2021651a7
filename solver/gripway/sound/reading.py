"""A recording from a file or from bytes; nothing is written, and nothing leaves the machine."""

import io
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from gripway.errors import RecordingError, check_kind
from gripway.sound.other_formats import read_other
from gripway.sound.recording import Recording
from gripway.sound.riff import is_wav
from gripway.sound.wav import read_wav

MOST_BYTES = 1 << 30
"""Largest file: half an hour of stereo in 48 kHz and 32 bits has 0.7 of it (judgement)."""


def read_recording(path: Path | str) -> Recording:
    """The recording in a file: WAV, or with the extra `sound` what libsndfile reads (FLAC, Ogg, MP3).

    8 to 192 kHz, one to eight channels (mixed to one), at most half an hour and 1 GiB. Raises
    RecordingError with the file for what cannot be read, is cut off, contradicts itself, or is silent.
    """
    name = str(path)
    with _opened(name) as stream:
        return _recording(stream, os.fstat(stream.fileno()).st_size, name)


def check_there(*given: Recording | Path | str) -> None:
    """Raise RecordingError for a file that is not there or cannot be opened: said before all else of it."""
    for each in given:
        if isinstance(each, str | Path):
            with _opened(str(each)):
                pass


def recording_of(data: bytes, name: str) -> Recording:
    """The same from the bytes of a file that is called `name`."""
    return _recording(io.BytesIO(data), len(data), name)


def recording_given(given: Recording | Path | str) -> Recording:
    """A recording that was read, or the one in a file. Raises RequestError for what is neither."""
    if isinstance(given, Recording):
        return given
    check_kind(given, str | Path, "recording", 'Give the name of a file: "me.wav"')
    return read_recording(given)


@contextmanager
def _opened(name: str) -> Iterator[BinaryIO]:
    """The open file; RecordingError where it cannot be opened or read."""
    try:
        with _plain_file(name) as stream:
            yield stream
    except OSError as problem:
        raise RecordingError(
            f"cannot be read: {problem.strerror or problem}", place=name, next_step="Check the file's name"
        ) from None


def _plain_file(name: str) -> BinaryIO:
    """The open file; a pipe or a device, which might never end, is refused without waiting for it."""
    try:
        mode = os.stat(name).st_mode
    except ValueError:  # the system's own word for a NUL in a name
        raise OSError(None, "the name has a sign that no file name can have") from None
    if not stat.S_ISREG(mode):
        raise RecordingError("is no plain file", place=name, next_step="Save the recording to a file first")
    return open(name, "rb")


def _recording(stream: BinaryIO, size: int, name: str) -> Recording:
    if size > MOST_BYTES:
        raise RecordingError(
            f"has {size / 2**30:.1f} GiB", place=name, next_step="Give 1 GiB at most: record less at a time"
        )
    if size == 0:
        raise RecordingError("is empty", place=name, next_step="Record it again")
    return read_wav(stream, size, name) if is_wav(stream.read(12)) else read_other(stream, name)
