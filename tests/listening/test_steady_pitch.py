"""The pitch of a steady note: against synthetic tones of known pitch, and against another library."""

from itertools import product

import numpy as np
import pytest
from tests.listening.tones import Tone, echoed, hz, samples
from tests.tiers import thinned

from gripway.listening.heard_note import heard_hz
from gripway.listening.spectra import FRAME_S, HOP_S, peak_hz, spectra
from gripway.listening.steady_pitch import SteadyPitch, steady_pitch

LOWEST, HIGHEST = 59, 98
"""B3 to D7."""


def inner(sound: np.ndarray, rate_hz: int) -> np.ndarray:  # type: ignore[type-arg]
    """A tone without attack and release."""
    return sound[round(0.2 * rate_hz) : len(sound) - round(0.15 * rate_hz)]


def found(tone: Tone, rate_hz: int = 48_000, seed: int = 0) -> SteadyPitch:
    """What is found of a tone, which must be something."""
    sound = inner(samples(tone, rate_hz, seed), rate_hz)
    measured = steady_pitch(spectra(sound, rate_hz), hz(tone.pitch), rate_hz)
    assert measured is not None
    return measured


def by_chance(seed: int, noise_db: tuple[float, float] = (15.0, 50.0)) -> Tone:
    """A tone as a flutist might play it: vibrato, drift and noise by chance."""
    chance = np.random.default_rng(seed)
    return Tone(
        pitch=int(chance.integers(LOWEST, HIGHEST + 1)),
        cents=chance.uniform(-60.0, 60.0),
        vibrato_cents=chance.uniform(8.0, 15.0),
        vibrato_hz=chance.uniform(4.5, 6.0),
        vibrato_phase=chance.uniform(0.0, 6.28),
        tremor=0.3,
        noise_db=chance.uniform(*noise_db),
        drift_cents=chance.uniform(-10.0, 10.0),
    )


@pytest.mark.parametrize("rate_hz", thinned([8_000, 48_000, 44_100, 96_000], 2))
def test_bias_below_one_cent_and_95_percent_within_three(rate_hz: int) -> None:
    """Forty tones of each rate, every other one in a room with an echo of half a second."""
    errors = []
    for seed in range(40):
        tone = by_chance(seed)
        sound = samples(tone, rate_hz, seed)
        sound = echoed(sound, rate_hz, seed)[: len(sound)] if seed % 2 else sound
        measured = steady_pitch(spectra(inner(sound, rate_hz), rate_hz), hz(tone.pitch), rate_hz)
        assert measured is not None
        errors.append(measured.cents - tone.cents)
    assert abs(np.mean(errors)) < 1.0
    assert np.quantile(np.abs(errors), 0.95) <= 3.0


@pytest.mark.parametrize("cents", [-149.0, -75.0, 0.0, 75.0, 149.0])
def test_a_steady_tone_without_noise_is_found_within_a_tenth(cents: float) -> None:
    """From one end of the reach to the other, in every register."""
    for pitch in (60, 74, 90):
        assert found(Tone(pitch, cents, noise_db=120.0)).cents == pytest.approx(cents, abs=0.1)


def test_a_vibrato_that_is_louder_when_sharp_moves_the_mean_by_less_than_a_cent() -> None:
    """Every phase of it, 15 cents wide; frames weighed by their power would be 4 cents sharp."""
    for phase in np.linspace(0.0, 6.28, 9):
        tone = Tone(86, 0.0, 1.2, 15.0, 5.0, phase, tremor=0.3)
        assert abs(found(tone).cents) < 1.0


def test_how_far_the_pitch_wanders_is_told() -> None:
    """The standard deviation of a sine is its height over the root of two; a steady tone has next to none."""
    assert found(Tone(86, vibrato_cents=15.0)).wander_cents == pytest.approx(15.0 / 2**0.5, rel=0.12)
    assert found(Tone(86)).wander_cents < 0.5


def test_noise_is_told_by_how_clear_the_partials_stand() -> None:
    """The more noise, the less clear; where the noise is as loud as the tone some 12 dB are left."""
    clear = [found(Tone(80, noise_db=noise), seed=3).clear_db for noise in (30.0, 10.0, 0.0, -10.0)]
    assert clear == sorted(clear, reverse=True)
    assert 9.0 < clear[2] < 16.0


def test_nothing_is_found_in_silence_or_above_the_rate() -> None:
    """Digital silence has no pitch; of D7 at 4 kHz no partial could be recorded."""
    assert steady_pitch(spectra(np.zeros(48_000), 48_000), 440.0, 48_000) is None
    assert steady_pitch(spectra(samples(Tone(69), 8_000), 8_000), 3_800.0, 8_000) is None


def test_a_peak_between_bins_is_placed() -> None:
    """Sines anywhere between two bins, to a fiftieth of a bin; at an edge none is claimed."""
    rate_hz = 48_000
    time_s = np.arange(rate_hz // 2) / rate_hz
    for place_hz in np.linspace(1000.0, 1006.0, 7):
        whole = spectra(np.sin(2 * np.pi * place_hz * time_s), rate_hz)
        places, power = peak_hz(whole.power, whole.bin_hz, whole.bins(950.0, 1050.0))
        assert places == pytest.approx(place_hz, abs=0.02 * whole.bin_hz)
        assert (power > 0).all()
        assert not peak_hz(whole.power, whole.bin_hz, whole.bins(950.0, 980.0))[1].any()
    assert FRAME_S / 2 + HOP_S * (len(whole.power) - 1) < 0.5


def test_a_sound_shorter_than_a_frame_is_one_frame() -> None:
    """Nothing is cut off, nothing fails."""
    assert spectra(np.ones(10), 48_000).power.shape[0] == 1


@pytest.mark.parametrize("noise_db", [40.0, 10.0])
def test_the_note_is_heard_without_being_told(noise_db: float) -> None:
    """Every note from B3 to D7, in a room, within a quarter of a semitone: no octave is mistaken."""
    for pitch, rate_hz in product(range(LOWEST, HIGHEST + 1), (48_000,)):
        sound = samples(Tone(pitch, 20.0, 0.8, 10.0, noise_db=noise_db), rate_hz, pitch)
        heard = heard_hz(spectra(inner(echoed(sound, rate_hz, pitch), rate_hz), rate_hz))
        assert heard is not None
        assert 1200 * np.log2(heard / hz(pitch)) == pytest.approx(20.0, abs=25.0), pitch


def test_no_note_is_heard_in_silence() -> None:
    """None, not a guess."""
    assert heard_hz(spectra(np.zeros(48_000), 48_000)) is None


def test_another_library_finds_the_same() -> None:
    """Praat's autocorrelation (Boersma 1993) on the same tones: the medians within two cents."""
    parselmouth = pytest.importorskip("parselmouth")
    for seed in range(12):
        tone = by_chance(seed, (30.0, 50.0))
        sound = inner(samples(tone, 48_000, seed), 48_000)
        track = parselmouth.Sound(sound, 48_000.0).to_pitch_ac(
            time_step=0.01, pitch_floor=hz(tone.pitch) / 1.6, pitch_ceiling=hz(tone.pitch) * 1.6
        )
        voiced = track.selected_array["frequency"]
        theirs = 1200 * np.log2(np.mean(voiced[voiced > 0]) / hz(tone.pitch))
        ours = steady_pitch(spectra(sound, 48_000), hz(tone.pitch), 48_000)
        assert ours is not None
        assert ours.cents == pytest.approx(theirs, abs=2.0)
