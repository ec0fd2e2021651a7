"""A SCORE or --notes: one of them, with the options that fit it."""

from fractions import Fraction

import pytest
from tests.cli.run_gripway import REPEATS, ask
from tests.cli.tiny_scores import simple

from gripway.cli.options.passage_choice import unit_of
from gripway.errors import RequestError


def test_a_dash_reads_standard_input() -> None:
    """A score can be piped in."""
    answer = ask("finger", "-", "--format", "json", stdin=simple("E6", "F6"))
    assert (answer.code, [each["pitch"] for each in answer.json["notes"]]) == (0, ["E6", "F6"])


@pytest.mark.parametrize("words", [[], [str(REPEATS), "--notes", "E6"]])
def test_neither_and_both_are_refused(words: list[str]) -> None:
    """One of the two, with an example."""
    answer = ask("finger", *words)
    assert (answer.code, answer.data) == (2, b"")
    assert "one of the two" in answer.err
    assert "gripway finger --notes" in answer.err or "is for" in answer.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--notes", "E6", "--bars", "3"], "--bars: this option is for a SCORE, not for --notes"),
        (["--notes", "E6", "--part", "Flute"], "--part: this option is for a SCORE, not for --notes"),
        (["--notes", "E6", "--voice", "1"], "--voice: this option is for a SCORE, not for --notes"),
        (["--notes", "E6", "--keep-fingerings"], "--keep-fingerings: this option is for a SCORE"),
        (["-", "--unit", "1/8"], "--unit: this option is for --notes, not for a SCORE"),
        (["-", "--mark", "every"], "--mark: this option is for --format musicxml"),
        (["-", "--mark-as", "lyric"], "--mark-as: this option is for --format musicxml"),
        (["-", "--bracket"], "--bracket: this option is for --format musicxml"),
        (["-", "--bracket", "--format", "html"], "--bracket: this option is for --format musicxml"),
    ],
)
def test_an_option_that_would_do_nothing_is_refused(words: list[str], said: str) -> None:
    """Nothing asked for is silently passed over."""
    answer = ask("finger", *words, stdin=simple("E6"))
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith(f"gripway: {said}")


@pytest.mark.parametrize(("text", "unit"), [("1/16", (1, 16)), ("1", (1, 1)), (" 3/16 ", (3, 16))])
def test_a_unit_is_a_note_value(text: str, unit: tuple[int, int]) -> None:
    """A fraction of a whole note."""
    assert unit_of(text) == Fraction(*unit)


@pytest.mark.parametrize("text", ["0", "1/0", "-1/8", "5", "x", "", "1e99999999", "1/²", "0.125"])
def test_what_is_no_note_value_is_refused(text: str) -> None:
    """With the values one would write; a huge exponent is refused at once, not worked out."""
    with pytest.raises(RequestError, match="is no note value") as refusal:
        unit_of(text)
    assert (refusal.value.place, "1/8" in refusal.value.next_step) == ("--unit", True)
