"""The chunks of a RIFF file: where format and samples of a WAV stand. Strict and bounded.

Source: Multimedia Programming Interface and Data Specifications 1.0 (IBM and Microsoft, 1991), and for
WAVE_FORMAT_EXTENSIBLE mmreg.h (Microsoft).
"""

from dataclasses import dataclass
from struct import unpack
from typing import BinaryIO

from gripway.errors import RecordingError

MOST_CHUNKS = 1000
"""So many chunks before the samples are looked at; recorders write three or four (judgement)."""

LONGEST_FORMAT_BYTES = 4096
PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
SUBFORMAT_TAIL = bytes.fromhex("000000001000800000aa00389b71")
"""What follows the format's number in the GUID of a WAVE_FORMAT_EXTENSIBLE."""

SAVE_ANEW = "Save it anew as a plain WAV (PCM of 16 or 24 bits), or record it again"


@dataclass(frozen=True, slots=True)
class WavFormat:
    """How samples stand in a WAV: `kind` PCM or FLOAT, and the bytes of one sample of one channel."""

    kind: int
    channels: int
    rate_hz: int
    sample_bytes: int

    @property
    def frame_bytes(self) -> int:
        """Bytes of one sample of all channels."""
        return self.channels * self.sample_bytes


def is_wav(head: bytes) -> bool:
    """Whether the first twelve bytes of a file are those of a WAV."""
    return head[:4] == b"RIFF" and head[8:12] == b"WAVE"


def find_samples(stream: BinaryIO, size: int, name: str) -> tuple[WavFormat, int]:
    """Format of the samples of a WAV of `size` bytes, and how many bytes they have.

    The stream stands at the first of them then. Raises RecordingError, placed at `name`, where the
    file is cut off or says what cannot be.
    """
    stream.seek(12)
    form: WavFormat | None = None
    for _ in range(MOST_CHUNKS):
        head = stream.read(8)
        if len(head) < 8:
            raise fault(name, "is cut off before its sound begins")
        kind, length = head[:4], unpack("<I", head[4:])[0]
        after = stream.tell() + length
        if after > size:
            raise fault(name, _cut_off(kind, length, size - stream.tell(), form))
        if kind == b"data":
            if form is None:
                raise fault(name, "has sound before it says in which format")
            return form, length
        if kind == b"fmt ":
            if form is not None:
                raise fault(name, "says twice in which format it is")
            form = _format(stream.read(min(length, LONGEST_FORMAT_BYTES)), name)
        stream.seek(after + length % 2)
    raise fault(name, f"has more than {MOST_CHUNKS} chunks and no sound among them")


def fault(name: str, what: str, next_step: str = SAVE_ANEW) -> RecordingError:
    """The error of a file."""
    return RecordingError(what, place=name, next_step=next_step)


def _cut_off(kind: bytes, length: int, there: int, form: WavFormat | None) -> str:
    if kind != b"data" or form is None:
        return "is cut off, or the sizes in it are wrong"
    second = max(form.frame_bytes * form.rate_hz, 1)
    return f"is cut off: it promises {length / second:.2f} s of sound and holds {there / second:.2f} s"


def _format(body: bytes, name: str) -> WavFormat:
    """The format a chunk `fmt ` says, checked against itself."""
    if len(body) < 16:
        raise fault(name, "says too little of its format")
    kind, channels, rate_hz, second_bytes, frame_bytes, bits = unpack("<HHIIHH", body[:16])
    if kind == EXTENSIBLE:
        if len(body) < 40 or body[26:40] != SUBFORMAT_TAIL:
            raise fault(name, "has an unknown extended format")
        kind = unpack("<H", body[24:26])[0]
    whole = {PCM: (8, 16, 24, 32), FLOAT: (32, 64)}
    if kind not in whole:
        raise fault(name, f"holds sound in a coded form (WAV format {kind})")
    if bits not in whole[kind]:
        raise fault(name, f"has samples of {bits} bits")
    form = WavFormat(kind, channels, rate_hz, bits // 8)
    if frame_bytes != form.frame_bytes or second_bytes != form.frame_bytes * rate_hz:
        raise fault(name, "contradicts itself in its format (rate, channels, bits)")
    return form
