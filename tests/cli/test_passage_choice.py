"""A SCORE or --notes: one of them, with the options that fit it."""

from fractions import Fraction
from pathlib import Path

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
        (["-", "--bracket", "--format", "csv"], "--bracket: this option is for --format musicxml"),
        (["-", "--mark-as", "lyric", "--format", "html"], "--mark-as: this option is for --format musicxml"),
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


LINE = "(E6 F#6 G#6 A6) r E6:1/4"


def test_notes_may_stand_in_a_file_or_come_from_standard_input(tmp_path: Path) -> None:
    """The same answer as for the line itself; a file of several lines is one line, with a mark or without."""
    path = tmp_path / "part.txt"
    path.write_bytes(b"\xef\xbb\xbf" + LINE.replace(" r", "\r\nr").encode())
    more = ("--tempo", "140", "--format", "json")
    plain = ask("finger", "--notes", LINE, *more)
    assert ask("finger", path, *more) == plain
    assert ask("finger", "--notes", "-", *more, stdin=LINE.encode()) == plain
    assert ask("practise", path, *more) == ask("practise", "--notes", LINE, *more)


@pytest.mark.parametrize(
    ("data", "words", "said"),
    [
        (b"E6 Fis6", (), "part.txt: word 2, 'Fis6': 'Fis6' is neither a pitch"),
        (b" ", (), "part.txt: there are no notes"),
        (b"E6 \xff", (), "part.txt: is no UTF-8 text. Save it as UTF-8"),
        (b"E6 " * 400_000, (), "cannot be read: it is longer than 1024 KiB"),
        (b"E6", ("--bars", "2"), "--bars: this option is for a SCORE"),
        (b"E6", ("--out", "part.txt"), "part.txt: the output would overwrite the input"),
    ],
)
def test_a_file_of_notes_is_refused_by_its_name(
    data: bytes, words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is wrong in it has its name and word; the file stays."""
    monkeypatch.chdir(tmp_path)
    Path("part.txt").write_bytes(data)
    answer = ask("finger", "part.txt", *words)
    assert (answer.code, answer.data, Path("part.txt").read_bytes()) == (2, b"", data)
    assert said in answer.err


def test_standard_input_has_a_name_and_a_bound() -> None:
    """What comes without a file is told as such."""
    for data, said in (
        (b"E6 X9", "standard input: word 2"),
        (b"E6 " * 400_000, "standard input: longer than"),
    ):
        answer = ask("finger", "--notes", "-", stdin=data)
        assert (answer.code, said in answer.err) == (2, True)


def test_a_log_begun_with_a_file_of_notes_goes_on_without_it(tmp_path: Path) -> None:
    """It remembers the notes, so that the file may go."""
    path, log = tmp_path / "part.txt", tmp_path / "my.log"
    path.write_text("(A5 B5 C#6 D6 E6 F#6 G#6)")
    begun = ask("practise", path, "--tempo", "200", "--log", log)
    path.unlink()
    assert (begun.code, ask("practise", "--log", log).out) == (0, begun.out)
