"""`gripway consistency`: exit codes, forms, several files, what the flute has."""

import csv
import io
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import fingering, note, part, score


def file(folder: Path, name: str, *marks: str, pitch: str = "F#6") -> Path:
    """A score of one pitch between E6 and G6, as often as there are marks, each with its fingering."""
    cells = "".join(note("E6") + note(pitch, inside=fingering(mark)) + note("G6") for mark in marks)
    path = folder / name
    path.write_bytes(score(part(cells)))
    return path


def test_marks_that_agree(tmp_path: Path) -> None:
    """One line, exit 0."""
    answer = ask("consistency", file(tmp_path, "a.musicxml", "T 1 3 | 2 Eb", "T 1 3 | 2 Eb"))
    assert (answer.code, answer.out) == (0, "Nothing to report: the marks agree.\n")


def test_a_figure_with_two_grips_in_two_files(tmp_path: Path) -> None:
    """Both places are named, the exit code says that something was found."""
    first = file(tmp_path, "a.musicxml", "T 1 3 | 2 Eb")
    second = file(tmp_path, "b.musicxml", "T 1 | Eb")
    answer = ask("consistency", first, second)
    assert answer.code == 1
    assert f"{second}, Flute" in answer.out
    assert f"T 1 | Eb here, T 1 3 | 2 Eb in the same figure in bar 1 (Flute, {first})" in answer.out
    assert answer.out.endswith("1 to look at\n")


def test_the_forms_tell_the_same(tmp_path: Path) -> None:
    """JSON and CSV have the same findings with the same keys."""
    path = file(tmp_path, "a.musicxml", "3", "T 1 2 | 3 Eb")
    data = ask("consistency", path, "--format", "json").json["findings"]
    rows = list(csv.DictReader(io.StringIO(ask("consistency", path, "--format", "csv").out)))
    assert [row["kind"] for row in rows] == ["unreadable", "no-grip"]
    assert rows == data


def test_what_the_flute_has(tmp_path: Path) -> None:
    """A low B is looked at on a flute with C foot, not on one with B foot."""
    path = file(tmp_path, "low.musicxml", "T 1 2 3 | 1 2 3 C B", pitch="B3")
    assert "needs b-foot" in ask("consistency", path).out
    assert ask("consistency", path, "--with", "b-foot").code == 0


def test_all_flutes_of_a_score_are_looked_at_unless_some_are_named() -> None:
    """The oboe's finger numbers are not ours to judge."""
    bad = note("E6", inside=fingering("3"))
    data = score(part(bad, name="Flute 1"), part(bad, name="Oboe"), part(bad, name="Flute 2"))
    every = ask("consistency", "-", "--format", "json", stdin=data).json["findings"]
    one = ask("consistency", "-", "--part", "Flute 2", "--format", "json", stdin=data).json["findings"]
    assert [each["part"] for each in every] == ["Flute 1", "Flute 2"]
    assert [each["part"] for each in one] == ["Flute 2"]


@pytest.mark.parametrize(
    ("words", "said"), [(("none.musicxml",), "no such file"), (("-", "-"), "can be read once"), ((), "SCORE")]
)
def test_what_cannot_be_asked(words: tuple[str, ...], said: str) -> None:
    """Exit 2, nothing on standard output."""
    answer = ask("consistency", *words)
    assert (answer.code, answer.data) == (2, b"")
    assert said in answer.err
