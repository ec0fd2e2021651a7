"""Note values that last a given time, tied."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.errors import RequestError
from gripway.score.writing.note_values import SHORTEST, NoteValue, values_of


def written(at: str, length: str) -> list[str]:
    """The values of a length as words: `quarter.` is dotted, `eighth 3:2` in a triplet."""
    values = values_of(Fraction(at), Fraction(length))
    return [v.type + "." * v.dots + (f" {v.actual}:{v.normal}" if v.actual > 1 else "") for v in values]


@pytest.mark.parametrize(
    ("at", "length", "values"),
    [
        ("0", "1/4", ["quarter"]),
        ("0", "3/8", ["quarter."]),
        ("0", "7/16", ["quarter.."]),
        ("1/8", "1/4", ["quarter"]),
        ("1/16", "1/4", ["eighth.", "16th"]),
        ("0", "5/8", ["half", "eighth"]),
        ("0", "1/12", ["eighth 3:2"]),
        ("0", "1/6", ["quarter 3:2"]),
        ("0", "1/24", ["16th 3:2"]),
        ("0", "1/20", ["16th 5:4"]),
        ("0", "1/28", ["16th 7:4"]),
        ("1/12", "1/6", ["quarter 3:2"]),
    ],
)
def test_lengths_are_written_as_players_know_them(at: str, length: str, values: list[str]) -> None:
    """Plain, dotted, syncopated, cut at the beat, and in tuplets (common practice, no source)."""
    assert written(at, length) == values


@given(st.integers(0, 256), st.integers(1, 512), st.sampled_from([1, 3, 5, 7, 9, 15]))
def test_the_values_last_just_as_long(at: int, length: int, odd: int) -> None:
    """Added up, the values are the length, whatever the place and the tuplet."""
    whole = Fraction(length, 128 * odd)
    values = values_of(Fraction(at, 128), whole)
    assert sum(value.length for value in values) == whole


@pytest.mark.parametrize("length", [Fraction(1, 999983), SHORTEST / 2, Fraction(1, 67)])
def test_a_length_no_note_has_is_refused(length: Fraction) -> None:
    """Tuplets nobody counts and notes shorter than a 1024th are an error that says what to write."""
    with pytest.raises(RequestError, match="cannot be written"):
        values_of(Fraction(0), length)


def test_flags_count_the_beams_of_a_type() -> None:
    """A quarter has none, an eighth one, a 32nd three."""
    assert [NoteValue(Fraction(1, each)).flags for each in (1, 4, 8, 32)] == [0, 0, 1, 3]
