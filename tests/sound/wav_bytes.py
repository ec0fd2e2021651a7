"""WAV files made byte by byte, right and wrong ones, by none of the project's own code."""

from struct import pack

import numpy as np
from numpy.typing import NDArray

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
TAIL = bytes.fromhex("000000001000800000aa00389b71")


def coded(samples: NDArray[np.float64], kind: int, bits: int) -> bytes:
    """Samples within -1 to 1, any shape, as the bytes of a data chunk."""
    if kind == FLOAT:
        return samples.astype(f"<f{bits // 8}").tobytes()
    top = 2 ** (bits - 1)
    whole = np.clip(np.rint(samples * top), -top, top - 1).astype("<i8")
    if bits == 8:
        return (whole + 128).astype(np.uint8).tobytes()
    if bits == 24:
        return whole.astype("<i4").reshape(-1, 1).view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    return whole.astype(f"<i{bits // 8}").tobytes()


def format_chunk(kind: int, channels: int, rate_hz: int, bits: int, *, extended: bool = False) -> bytes:
    """The chunk `fmt `, plain or as WAVE_FORMAT_EXTENSIBLE."""
    frame = channels * bits // 8
    said = EXTENSIBLE if extended else kind
    body = pack("<HHIIHH", said, channels, rate_hz, rate_hz * frame, frame, bits)
    if extended:
        body += pack("<HHIH", 22, bits, 0, kind) + TAIL
    return chunk(b"fmt ", body)


def chunk(kind: bytes, body: bytes, length: int | None = None) -> bytes:
    """A chunk, padded to an even length; `length` is the lie it tells."""
    return kind + pack("<I", len(body) if length is None else length) + body + b"\0" * (len(body) % 2)


def riff(*chunks: bytes) -> bytes:
    """A whole file."""
    body = b"WAVE" + b"".join(chunks)
    return b"RIFF" + pack("<I", len(body)) + body


def wav(
    samples: NDArray[np.float64], rate_hz: int, kind: int = PCM, bits: int = 16, *, extended: bool = False
) -> bytes:
    """A WAV of samples of shape (n,) or (n, channels)."""
    channels = 1 if samples.ndim == 1 else samples.shape[1]
    form = format_chunk(kind, channels, rate_hz, bits, extended=extended)
    return riff(form, chunk(b"data", coded(samples, kind, bits)))
