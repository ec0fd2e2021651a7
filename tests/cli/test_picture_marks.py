"""Picture marks: grip diagrams as files beside the score, with a page that says what they mean."""

import sys
from pathlib import Path

import pytest
from tests.cli.run_gripway import PICCOLO, ask
from tests.score.w3c_schema import schema_errors

HOUSE = ("--mark-as", "picture", "--mark", "figures", "--tempo", "300")


def test_pictures_stand_beside_the_score_and_are_read_again(tmp_path: Path) -> None:
    """Each picture in the score is a file; the marks come out byte for byte, and a second time adds none."""
    out = tmp_path / "my part.musicxml"
    answer = ask("finger", PICCOLO, *HOUSE, "--format", "musicxml", "--out", out)
    assert answer.code == 0
    folder = tmp_path / "my part-grips"
    assert str(folder) in answer.err
    data = out.read_bytes()
    names = {path.name for path in folder.iterdir()}
    assert "key.html" in names
    for name in names - {"key.html"}:
        assert f"my%20part-grips/{name}".encode() in data
        assert (folder / name).read_bytes().startswith(b"\x89PNG")
    assert data.count(b"<image") >= len(names) - 1 >= 1
    assert schema_errors(data) == schema_errors(PICCOLO.read_bytes())
    assert ask("unmark", out).data == PICCOLO.read_bytes()
    again = tmp_path / "again.musicxml"
    assert ask("finger", out, *HOUSE, "--format", "musicxml", "--out", again).code == 0
    assert again.read_bytes() == data
    assert ask("consistency", out).code == 0


def test_pictures_need_a_place(tmp_path: Path) -> None:
    """On the screen there is none; the list of the marks needs none."""
    answer = ask("finger", PICCOLO, *HOUSE, "--format", "musicxml")
    assert answer.code == 2
    assert "--out" in answer.err
    assert ask("finger", PICCOLO, *HOUSE, "--format", "critical").code == 0
    (tmp_path / "x-grips").write_text("a file in the way", encoding="utf-8")
    taken = ask("finger", PICCOLO, *HOUSE, "--format", "musicxml", "--out", tmp_path / "x.musicxml")
    assert taken.code == 2


def test_without_resvg_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The extra is named, and no score is left that names pictures which are not there."""
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    answer = ask("finger", PICCOLO, *HOUSE, "--format", "musicxml", "--out", tmp_path / "x.musicxml")
    assert answer.code == 2
    assert "gripway[png]" in answer.err
    assert list(tmp_path.iterdir()) == []
