"""Hertz, cents, note numbers and milliseconds."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.units import frequency_hz, length_ms, quarter_ms


def test_a4_is_the_standard_tuning_pitch() -> None:
    """A4 sounds at 440 Hz."""
    assert frequency_hz(69) == 440.0  # ISO 16:1975


@pytest.mark.parametrize(
    ("number", "expected_hz"),
    # equal-tempered pitches above A4 = 440 Hz to two decimals, printed in many handbooks (from memory)
    [(60, 261.63), (59, 246.94), (74, 587.33), (84, 1046.50), (96, 2093.00)],
)
def test_equal_temperament_gives_the_handbook_frequencies(number: int, expected_hz: float) -> None:
    """Frequencies agree with the handbook table of equal temperament to its two decimals."""
    assert frequency_hz(number) == pytest.approx(expected_hz, abs=0.005)


@given(st.floats(min_value=20, max_value=400))
def test_a_minute_holds_as_many_quarters_as_the_tempo_says(tempo: float) -> None:
    """A tempo of n has n quarters in a minute."""
    assert quarter_ms(tempo) * tempo == pytest.approx(60_000)


@given(st.fractions(min_value=0, max_value=4), st.floats(min_value=20, max_value=400))
def test_a_note_value_is_counted_in_whole_notes(length: Fraction, tempo: float) -> None:
    """A whole note lasts four quarters, and every note value its share of that."""
    assert length_ms(length, tempo) == pytest.approx(4 * float(length) * quarter_ms(tempo))
