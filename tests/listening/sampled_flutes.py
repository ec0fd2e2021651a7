"""Flute tones of free sound banks, played by fluidsynth and bent by known cents.

    python -m tests.listening.sampled_flutes

writes the two recordings in tests/data again (the banks and their licence: tests/data/README.md).
"""

import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from struct import pack

import numpy as np
from tests.sound.wav_bytes import wav

from gripway.sound.reading import read_recording
from gripway.sound.recording import Recording

DATA = Path(__file__).parents[1] / "data"
BANKS = {
    "FluidR3_GM": Path("/usr/share/sounds/sf2/FluidR3_GM.sf2"),
    "MuseScore_General": Path("/usr/share/sounds/sf3/MuseScore_General_Full.sf3"),
}
"""Debian's fluid-soundfont-gm and musescore-general-soundfont."""

FLUTE, PICCOLO = 73, 72
"""Programs of General MIDI, from 0."""

BEND_CENTS = 200.0
"""A full bend, as every synthesizer begins (General MIDI 1)."""

TICKS = 480
"""Of a quarter, which lasts half a second."""


@dataclass(frozen=True)
class Bent:
    """A note of so many seconds, bent by cents."""

    pitch: int
    cents: float
    length_s: float = 1.5
    silence_s: float = 0.8


def midi(notes: Sequence[Bent], program: int) -> bytes:
    """A MIDI file of notes one after another."""
    body = bytearray(b"\0" + bytes([0xC0, program]))
    for note in notes:
        bend = round(8192 * (1 + note.cents / BEND_CENTS))
        body += _delta(note.silence_s) + bytes([0xE0, bend & 0x7F, bend >> 7])
        body += b"\0" + bytes([0x90, note.pitch, 100])
        body += _delta(note.length_s) + bytes([0x80, note.pitch, 0])
    body += _delta(1.0) + b"\xff\x2f\0"
    return b"MThd" + pack(">IHHH", 6, 0, 1, TICKS) + b"MTrk" + pack(">I", len(body)) + bytes(body)


def _delta(seconds: float) -> bytes:
    ticks = round(seconds * 2 * TICKS)
    return bytes([0x80 | ticks >> 7, ticks & 0x7F])


def rendered(
    bank: str, notes: Sequence[Bent], folder: Path, program: int = FLUTE, rate_hz: int = 44_100
) -> Recording:
    """The notes played with a bank, without chorus, in its own room."""
    score, sound = folder / "takes.mid", folder / "takes.wav"
    score.write_bytes(midi(notes, program))
    command = ["fluidsynth", "-ni", "-q", "-C", "0", "-g", "0.6", "-r", str(rate_hz), "-F", str(sound)]
    subprocess.run([*command, str(BANKS[bank]), str(score)], check=True, capture_output=True)
    return read_recording(sound)


def there(bank: str) -> bool:
    """Whether fluidsynth and a bank are installed."""
    return shutil.which("fluidsynth") is not None and BANKS[bank].is_file()


KEPT = {"FluidR3_GM": (90, 12.5), "MuseScore_General": (67, -17.5)}
"""The kept recordings: F#6 bent up, G4 bent down."""


def takes(pitch: int, cents: float, **how: float) -> list[Bent]:
    """Three takes as they are, three bent, three as they are."""
    return [Bent(pitch, cents if 3 <= number < 6 else 0.0, **how) for number in range(9)]


def keep(folder: Path) -> None:
    """Write the kept recordings: 8 kHz and 8 bits, to be small."""
    for bank, (pitch, cents) in KEPT.items():
        found = rendered(bank, takes(pitch, cents, length_s=1.15, silence_s=0.3), folder, rate_hz=8_000)
        loud = found.samples / np.abs(found.samples).max() * 0.9
        (DATA / f"flute_{bank}.wav").write_bytes(wav(loud, found.rate_hz, bits=8))


if __name__ == "__main__":
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as place:
        keep(Path(place))
