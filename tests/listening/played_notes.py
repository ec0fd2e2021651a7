"""Notes of a synthetic flute whose every onset is known: partials, quick changes, noise, echo."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gripway.sound.recording import Recording
from gripway.units import frequency_hz

RATE_HZ = 22_050
PARTIALS = {
    "low": (0.5, 1.0, 0.45, 0.25, 0.1),
    "middle": (1.0, 0.5, 0.2, 0.06),
    "high": (1.0, 0.2, 0.05),
}
"""Amplitudes of partials by register: the second is the strongest of a loud low note (as of published spectra
of flutes; sizes ours)."""


def register(number: int) -> str:
    """The register of a sounding note number."""
    return "low" if number < 74 else "middle" if number < 86 else "high"


def played(
    notes: Sequence[tuple[float, int | None, float]],
    *,
    seed: int = 0,
    noise: float = 0.0,
    echo_s: float = 0.0,
    vibrato_cents: float = 0.0,
    change_s: float = 0.005,
    rate_hz: int = RATE_HZ,
    source: str = "made.wav",
) -> Recording:
    """Notes as (onset in seconds, note number or None for silence, cents off), the last one the end.

    The frequency glides over `change_s`, each partial's amplitude with it; `noise` is the rms of white noise
    against that of a note, `echo_s` the time in which a room's sound falls by 60 dB (0: no room).
    """
    chance = np.random.default_rng(seed)
    end_s = notes[-1][0]
    count = int(end_s * rate_hz)
    times = np.arange(count) / rate_hz
    bounds = np.array([onset for onset, _, _ in notes[:-1]])
    which = np.clip(np.searchsorted(bounds, times, side="right") - 1, 0, None)
    first = next(number for _, number, _ in notes if number is not None)
    hz = np.array([frequency_hz((n or first) + c / 100.0) for _, n, c in notes[:-1]])
    window = np.hanning(max(3, int(change_s * rate_hz)) + 2)[1:-1]
    window /= window.sum()

    def smooth(values: NDArray[np.float64]) -> NDArray[np.float64]:
        padded = np.pad(values, len(window) // 2, mode="edge")
        return np.convolve(padded, window, mode="valid")[:count]

    vibrato = 2.0 ** (vibrato_cents / 1200.0 * np.sin(2 * np.pi * 5.2 * times))
    phase = 2 * np.pi * np.cumsum(smooth(hz[which]) * vibrato) / rate_hz
    levels = np.array(
        [
            [
                PARTIALS[register(n)][k] if n is not None and k < len(PARTIALS[register(n)]) else 0.0
                for k in range(5)
            ]
            for _, n, _ in notes[:-1]
        ]
    )
    starts = chance.uniform(0, 2 * np.pi, 5)
    sound = sum(smooth(levels[which, k]) * np.sin((k + 1) * phase + starts[k]) for k in range(5))
    sound = sound + noise * np.std(sound) * chance.standard_normal(count)
    if echo_s:
        tail = np.arange(int(echo_s * rate_hz)) / rate_hz
        room = chance.standard_normal(len(tail)) * 10.0 ** (-3.0 * tail / echo_s)
        room *= 0.5 / np.sqrt(np.sum(room**2))
        room[0] = 1.0
        size = 1 << (count + len(room)).bit_length()
        sound = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(room, size))[:count]
    sound = 0.6 * sound / np.max(np.abs(sound))
    return Recording(sound, rate_hz, 0.0, source)


def trill_notes(
    low: int,
    high: int,
    notes_per_s: float,
    length_s: float,
    jitter: float = 0.0,
    seed: int = 0,
    lean: float = 0.0,
) -> list[tuple[float, int | None, float]]:
    """A trill whose times a note vary by a share `jitter`; the upper note leans `lean` cents."""
    chance = np.random.default_rng(seed + 1000)
    notes: list[tuple[float, int | None, float]] = [(0.0, None, 0.0)]
    at, upper = 0.2, False
    while at < length_s - 0.2:
        notes.append((at, high if upper else low, lean if upper else 0.0))
        at += max(0.3, 1.0 + jitter * chance.standard_normal()) / notes_per_s
        upper = not upper
    return [*notes, (at, None, 0.0), (at + 0.2, None, 0.0)]
