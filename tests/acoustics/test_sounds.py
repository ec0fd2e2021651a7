"""What hole patterns sound: the resonance nearest a note, and the notes of every pattern as bits."""

import json

import numpy as np
import pytest
from tests.acoustics.measured_flute import FLUTE, KNOWN, atlas_of, number, pattern, standard_patterns
from tests.oracles.finger_states import finger_states

from gripway.acoustics.atlas import Atlas
from gripway.acoustics.sounds import Sounds, nearest_resonances, rows_of, sounds
from gripway.catalog.tables.acoustic_limits import acoustic_limits

ATLAS = atlas_of()


def tiny(numbers: list[list[float]], loss: list[list[float]], sharpness: list[list[float]]) -> Atlas:
    """An atlas of patterns 0, 1, ... made by hand."""
    return Atlas(np.arange(len(numbers)), np.array(numbers), np.array(loss), np.array(sharpness))


def notes(bits: int) -> set[int]:
    """Note numbers of the bits."""
    return {n for n in range(bits.bit_length()) if bits >> n & 1}


def test_the_nearest_resonance_is_heard() -> None:
    """Of the resonances of a pattern the one nearest to the note counts, with its own loss."""
    found = nearest_resonances(
        tiny([[60.1, 72.2, np.nan]], [[0.1, 0.2, np.nan]], [[60.0, 50.0, np.nan]]), 71.0
    )
    assert found.numbers[0] == pytest.approx(72.2)
    assert found.loss[0] == pytest.approx(0.2)
    assert found.sharpness[0] == pytest.approx(50.0)
    assert found.gap_cents[0] == pytest.approx(1210.0)


def test_a_dull_resonance_closes_no_gap() -> None:
    """A lower resonance with a small quality factor makes no gap; without any other it is infinite."""
    found = nearest_resonances(
        tiny([[60.0, 70.0, 72.0], [72.0, np.nan, np.nan]], [[0.1] * 3] * 2, [[60, 9, 60]] * 2), 72.0
    )
    assert found.gap_cents.tolist() == [1200.0, np.inf]


def test_a_resonance_between_two_notes_sounds_both() -> None:
    """Within 60 cents it counts as near to both, but only one note is the nearest."""
    found = sounds(tiny([[60.45, 72.1]], [[0.1, 0.1]], [[60.0, 60.0]]), {60: 0})
    assert notes(found.near[0]) == {60, 61, 72}
    assert notes(found.nearest[0]) == {60, 72}


def test_weak_resonances_sound_nothing() -> None:
    """Too dull, or too lossy against the standard grips up to the note, is no sound."""
    most = acoustic_limits().sounds_loss_ratio
    found = sounds(
        tiny(
            [[60.0, 72.0, 84.0]] * 2,
            [[0.1, 0.2, 0.3], [0.1 * most * 1.01, 0.2, 0.3]],
            [[60, 9, 60], [60] * 3],
        ),
        {60: 0, 84: 0},
    )
    assert notes(found.near[0]) == {60, 84}
    assert notes(found.near[1]) == {72, 84}


def test_patterns_are_found_by_their_rows() -> None:
    """A pattern an atlas has not gets -1."""
    own = tiny([[60.0]] * 3, [[0.1]] * 3, [[40.0]] * 3)
    assert rows_of(own, np.array([2, 0, 7])).tolist() == [2, 0, -1]


def test_every_standard_grip_sounds_its_note() -> None:
    """From C4 to C#7 the model sounds each standard grip within the window of its note."""
    for note, holes in standard_patterns().items():
        if note <= number("C#7"):
            assert KNOWN.near[holes] >> note & 1, note


def test_a_low_grip_sounds_its_partials() -> None:
    """Low C sounds C5 G5 C6 E6 G6 C7 too (partials 2 3 4 5 6 8, facts of the trade)."""
    low_c = KNOWN.near[pattern("T L1 L2 L3 | R1 R2 R3 C")]
    assert {number(name) for name in ("C4", "C5", "G5", "C6", "E6", "G6", "C7")} <= notes(low_c)
    assert number("D5") not in notes(low_c)


def test_they_survive_json() -> None:
    """Written as JSON and read again they are the same, plain whole numbers."""
    assert Sounds.of_data(json.loads(json.dumps(KNOWN.data()))) == KNOWN
    assert {type(bits) for bits in KNOWN.near.values()} == {int}


def test_every_pattern_of_the_flute_is_there() -> None:
    """One entry for each hole pattern that fingers make."""
    holes = {FLUTE.mechanism.hole_pattern(grip) for grip in finger_states(FLUTE.mechanism)}
    assert set(KNOWN.near) == set(KNOWN.nearest) == holes
