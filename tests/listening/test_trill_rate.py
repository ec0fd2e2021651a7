"""Trills made in the test, whose every note is known, are measured; what is no trill is refused."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.listening.played_notes import played, trill_notes
from tests.tiers import thinned

from gripway.catalog.tables.times_figures import times_figures
from gripway.errors import RecordingError
from gripway.listening.times.trill_rate import EDGE_PERIODS, TrillRate, _rate, trill_rate
from gripway.sound.recording import Recording

FIGURES = times_figures()
DRY: dict[str, Any] = {}
ROOM = {"noise": 0.1, "echo_s": 0.4, "vibrato_cents": 15.0}
"""Noise 20 dB below the notes, a room whose sound falls by 60 dB in 0.4 s, vibrato."""

NARROW = ((60, 61), (60, 62), (62, 63), (67, 69), (71, 72), (72, 74), (76, 77), (84, 86), (91, 93))
WIDE = ((76, 79), (62, 70), (69, 78), (60, 72), (67, 79), (74, 86))


def heard(low: int, high: int, notes_per_s: float, seed: int, **sound: Any) -> tuple[TrillRate, float, float]:
    """A trill measured, with the true time a note (ms) and the true unevenness of its periods."""
    notes = trill_notes(low, high, notes_per_s, 4.0 if notes_per_s > 6 else 6.0, 0.05, seed, lean=25.0)
    onsets = np.array([at for at, number, _ in notes[:-1] if number is not None])
    periods = onsets[2:] - onsets[:-2]
    found = trill_rate(played(notes, seed=seed, **sound), low, high, FIGURES)
    return found, 1000.0 * float(np.diff(onsets).mean()), float(periods.std() / periods.mean())


@pytest.mark.parametrize("sound", [DRY, ROOM], ids=["dry", "room"])
@pytest.mark.parametrize("notes_per_s", thinned([4, 8, 12, 16], 3))
@pytest.mark.parametrize(("low", "high"), thinned((*NARROW, *WIDE), 5))
def test_the_rate_is_known_within_two_percent(
    low: int, high: int, notes_per_s: int, sound: dict[str, Any]
) -> None:
    """4 to 16 notes a second, seconds to octaves, dry and in a room; the upper note 25 cents sharp."""
    found, true_ms, _ = heard(low, high, notes_per_s, low + high + notes_per_s, **sound)
    assert abs(found.note_ms / true_ms - 1.0) < 0.02
    assert found.notes_per_s == pytest.approx(1000.0 / found.note_ms)


@pytest.mark.parametrize(("low", "high"), thinned((*NARROW, *WIDE), 5))
def test_unevenness_is_known_within_two_percent(low: int, high: int) -> None:
    """The periods' standard deviation over their mean, dry, against that of the onsets themselves."""
    for notes_per_s in (8, 12):
        found, _, true_share = heard(low, high, notes_per_s, low + high, **DRY)
        assert abs(found.uneven_share - true_share) < 0.02


@given(st.floats(5.0, 14.0), st.integers(64, 88), st.integers(1, 4), st.integers(0, 1000))
def test_any_trill_of_small_intervals(notes_per_s: float, low: int, wide: int, seed: int) -> None:
    """Whatever the speed, the notes and the jitter of the moment, within two percent."""
    found, true_ms, _ = heard(low, low + wide, notes_per_s, seed, noise=0.05)
    assert abs(found.note_ms / true_ms - 1.0) < 0.02


def test_loudness_and_rate_of_the_file_do_not_matter() -> None:
    """A hundredth of the loudness gives the same; so do 44.1 kHz."""
    notes = trill_notes(67, 69, 10.0, 4.0, 0.03, 1)
    loud = played(notes, seed=1)
    soft = Recording(loud.samples / 100.0, loud.rate_hz, source="soft.wav")
    fine = played(notes, seed=1, rate_hz=44_100)
    rates = [trill_rate(each, 67, 69, FIGURES).note_ms for each in (loud, soft, fine)]
    assert rates[1] == pytest.approx(rates[0], rel=1e-6)
    assert rates[2] == pytest.approx(rates[0], rel=2e-3)


def test_what_is_no_trill_is_refused_with_its_place() -> None:
    """Silence, noise, one held note, two other notes, half a second: each names the file and the time."""
    length = 22_050 * 3
    chance = np.random.default_rng(1)
    trill = played(trill_notes(67, 69, 10.0, 4.0), source="a.wav")
    held = played([(0.0, 67, 0.0), (3.0, None, 0.0)], source="a.wav")
    wrong = {
        "not heard": Recording(np.zeros(length), 22_050, source="a.wav"),
        "other notes": Recording(0.1 * chance.standard_normal(length), 22_050, source="a.wav"),
        "one note is heard": held,
        "only 0.5 s": Recording(trill.samples[:11_025], 22_050, source="a.wav"),
    }
    for words, recording in wrong.items():
        with pytest.raises(RecordingError, match=words) as told:
            trill_rate(recording, 67, 69, FIGURES)
        assert told.value.place.startswith("a.wav, ")
        assert told.value.next_step
    with pytest.raises(RecordingError):
        trill_rate(trill, 76, 77, FIGURES)
    with pytest.raises(RecordingError, match="no trill"):
        trill_rate(trill, 67, 67, FIGURES)


def test_a_stumble_is_left_out_and_counted() -> None:
    """One note four times as long is no period of the trill."""
    notes = trill_notes(67, 69, 10.0, 4.0, 0.02, 3)
    late = [(at + (0.3 if at > 2.0 else 0.0), number, cents) for at, number, cents in notes]
    found = trill_rate(played(late), 67, 69, FIGURES)
    assert found.note_ms == pytest.approx(100.0, rel=0.02)
    assert found.stumbles == 1


def test_an_octave_is_the_widest_trill_and_is_heard_from_its_least_length_on() -> None:
    """Up to an octave, and in a take of just the least length, it is listened to: nothing sounds here."""
    samples = int(FIGURES.trill_least_s * 8_000)
    assert samples / 8_000 == FIGURES.trill_least_s
    long, short = (Recording(np.zeros(count), 8_000, 0.0, "trill.wav") for count in (samples, samples - 80))
    with pytest.raises(RecordingError, match="not heard"):
        trill_rate(long, 60, 72, FIGURES)
    with pytest.raises(RecordingError, match="s long"):
        trill_rate(short, 60, 72, FIGURES)
    with pytest.raises(RecordingError, match="are no trill"):
        trill_rate(long, 60, 73, FIGURES)


def test_a_trill_has_its_least_periods() -> None:
    """With just so many between its ends it is measured, with one fewer it is refused."""
    count = int(FIGURES.trill_least_periods) + 2 * EDGE_PERIODS + 1
    times = 0.2 * np.arange(count)
    recording = Recording(np.zeros(8_000), 8_000, 0.0, "trill.wav")
    assert _rate(recording, times, times + 0.1, FIGURES, 0.0).periods == FIGURES.trill_least_periods
    with pytest.raises(RecordingError, match="up and down again"):
        _rate(recording, times[:-1], times + 0.1, FIGURES, 0.0)
