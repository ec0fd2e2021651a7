"""Recordings are read right, whatever their width and rate, or refused with file, reason and next step."""

import builtins
import io
import os
from pathlib import Path
from struct import pack
from typing import Any

import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray
from tests.sound.wav_bytes import FLOAT, PCM, chunk, coded, format_chunk, riff, wav

from gripway.errors import RecordingError
from gripway.sound import bounds, reading
from gripway.sound.reading import read_recording, recording_of

RATE = 8000
TIME_S = np.arange(800) / RATE
TONE = 0.5 * np.sin(2 * np.pi * 440.0 * TIME_S)
FORM = format_chunk(PCM, 1, RATE, 16)
DATA = chunk(b"data", coded(TONE, PCM, 16))

WIDTHS = [(PCM, 8), (PCM, 16), (PCM, 24), (PCM, 32), (FLOAT, 32), (FLOAT, 64)]


@pytest.mark.parametrize("extended", [False, True], ids=["plain", "extensible"])
@pytest.mark.parametrize(("kind", "bits"), WIDTHS)
def test_every_width_gives_the_samples_back(kind: int, bits: int, extended: bool, tmp_path: Path) -> None:
    """Within half a step of the width, at the rate of the file, by its name."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav(TONE, RATE, kind, bits, extended=extended))
    found = read_recording(path)
    step = 2.0**-23 if kind == FLOAT else 2.0 ** (1 - bits)
    assert np.abs(found.samples - TONE).max() <= step / 2
    assert (found.rate_hz, found.source, found.clipped_share) == (RATE, str(path), 0.0)
    assert found.length_s == pytest.approx(0.1)


@pytest.mark.parametrize("rate_hz", [8_000, 11_025, 44_100, 48_000, 96_000, 192_000])
def test_usual_rates_are_taken(rate_hz: int) -> None:
    """From the lowest to the highest."""
    assert recording_of(wav(TONE, rate_hz), "a.wav").rate_hz == rate_hz


@pytest.mark.parametrize("rate_hz", [7_999, 192_001, 0, 2**32 - 1])
def test_other_rates_are_refused(rate_hz: int) -> None:
    """Just below the lowest and above the highest; the rate is said."""
    second = min(rate_hz * 2, 2**32 - 1)
    form = chunk(b"fmt ", pack("<HHIIHH", 1, 1, rate_hz, second, 2, 16))
    with pytest.raises(RecordingError, match=f"a.wav: .*(rate of {rate_hz} Hz|contradicts)"):
        recording_of(riff(form, DATA), "a.wav")


@pytest.mark.parametrize("channels", [1, 2, 8])
def test_channels_are_mixed_to_their_mean(channels: int) -> None:
    """Each channel a tone of its own height."""
    heights = np.arange(1, channels + 1) / channels
    found = recording_of(wav(TONE[:, None] * heights, RATE, FLOAT, 64), "a.wav")
    assert found.samples == pytest.approx(TONE * heights.mean(), abs=1e-12)


def test_samples_at_full_scale_are_counted() -> None:
    """In either direction and in any channel, out of all samples."""
    both = np.zeros((100, 2))
    both[10, 0], both[20, 1], both[30] = 1.0, -1.0, 0.9
    for kind, bits in WIDTHS:
        assert recording_of(wav(both, RATE, kind, bits), "a.wav").clipped_share == pytest.approx(0.02)


def test_a_long_file_is_read_in_blocks() -> None:
    """More samples than a block has, each in its place."""
    long = np.arange(600_001) / 2**22
    assert np.array_equal(recording_of(wav(long, 48_000, FLOAT, 64), "a.wav").samples, long)


def test_chunks_that_say_nothing_of_the_sound_are_passed_over() -> None:
    """Before and after, of odd length too."""
    plain = recording_of(riff(FORM, DATA), "a.wav")
    dressed = recording_of(
        riff(chunk(b"JUNK", b"odd"), FORM, chunk(b"LIST", b"x"), DATA, chunk(b"id3 ", b"y")), "a.wav"
    )
    assert np.array_equal(dressed.samples, plain.samples)


BAD: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "is empty"),
    "text": (b"dear diary, today I played", "is no recording"),
    "only a head": (riff(), "cut off before"),
    "head cut off": (riff(FORM)[:30], "cut off"),
    "samples cut off": (riff(FORM, DATA)[:-800], r"promises 0.10 s of sound and holds 0.05 s"),
    "size that lies": (riff(FORM, chunk(b"data", b"\1\2" * 9, 2**32 - 1)), "cut off"),
    "sizes never written": (riff(FORM, chunk(b"data", b"\1\2" * 9, 0)), "no sound"),
    "chunk that lies": (riff(chunk(b"LIST", b"xy", 10**9), FORM, DATA), "cut off"),
    "sound before format": (riff(DATA, FORM), "before it says"),
    "two formats": (riff(FORM, FORM, DATA), "says twice"),
    "no samples": (riff(FORM, chunk(b"data", b"")), "no sound"),
    "within a sample": (riff(FORM, chunk(b"data", b"\1\2\3")), "within a sample"),
    "silent": (riff(FORM, chunk(b"data", bytes(800))), "silent"),
    "coded": (riff(chunk(b"fmt ", pack("<HHIIHH", 7, 1, RATE, RATE, 1, 8)), DATA), "coded form"),
    "12 bits": (riff(chunk(b"fmt ", pack("<HHIIHH", 1, 1, RATE, RATE * 2, 2, 12)), DATA), "12 bits"),
    "rate that lies": (riff(chunk(b"fmt ", pack("<HHIIHH", 1, 1, RATE, RATE, 2, 16)), DATA), "contradicts"),
    "no channel": (riff(chunk(b"fmt ", pack("<HHIIHH", 1, 0, RATE, 0, 0, 16)), DATA), "channels"),
    "nine channels": (
        riff(chunk(b"fmt ", pack("<HHIIHH", 1, 9, RATE, RATE * 18, 18, 16)), chunk(b"data", bytes(18))),
        "9 channels",
    ),
    "short format": (riff(chunk(b"fmt ", b"\1\0\1\0"), DATA), "too little"),
    "unknown extension": (
        riff(format_chunk(PCM, 1, RATE, 16, extended=True).replace(b"\x00\x38\x9b\x71", b"\0\0\0\0"), DATA),
        "extended",
    ),
    "no numbers": (wav(np.full(9, np.nan), RATE, FLOAT, 32), "no sound"),
    "endless numbers": (wav(np.full(9, np.inf), RATE, FLOAT, 64), "no sound"),
    "beyond all bounds": (wav(np.full(9, 1e30), RATE, FLOAT, 64), "no sound"),
    "thousands of chunks": (riff(*[chunk(b"JUNK", b"")] * 5000, FORM, DATA), "1000 chunks"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_read_is_refused(name: str) -> None:
    """With the file's name, what is wrong and what to do; never another error."""
    data, what = BAD[name]
    with pytest.raises(RecordingError, match=what) as refused:
        recording_of(data, "hostile.wav")
    assert refused.value.place == "hostile.wav"
    assert refused.value.next_step


