"""Where elements stand in a bar, and what is out of all bounds there."""

import pytest
from tests.score.small_scores import bar, note, read, score

from gripway.errors import ScoreError
from gripway.score.reading.bar_positions import LONGEST

LONG = f"<forward><duration>{LONGEST * 16}</duration></forward>"
"""With divisions 4 a whole note has 16; this one reaches the longest bar."""

ODD = {
    "exponent": note("E6").replace(">4<", ">1e99999999<"),
    "400 digits": note("E6").replace(">4<", f">{'9' * 400}<"),
    "too long": note("E6", LONGEST * 16 + 1),
    "too long together": LONG + note("E6", 1),
    "offset": "<direction><offset sound='yes'>-999999999</offset></direction>" + note("E6"),
    "beats": "<attributes><time><beats>1001</beats><beat-type>4</beat-type></time></attributes>" + note("E6"),
    "beat type": "<attributes><time><beats>4</beats><beat-type>2048</beat-type></time></attributes>"
    + note("E6"),
    "divisions": "<attributes><divisions>1e300</divisions></attributes>" + note("E6"),
    "too fine": "<attributes><divisions>999999999</divisions></attributes>"
    + note("E6", 1)
    + "<attributes><divisions>999999937</divisions></attributes>"
    + note("E6", 1),
}


@pytest.mark.parametrize("case", ODD)
def test_a_number_out_of_all_bounds_is_an_error_with_file_and_bar(case: str) -> None:
    """Each is refused where it stands, with what to do."""
    with pytest.raises(ScoreError) as caught:
        read(score(bar(note("E6")), bar(ODD[case], "X2")))
    assert caught.value.place.endswith(", bar X2")
    assert caught.value.next_step


def test_the_longest_bar_is_read() -> None:
    """The bound itself is no error."""
    assert read(score(bar(note("E6", LONGEST * 16)))).passage.notes[0].length == LONGEST


def test_a_chord_that_nobody_began_is_an_error() -> None:
    """The first note of a bar cannot sound together with one before it."""
    with pytest.raises(ScoreError, match="bar 2: the first note of the bar belongs to a chord"):
        read(score(bar(note("E6")), bar(note("F6", before="<chord/>"), "2")))


def test_bars_whose_lengths_have_no_common_unit_are_an_error() -> None:
    """Divisions without a common factor from bar to bar would make onsets of endless digits."""
    primes = (99_999_989, 99_999_971, 99_999_959)
    bars = [
        bar(f"<attributes><divisions>{prime}</divisions></attributes>" + note("E6", 1), str(number))
        for number, prime in enumerate(primes, start=1)
    ]
    with pytest.raises(ScoreError, match="bar 2: the lengths of the bars have no common unit"):
        read(score(*bars))


def test_repeats_that_make_too_many_notes_are_an_error() -> None:
    """200 notes 40,000 times are eight million."""
    again = '<barline><repeat direction="backward" times="40000"/></barline>'
    with pytest.raises(ScoreError, match="bar 1: the repeats make more than 500000 notes"):
        read(score(bar(note("E6") * 200 + again)))
