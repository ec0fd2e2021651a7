"""Onsets of a known line in sound made in the test: placed within milliseconds, missed notes found."""

import numpy as np
import pytest
from tests.listening.played_notes import played
from tests.tiers import thinned

from gripway.catalog.tables.times_figures import times_figures
from gripway.errors import RecordingError
from gripway.listening.times.note_onsets import LineNote, note_onsets
from gripway.sound.recording import Recording

FIGURES = times_figures()
LINES = {
    "low": (60, 62, 64, 65, 67, 69, 71, 72, 71, 69, 67, 65, 64, 62, 60),
    "middle": (74, 76, 78, 79, 81, 83, 85, 86, 85, 83, 81, 79, 78, 76, 74),
    "chords": (72, 76, 79, 84, 79, 76, 72, 76, 79, 84, 88, 84, 79),
    "octaves": (72, 84, 72, 84, 79, 91, 79, 67),
    "tongued": (79, 79, 79, 81, 81, 79, 79),
}
TRUE_S = 0.7


def line_of(pitches: tuple[int, ...], each_ms: float) -> list[LineNote]:
    """Even notes."""
    return [LineNote(pitch, place * each_ms, each_ms) for place, pitch in enumerate(pitches)]


def made(
    pitches: tuple[int, ...], each_ms: float, *, left_out: int | None = None, **sound: float
) -> tuple[Recording, np.ndarray]:
    """The line played with 8 ms of jitter, 2% slower than written; same pitches are tongued."""
    chance = np.random.default_rng(3)
    onsets = TRUE_S + np.arange(len(pitches)) * each_ms / 1000.0 * 1.02
    onsets = onsets + chance.normal(0.0, 0.008, len(pitches))
    notes: list[tuple[float, int | None, float]] = [(0.0, None, 0.0)]
    for place, (at, pitch) in enumerate(zip(onsets, pitches, strict=True)):
        notes.append((float(at), None if place == left_out else pitch, float(chance.normal(0.0, 8.0))))
        if place + 1 < len(pitches) and pitches[place + 1] == pitch:
            ends = min(float(at) + each_ms / 1000.0 * 0.85, float(onsets[place + 1]) - 0.015)
            notes.append((ends, None, 0.0))
    notes += [(float(onsets[-1]) + each_ms / 1000.0, None, 0.0), (float(onsets[-1]) + 1.0, None, 0.0)]
    return played(notes, seed=4, **sound), onsets


@pytest.mark.parametrize("each_ms", thinned([100.0, 125.0, 250.0], 3))
@pytest.mark.parametrize("name", list(LINES))
def test_onsets_are_placed_within_milliseconds(name: str, each_ms: float) -> None:
    """Dry: nine in ten within 8 ms of the truth, after what is common to all."""
    recording, onsets = made(LINES[name] * 2, each_ms)
    found = note_onsets(recording, line_of(LINES[name] * 2, each_ms), FIGURES)
    off_ms = 1000.0 * (np.array(found, dtype=float) - onsets)
    assert np.quantile(np.abs(off_ms - np.median(off_ms)), 0.9) < 8.0


@pytest.mark.parametrize("name", ["low", "middle", "chords"])
def test_a_room_and_noise_are_borne(name: str) -> None:
    """With noise, echo and vibrato nine in ten within 10 ms."""
    recording, onsets = made(LINES[name], 125.0, noise=0.1, echo_s=0.4, vibrato_cents=12.0)
    found = note_onsets(recording, line_of(LINES[name], 125.0), FIGURES)
    off_ms = 1000.0 * (np.array(found, dtype=float) - onsets)
    assert np.quantile(np.abs(off_ms - np.median(off_ms)), 0.9) < 10.0


def test_a_missed_note_is_none_and_the_others_stay() -> None:
    """Silence in place of the sixth note: it alone is missed, the others lie where they are."""
    pitches = LINES["middle"]
    recording, onsets = made(pitches, 200.0, left_out=5)
    found = note_onsets(recording, line_of(pitches, 200.0), FIGURES)
    assert found[5] is None
    heard = [place for place in range(len(pitches)) if place != 5]
    assert max(abs(1000.0 * (float(found[k] or 0.0) - onsets[k])) for k in heard) < 15.0


def test_other_notes_silence_and_too_short_a_recording_are_refused() -> None:
    """Each with the file, and what to do."""
    recording, _ = made(LINES["low"], 125.0)
    line = line_of(LINES["low"], 125.0)
    with pytest.raises(RecordingError, match="in their order"):
        note_onsets(recording, line_of((85, 90, 87, 92, 88, 85, 90, 87, 92, 88, 85, 90), 125.0), FIGURES)
    with pytest.raises(RecordingError, match="nothing is heard"):
        note_onsets(Recording(np.zeros(60_000), 22_050, source="s.wav"), line, FIGURES)
    with pytest.raises(RecordingError, match=r"only 1\.0 s"):
        note_onsets(Recording(recording.samples[:22_050], 22_050, source="s.wav"), line, FIGURES)
