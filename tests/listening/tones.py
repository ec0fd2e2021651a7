"""Flute tones made by arithmetic: partials, vibrato, noise, drift and echo as they are asked for.

Levels of partials in dB, from memory of the flute spectra in N. H. Fletcher and T. D. Rossing, The Physics
of Musical Instruments, 2nd ed. 1998, ch. 16, and N. H. Fletcher, J. Acoust. Soc. Am. 57 (1975) 233: low
notes have a second partial as strong as the first, or stronger, and many more; in the second octave the first
leads; in the third it stands nearly alone. Vibrato there: about 5 Hz, 10 to 15 cents, and mostly a change of
the level of the upper partials. The single figures are ours.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]

LOW = (-4.0, 0.0, -3.0, -10.0, -16.0, -20.0, -26.0)
MIDDLE = (0.0, -8.0, -14.0, -22.0, -30.0)
HIGH = (0.0, -18.0, -26.0, -36.0)


def hz(pitch: int) -> float:
    """Equal temperament from A4 = 440 Hz."""
    return 440.0 * 2.0 ** ((pitch - 69) / 12)


@dataclass(frozen=True)
class Tone:
    """What is asked of a tone; `cents` from equal temperament at its middle, `noise_db` below the tone."""

    pitch: int
    cents: float = 0.0
    length_s: float = 1.6
    vibrato_cents: float = 0.0
    vibrato_hz: float = 5.0
    vibrato_phase: float = 0.0
    tremor: float = 0.0
    noise_db: float = 50.0
    drift_cents: float = 0.0
    amplitude: float = 0.3


def samples(tone: Tone, rate_hz: int = 48_000, seed: int = 0) -> Samples:
    """The tone with an attack of 40 ms and an end of 60 ms; shape (n,)."""
    chance = np.random.default_rng(seed)
    time_s = np.arange(round(tone.length_s * rate_hz)) / rate_hz
    swing = np.sin(2 * np.pi * tone.vibrato_hz * time_s + tone.vibrato_phase)
    drift = tone.drift_cents * (time_s / tone.length_s - 0.5)
    pitch_hz = hz(tone.pitch) * 2 ** ((tone.cents + drift + tone.vibrato_cents * swing) / 1200)
    phase = 2 * np.pi * np.cumsum(pitch_hz) / rate_hz
    levels = LOW if tone.pitch < 72 else MIDDLE if tone.pitch < 84 else HIGH
    sound = np.zeros_like(time_s)
    for partial, level in enumerate(levels, start=1):
        if partial * pitch_hz.max() < 0.48 * rate_hz:
            size = 10 ** (level / 20) * (1 + tone.tremor * swing * (0.3 if partial == 1 else 1.0))
            sound += size * np.sin(partial * phase + chance.uniform(0, 2 * np.pi))
    shape = np.minimum(1.0, np.minimum(time_s / 0.04, (tone.length_s - time_s) / 0.06))
    sound *= shape * tone.amplitude / np.abs(sound).max()
    loud = np.sqrt(np.mean(sound**2))
    return sound + loud * 10 ** (-tone.noise_db / 20) * chance.standard_normal(len(sound))


def echoed(sound: Samples, rate_hz: int, seed: int = 0, decay_s: float = 0.5, share: float = 0.3) -> Samples:
    """The sound in a simple room: noise that dies away by 60 dB in `decay_s` is added to the direct sound."""
    chance = np.random.default_rng(seed)
    count = round(decay_s * rate_hz)
    tail = chance.standard_normal(count) * 10 ** (-3 * np.arange(count) / count)
    tail *= share / np.sqrt((tail**2).sum())
    tail[0] += 1.0
    size = 1 << (len(sound) + count).bit_length()
    wet = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(tail, size), size)[: len(sound) + count]
    return wet * min(1.0, 0.95 / np.abs(wet).max())


def silence(length_s: float, rate_hz: int = 48_000, level: float = 1e-4, seed: int = 9) -> Samples:
    """A quiet room."""
    return level * np.random.default_rng(seed).standard_normal(round(length_s * rate_hz))
