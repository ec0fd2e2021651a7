"""A player whose fingers are known: the recordings they would make of the pairs and scales of the card."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from tests.listening.played_notes import played, trill_notes
from tests.sound.wav_bytes import wav

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.times.take_names import ScaleRun, take_named
from gripway.sound.recording import Recording
from gripway.tasks.own.finger_times import pairs_to_record


def trill_of(
    pair: FingerPair, base_ms: float, weights: Mapping[str, float], seed: int, length_s: float = 3.0
) -> Recording:
    """A take of a pair by the law of an alternation, with 3 % between takes and 4 % between notes."""
    chance = np.random.default_rng(seed)
    note_ms = base_ms * pair.factor * max(weights[finger] for finger in pair.fingers)
    note_ms *= float(np.exp(0.03 * chance.standard_normal()))
    notes = trill_notes(pair.low, pair.high, 1000.0 / note_ms, length_s, 0.04, seed)
    return played(notes, seed=seed, noise=0.02, source=f"{pair.name} {seed}.wav")


def scale_of(pitches: Sequence[int], note_ms: float, uneven: float, seed: int, source: str) -> Recording:
    """A scale at a tempo whose notes differ in length by a share `uneven`."""
    chance = np.random.default_rng(seed)
    at, notes = 0.5, list[tuple[float, int | None, float]]([(0.0, None, 0.0)])
    steps = 1.0 + uneven * chance.standard_normal(len(pitches))
    for pitch, step in zip(pitches, steps / steps.mean(), strict=True):
        notes.append((at, pitch, 0.0))
        at += note_ms / 1000.0 * step
    return played([*notes, (at, None, 0.0), (at + 0.3, None, 0.0)], seed=seed, noise=0.02, source=source)


def as_wav(recording: Recording, path: Path) -> Path:
    """The recording as a file of 16 bits, mono."""
    path.write_bytes(wav(recording.samples, recording.rate_hz))
    return path


def some_takes(folder: Path) -> list[Path]:
    """Files of one trill, of one that is too short to count, and of a scale that is even, then uneven."""
    pair = pairs_to_record()[0]
    weights = effort_tables().finger_weight
    takes = [as_wav(trill_of(pair, 100.0, weights, 1), folder / f"{pair.name}.wav")]
    takes.append(as_wav(trill_of(pair, 100.0, weights, 2, length_s=1.0), folder / f"{pair.name} 2.wav"))
    for tempo, uneven in ((100, 0.02), (140, 0.3)):
        name = f"scale G4-G5 {tempo}.wav"
        run = take_named(name)
        assert isinstance(run, ScaleRun)
        takes.append(as_wav(scale_of(run.pitches, run.note_ms, uneven, 3, name), folder / name))
    return takes


MEASURED = """[measured]
date = 2026-11-20
pairs = 12
takes = 36
base_ms = 105.0
base_spread_ms = 3.0
weights = { LT = 1.4, L1 = 1.2, L2 = 1.05, L3 = 1.1, L4 = 1.2, R1 = 1, R2 = 1, R3 = 1.1, R4 = 1.5 }
spreads = { LT = 0.1, L1 = 0.1, L2 = 0.1, L3 = 0.1, L4 = 0.1, R1 = 0.1, R2 = 0.1, R3 = 0.1, R4 = 0.1 }
line_factor = 1.1
line_spread = 0.05
"""
"""The table of a player whose thumb and right little finger are slow."""
