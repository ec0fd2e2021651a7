"""Where answers go: whole files, never over an input, JSON a line an item."""

import json
import os
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask, start
from tests.cli.tiny_scores import simple

from gripway.cli.output import as_json, tell, write_out
from gripway.errors import RequestError
from gripway.model.passage import Remark


@pytest.fixture
def score(tmp_path: Path) -> Path:
    """A small score in a folder of its own."""
    path = tmp_path / "part.musicxml"
    path.write_bytes(simple("E6", "F#6"))
    return path


def test_a_marked_score_is_written_whole_and_alone(score: Path) -> None:
    """The new file has the bytes of standard output; only the list of its marks stands beside it."""
    words = ("finger", score, "--mark", "every", "--format", "musicxml")
    out = score.with_name("marked.musicxml")
    answer = ask(*words, "--out", out)
    beside = score.with_name("marked.marks.toml")
    said = [f"wrote {out}", f"wrote {beside} (the list of our marks)"]
    assert (answer.code, answer.data, answer.err.splitlines()[-2:]) == (0, b"", said)
    assert out.read_bytes() == ask(*words).data
    assert {*score.parent.iterdir()} == {score, out, beside}


def test_an_older_output_is_replaced(score: Path) -> None:
    """--out may name a file that is there, as long as it is no input."""
    out = score.with_name("old.json")
    out.write_text("x" * 100_000)
    assert ask("finger", score, "--format", "json", "--out", out).code == 0
    assert json.loads(out.read_text())["status"] == "optimal"


def test_a_new_file_has_usual_permissions(score: Path) -> None:
    """Readable as any file made under the user's mask, not only by its owner."""
    out = score.with_name("new.txt")
    ask("finger", score, "--out", out)
    beside = score.with_name("beside.txt")
    beside.write_text("")
    assert out.stat().st_mode == beside.stat().st_mode


@pytest.mark.parametrize("way", ["same", "relative", "dotted", "symbolic link", "hard link"])
def test_the_input_is_never_overwritten(score: Path, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever name leads to the input file, it is refused before any work, and stays as it was."""
    before = score.read_bytes()
    other = score.with_name("other.musicxml")
    monkeypatch.chdir(score.parent)
    names = {"same": score, "relative": Path(score.name), "dotted": f"{score.parent}/./{score.name}"}
    if way == "symbolic link":
        other.symlink_to(score)
    elif way == "hard link":
        os.link(score, other)
    answer = ask("finger", score, "--format", "musicxml", "--out", names.get(way, other))
    assert (answer.code, answer.data) == (2, b"")
    assert "the output would overwrite the input" in answer.err
    assert score.read_bytes() == before


def test_the_players_file_is_an_input_too(tmp_path: Path) -> None:
    """A slip between --player and --out does not cost the player's file."""
    mine = tmp_path / "me.toml"
    mine.write_text("[dials]\ntuning = 2\n")
    for words in (("finger", "--notes", "E6"), ("grips", "E6")):
        answer = ask(*words, "--player", mine, "--out", mine)
        assert (answer.code, mine.read_text()) == (2, "[dials]\ntuning = 2\n")


@pytest.mark.parametrize(
    ("out", "said"),
    [
        (".", "is a folder"),
        ("nowhere/new.json", "cannot be written"),
        ("part.musicxml/new.json", "cannot be written"),
        ("n" * 300, "cannot be written"),
    ],
)
def test_a_place_that_cannot_be_written_is_named(
    score: Path, out: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder, a folder that is not there, a file as folder, a name too long: exit 2, no trace left."""
    monkeypatch.chdir(score.parent)
    answer = ask("finger", "--notes", "E6", "--tempo", "96", "--out", out)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith(f"gripway: {out}: {said}")
    assert [path.name for path in score.parent.iterdir()] == ["part.musicxml"]


def test_a_folder_that_refuses_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system forbids the new file, its reason is given and the old file stays."""
    out = tmp_path / "out.txt"
    out.write_text("old")

    def forbidden(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", forbidden)
    with pytest.raises(RequestError, match="cannot be written: Permission denied"):
        write_out("new", out)
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [("out.txt", "old")]


def test_json_has_a_line_for_every_item() -> None:
    """Its form first; a list of objects has one line each, so that two answers can be compared by line."""
    data = {"a": 1, "notes": [{"x": "é"}, {"x": None}], "hardest": [1, 2], "none": []}
    text = as_json(data)
    assert json.loads(text) == {"schema": 1, **data}
    assert text.splitlines()[0] == '{"schema": 1,'
    assert text.splitlines()[3:5] == ['  {"x": "é"},', '  {"x": null}],']


def test_many_remarks_are_cut_short(capsys: pytest.CaptureFixture[str]) -> None:
    """Twelve are told, the rest counted."""
    tell(tuple(Remark(f"remark {k}", bar=str(k)) for k in range(15)))
    lines = capsys.readouterr().err.splitlines()
    assert lines[0] == "remark: bar 0: remark 0"
    assert len(lines) == 13
    assert "3 more" in lines[-1]


def test_standard_input_is_an_input_too(tmp_path: Path) -> None:
    """`gripway finger - --out part.musicxml < part.musicxml` would lose the part: refused."""
    path = tmp_path / "part.musicxml"
    path.write_bytes(simple("E6"))
    with path.open("rb") as stdin:
        process = start("finger", "-", "--format", "musicxml", "--out", path, stdin=stdin)
        _, err = process.communicate()
    assert (process.returncode, path.read_bytes()) == (2, simple("E6"))
    assert b"overwrite the input" in err


def test_what_is_no_plain_file_is_refused_before_any_work(tmp_path: Path) -> None:
    """A pipe, a device and a read-only file: exit 2, the kind named, nothing written."""
    pipe, device, kept = tmp_path / "pipe", tmp_path / "device", tmp_path / "kept"
    os.mkfifo(pipe)
    device.symlink_to(os.devnull)
    kept.write_text("old")
    kept.chmod(0o444)
    for out, said in ((pipe, "is a pipe"), (device, "is a device"), (kept, "is set to be read only")):
        answer = ask("finger", "--notes", "E6 zz", "--out", out)
        assert (answer.code, answer.data) == (2, b"")
        assert answer.err.startswith(f"gripway: {out}: {said}. ")
    assert kept.read_text() == "old"


def test_an_answer_goes_through_a_link_and_keeps_the_mode(tmp_path: Path) -> None:
    """The link stays a link, a private file stays private."""
    mine, link = tmp_path / "mine.txt", tmp_path / "link.txt"
    mine.write_text("old")
    mine.chmod(0o600)
    link.symlink_to(mine)
    assert ask("grips", "E6", "--out", link).code == 0
    assert (link.is_symlink(), mine.stat().st_mode & 0o777, mine.read_text() != "old") == (True, 0o600, True)
