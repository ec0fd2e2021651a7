"""Alternations written out, faster than a trill is played: they are fingered as the trill is."""

import pytest
from tests.oracles.flutes import number, solver_of
from tests.oracles.passages import played
from tests.tiers import whole

from gripway.model.pitch import plain_name

TAUGHT = {
    ("F#6", "G#6"): ("T L1 L3 | R3 Eb", "L3 | R3 Eb"),
    ("F#6", "G6"): ("T L1 L3 | R3 Eb", "L1 L3 | R3 Eb"),
    ("E6", "F#6"): ("T L1 L2 | R1 R2 Eb", "L1 L2 | R1 R2 Eb"),
    ("C6", "D6"): ("L1 | Eb", "L1 | Kd Eb"),
}
"""The usual grip of the one note and what moves for the other: common practice, no source."""


def alternating(one: str, other: str, note_ms: float) -> tuple[str, str]:
    """The grips of two notes that alternate seven times, slurred, `note_ms` each."""
    text = f"({' '.join([one, other] * 4)} {one}:1/4)"
    notes = solver_of().solve(played(text, 15000.0 / note_ms)).notes
    return notes[2].candidate.grip.text, notes[3].candidate.grip.text


@pytest.mark.parametrize("note_ms", [55.0, 70.0, 90.0])
@pytest.mark.parametrize("pair", list(TAUGHT))
def test_what_trills_is_fingered_as_the_trill(pair: tuple[str, str], note_ms: float) -> None:
    """However fast it is written: the fingers are those taught for the trill."""
    assert alternating(*pair, note_ms) == TAUGHT[pair]


@whole
def test_most_fast_alternations_have_nearly_the_best_pair_of_their_trill() -> None:
    """Half and whole tones and thirds from C5 to B6, at 60 ms a note: no worse than a point in most."""
    solver, missed, all_pairs = solver_of(), [], 0
    points, grips_of = solver.trill_points.points, solver.model.grips_of
    for semitones in (1, 2, 3):
        for low in range(number("C5"), number("B6") - semitones + 1):
            one, other = plain_name(low), plain_name(low + semitones)
            best = min(points(a, b) for a in grips_of(low) for b in grips_of(low + semitones))
            notes = solver.solve(played(f"({' '.join([one, other] * 4)} {one}:1/4)", 250.0)).notes
            all_pairs += 1
            if points(notes[2].candidate, notes[3].candidate) > best + 1.0:
                missed.append((one, other))
    assert all_pairs == 66
    assert len(missed) <= 9, missed