def test_every_beginning_of_a_file_is_refused() -> None:
    """A WAV cut off anywhere is no shorter recording."""
    whole = riff(FORM, chunk(b"data", coded(TONE[:20], PCM, 16)))
    for length in range(len(whole)):
        with pytest.raises(RecordingError):
            recording_of(whole[:length], "cut.wav")


def test_bytes_changed_by_chance_are_read_or_refused() -> None:
    """Two thousand files with up to four bytes changed: a bounded recording, or a RecordingError."""
    chance = np.random.default_rng(17)
    whole = np.frombuffer(riff(FORM, chunk(b"data", coded(TONE[:40], PCM, 16))), np.uint8)
    read = 0
    for _ in range(2000):
        changed = whole.copy()
        places = chance.integers(0, 60, chance.integers(1, 5))
        changed[places] = chance.integers(0, 256, len(places))
        try:
            found = recording_of(changed.tobytes(), "changed.wav")
        except RecordingError:
            continue
        read += 1
        assert np.abs(found.samples).max() <= bounds.LOUDEST
    assert 0 < read < 2000


def test_longest_and_largest_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """At the bound a recording is taken, one sample beyond it is not; the same for samples and bytes."""
    monkeypatch.setattr(bounds, "LONGEST_S", 0.1)
    assert recording_of(wav(TONE, RATE), "a.wav").length_s == pytest.approx(0.1)
    with pytest.raises(RecordingError, match="half an hour"):
        recording_of(wav(np.append(TONE, 0.0), RATE), "a.wav")
    monkeypatch.setattr(bounds, "MOST_SAMPLES", 799)
    with pytest.raises(RecordingError, match="too long for its rate"):
        recording_of(wav(TONE, RATE), "a.wav")
    monkeypatch.setattr(reading, "MOST_BYTES", 100)
    with pytest.raises(RecordingError, match="GiB"):
        recording_of(wav(TONE, RATE), "a.wav")


def test_a_file_that_is_none_is_refused(tmp_path: Path) -> None:
    """Missing, a folder, a pipe (without waiting for it), a name no file can have."""
    pipe = tmp_path / "pipe.wav"
    os.mkfifo(pipe)
    for path, what in (
        (tmp_path / "none.wav", "No such file"),
        (tmp_path, "no plain file"),
        (pipe, "no plain file"),
        ("a\0b.wav", "sign"),
    ):
        with pytest.raises(RecordingError, match=what):
            read_recording(path)


def packed(kind: str, samples: NDArray[np.float64], **words: Any) -> bytes:
    """A file of another kind, as libsndfile writes it."""
    stream = io.BytesIO()
    soundfile.write(stream, samples, RATE, format=kind, **words)
    return stream.getvalue()


def test_other_kinds_are_read_by_soundfile() -> None:
    """FLAC in 24 bits within a step, mono and stereo; Ogg with the same length."""
    for samples in (TONE, np.column_stack([TONE, TONE])):
        found = recording_of(packed("FLAC", samples, subtype="PCM_24"), "a.flac")
        assert np.abs(found.samples - TONE).max() <= 2.0**-23
        assert found.rate_hz == RATE
    assert len(recording_of(packed("OGG", TONE), "a.ogg").samples) == len(TONE)


def test_a_flac_that_is_cut_off_is_refused() -> None:
    """At any of a few places."""
    whole = packed("FLAC", np.random.default_rng(1).uniform(-0.5, 0.5, 8000))
    for share in (0.01, 0.3, 0.6, 0.9):
        with pytest.raises(RecordingError):
            recording_of(whole[: int(len(whole) * share)], "cut.flac")


def test_without_soundfile_its_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """A FLAC says what to install; a WAV needs nothing."""
    data = packed("FLAC", TONE)
    usual = builtins.__import__

    def without(name: str, *rest: Any, **words: Any) -> Any:
        if name == "soundfile":
            raise ImportError(name)
        return usual(name, *rest, **words)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(RecordingError, match=r"a.flac: .*gripway\[sound\]"):
        recording_of(data, "a.flac")
    assert recording_of(wav(TONE, RATE), "a.wav").rate_hz == RATE
