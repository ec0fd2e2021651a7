"""Several scores in one call of `gripway finger`: an answer each, and errors file by file."""

import json
import shutil
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import note, part, score, simple

from gripway.cli.several_scores import ENDINGS, FOR_ONE_SCORE

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two scores, a line of notes, and something that is no score."""
    (tmp_path / "a.musicxml").write_bytes(simple("E6", "A6"))
    (tmp_path / "b.xml").write_bytes(simple("F6", "G6"))
    (tmp_path / "c.txt").write_text("C6 D6")
    (tmp_path / "d.musicxml").write_text("no score")
    return tmp_path


def given(folder: Path, *names: str) -> list[Path]:
    """Files of the folder, by the first letters of their names."""
    return [path for name in names for path in folder.glob(f"{name}.*")]


def test_on_the_screen_each_answer_stands_under_its_name(folder: Path) -> None:
    """The answers are those given one by one."""
    scores = given(folder, "a", "b", "c")
    answer = ask("finger", *scores, "--tempo", 100)
    alone = [f"{path}\n{ask('finger', path, '--tempo', 100).out}" for path in scores]
    assert (answer.code, answer.out) == (0, "\n".join(alone))


@pytest.mark.parametrize("form", ["musicxml", *ENDINGS])
def test_in_a_folder_each_answer_is_a_file(folder: Path, form: str) -> None:
    """The answers are those given one by one; the folder is made; marked scores keep their names."""
    scores, out = given(folder, "a", "b"), folder / "new" / "answers"
    assert ask("finger", *scores, "--format", form, "--out", out).code == 0
    names = ["a.musicxml", "b.xml"] if form == "musicxml" else [f"a{ENDINGS[form]}", f"b{ENDINGS[form]}"]
    assert sorted(path.name for path in out.iterdir()) == names
    for path, name in zip(scores, names, strict=True):
        assert (out / name).read_bytes() == ask("finger", path, "--format", form).data


def test_notes_become_scores_beside_marked_scores(folder: Path) -> None:
    """A line of notes has the ending of a score."""
    out = folder / "out"
    assert ask("finger", *given(folder, "a", "c"), "--format", "musicxml", "--out", out).code == 0
    assert sorted(path.name for path in out.iterdir()) == ["a.musicxml", "c.musicxml"]


def test_a_score_that_is_none_does_not_stop_the_others(folder: Path) -> None:
    """Exit code 1, the error at the end with the file's name, in JSON as an object."""
    scores, out = given(folder, "d", "a"), folder / "out"
    answer = ask("finger", *scores, "--format", "json", "--out", out)
    assert (answer.code, answer.data) == (1, b"")
    error = json.loads(answer.err.splitlines()[-1])["error"]
    assert "d.musicxml" in error["place"]
    assert error["next_step"]
    assert [path.name for path in out.iterdir()] == ["a.json"]


def test_an_error_of_an_option_names_the_file_too(folder: Path) -> None:
    """Where the option is right for another file."""
    (folder / "two.musicxml").write_bytes(score(part(note("E6")), part(note("A6"), name="Oboe")))
    answer = ask("finger", *given(folder, "a", "two"), "--part", "Oboe")
    assert answer.code == 1
    assert "gripway: a.musicxml" in answer.err
    assert "two.musicxml" in answer.out


def test_where_every_score_is_refused_the_code_is_2(folder: Path) -> None:
    """Each with its own message."""
    answer = ask("finger", folder / "d.musicxml", folder / "nope.musicxml")
    assert (answer.code, answer.data) == (2, b"")
    assert [line.partition(":")[0] for line in answer.err.splitlines()] == ["gripway"] * 2


def test_gaps_in_one_score_are_gaps(folder: Path) -> None:
    """Exit code 1 as with one score."""
    (folder / "gap.txt").write_text("C2")
    assert ask("finger", *given(folder, "c", "gap"), "--tempo", 100).code == 1


REFUSED = {
    ("--pin", "1=T 1 | Eb"): "for one SCORE at a time",
    ("--bars", "1-2"): "for one SCORE at a time",
    ("--alternatives", "1", "--differ-in", "1"): "for one SCORE at a time",
    ("--decisions", EXAMPLES / "decisions.toml"): "for one SCORE at a time",
    ("--notes", "E6"): "give a SCORE or --notes",
    ("-",): "standard input is one score",
    ("--format", "csv"): "Name a folder for them: --out FOLDER",
    ("--unit", "1/8"): "is for --notes, not for a SCORE",
    ("--bracket",): "is for --format musicxml",
}


@pytest.mark.parametrize(("words", "told"), REFUSED.items(), ids=str)
def test_what_makes_no_sense_for_several_is_refused_once(
    folder: Path, words: tuple[object, ...], told: str
) -> None:
    """Before any score is read."""
    answer = ask("finger", *given(folder, "a", "b"), *words)
    assert (answer.code, answer.data) == (2, b"")
    assert told in answer.err
    assert answer.err.count("gripway: ") == 1
    assert len(FOR_ONE_SCORE) == 4


def test_no_answer_goes_over_another_or_over_a_score(folder: Path) -> None:
    """Names that would be the same, the folder of the scores, and a file in place of a folder are refused."""
    (folder / "more").mkdir()
    shutil.copy(folder / "a.musicxml", folder / "more" / "A.musicxml")
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    scores = given(folder, "a", "c")
    same = ask("finger", *scores, folder / "more" / "A.musicxml", "--format", "csv", "--out", folder / "o")
    there = ask("finger", *scores, "--format", "musicxml", "--out", folder)
    file = ask("finger", *scores, "--format", "csv", "--out", folder / "d.musicxml")
    assert [answer.code for answer in (same, there, file)] == [2, 2, 2]
    assert "two answers would be named A.csv" in same.err
    assert "holds the scores themselves" in there.err
    assert "cannot be a folder" in file.err
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
