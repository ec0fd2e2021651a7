"""Numbers of scores: plain and bounded, or none."""

from fractions import Fraction

import pytest

from gripway.score.xml.numerals import decimal, shown, whole


@pytest.mark.parametrize(
    ("text", "number"),
    [("480", Fraction(480)), (" -1.5\n", Fraction(-3, 2)), ("+.5", Fraction(1, 2)), ("7.", Fraction(7))],
)
def test_a_decimal_is_that_of_xml_schema(text: str, number: Fraction) -> None:
    """Sign, digits and a point (XML Schema part 2, 3.2.3), with blanks around it."""
    assert decimal(text) == number


@pytest.mark.parametrize(
    "text",
    ["", ".", "1e9", "1e99999999", "1/2", "\u00b2", "\u0663", "9" * 10, "0." + "1" * 19, "INF", "0x1", "1_0"],
)
def test_anything_else_is_no_decimal(text: str) -> None:
    """Exponents, fraction bars, other digits, and more digits than any score has."""
    assert decimal(text) is None


def test_a_whole_number_has_nine_digits_at_most() -> None:
    """More is no number of a score, and Python would not even count 5,000."""
    assert (whole("9" * 9), whole("9" * 10), whole("9" * 5000)) == (999_999_999, None, None)


def test_an_odd_text_is_shown_cut() -> None:
    """An error shows the beginning of a number of a million digits."""
    assert shown("9" * 1_000_000) == repr("9" * 40 + "\u2026")
