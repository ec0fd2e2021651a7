"""`gripway unmark` and `finger --renew`: as if it had not been marked, or not before."""

import re
import warnings
import zipfile
from pathlib import Path

import pytest
from music21 import converter
from tests.cli.house_styles import house_file
from tests.cli.run_gripway import FLUTE, PICCOLO, ask

QUICK, SLOW = ("--tempo", "300"), ("--tempo", "150")


def marked(score: Path, folder: Path, *words: object) -> Path:
    """A file marked with these options."""
    out = folder / f"marked-{len(list(folder.iterdir()))}{score.suffix}"
    assert ask("finger", score, *words, "--format", "musicxml", "--out", out).code == 0
    return out


@pytest.mark.parametrize("style", ["figures", "words", "lyrics", "every"])
def test_unmarked_is_the_file_it_was(style: str, tmp_path: Path) -> None:
    """Byte for byte, in whatever style it was marked."""
    path = marked(PICCOLO, tmp_path, *QUICK, "--house-style", house_file(tmp_path, style))
    answer = ask("unmark", path)
    assert answer.code == 0
    assert "of ours taken out" in answer.err
    assert answer.data == PICCOLO.read_bytes() != path.read_bytes()


@pytest.mark.parametrize("style", ["figures", "words", "lyrics"])
def test_renewed_is_marked_for_the_first_time(style: str, tmp_path: Path) -> None:
    """Marked at one tempo and renewed at another, the file is one marked at the other."""
    house = ("--house-style", house_file(tmp_path, style))
    old = marked(PICCOLO, tmp_path, *QUICK, *house)
    fresh = marked(PICCOLO, tmp_path, *SLOW, *house)
    renewed = marked(old, tmp_path, *SLOW, *house, "--renew")
    assert renewed.read_bytes() == fresh.read_bytes() != old.read_bytes()


def test_a_compressed_score_comes_back_with_its_score_as_it_was(tmp_path: Path) -> None:
    """The member is what it was; the archive around it is packed anew."""
    path = tmp_path / "part.mxl"
    container = (
        '<container><rootfiles><rootfile full-path="part.musicxml" '
        'media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>'
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("part.musicxml", PICCOLO.read_bytes())
    old = marked(path, tmp_path, *QUICK)
    assert ask("unmark", old, "--out", tmp_path / "bare.mxl").code == 0
    with zipfile.ZipFile(tmp_path / "bare.mxl") as archive:
        assert archive.read("part.musicxml") == PICCOLO.read_bytes()


def test_a_changed_mark_is_left_and_told_with_its_bar(tmp_path: Path) -> None:
    """What an editor made of a mark is the editor's."""
    path = marked(PICCOLO, tmp_path, *QUICK, "--mark", "every")
    data = path.read_bytes()
    at = data.index(b"<fingering")
    path.write_bytes(data[:at] + data[at:].replace(b"</fingering>", b" Eb</fingering>", 1))
    answer = ask("unmark", path)
    assert answer.code == 1
    assert "a mark of ours was changed since" in answer.err
    assert answer.err.startswith("remark: bar ")
    assert answer.data.count(b"<fingering") == 1


def test_nothing_to_take_out_and_nothing_to_take_it_from(tmp_path: Path) -> None:
    """A score without marks comes back as it is; what is no score is refused."""
    answer = ask("unmark", FLUTE)
    assert (answer.code, answer.data) == (0, FLUTE.read_bytes())
    assert "0 marks of ours taken out; if another program has saved the score" in answer.err
    (tmp_path / "tune.abc").write_text("X:1\nT:x\nK:C\nCDE|\n", encoding="utf-8")
    assert ask("unmark", tmp_path / "none.musicxml").code == 2
    assert ask("unmark", tmp_path / "tune.abc").code == 2
    assert ask("unmark", FLUTE, "--out", FLUTE).code == 2


def test_renew_is_for_marks(tmp_path: Path) -> None:
    """A text answer marks nothing."""
    assert ask("finger", FLUTE, "--renew").code == 2


def test_a_list_beside_the_marked_score_finds_the_marks_again(tmp_path: Path) -> None:
    """Where a program that saved the score left the instructions out; so does the marked score itself."""
    path = marked(PICCOLO, tmp_path, *QUICK)
    beside = path.with_name(f"{path.stem}.marks.toml")
    assert "[[mark]]" in beside.read_text(encoding="utf-8")
    saved = tmp_path / "saved.musicxml"
    saved.write_bytes(re.sub(rb"<\?gripway[^>]*\?>", b"", path.read_bytes()))
    assert "0 marks of ours" in ask("unmark", saved).err
    for listed in (beside, path):
        answer = ask("unmark", saved, "--marks-list", listed)
        assert (answer.code, answer.data.count(b"<fingering")) == (0, 0)
    beside.rename(saved.with_name("saved.marks.toml"))
    assert ask("unmark", saved).data == answer.data
    fresh = ask("finger", PICCOLO, *SLOW, "--format", "json").json["notes"]
    renewed = tmp_path / "renewed.musicxml"
    assert ask("finger", saved, *SLOW, "--renew", "--format", "musicxml", "--out", renewed).code == 0
    again = ask("finger", "-", *SLOW, "--format", "json", stdin=ask("unmark", renewed).data).json["notes"]
    assert [note["grip"] for note in again] == [note["grip"] for note in fresh]
    assert renewed.read_bytes().count(b"<fingering") == marked(PICCOLO, tmp_path, *SLOW).read_bytes().count(
        b"<fingering"
    )


@pytest.mark.whole
def test_marks_come_out_of_what_another_engine_has_written(tmp_path: Path) -> None:
    """music21 writes the whole file anew: by the list all marks come out, and the notes stay."""
    path = marked(PICCOLO, tmp_path, *QUICK, "--mark", "every")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        saved = Path(converter.parse(path).write("musicxml", tmp_path / "saved.musicxml"))
    count = saved.read_bytes().count(b"<fingering")
    answer = ask("unmark", saved, "--marks-list", path.with_name(f"{path.stem}.marks.toml"))
    assert count > 100
    assert f"{count} marks of ours taken out" in answer.err
    assert answer.data.count(b"<fingering") == 0
    assert answer.data.count(b"<step>") == saved.read_bytes().count(b"<step>")


def test_a_file_of_the_lists_name_is_not_overwritten(tmp_path: Path) -> None:
    """What is no list of marks stays; a list of a marking before is renewed, also to an empty one."""
    other, out = tmp_path / "marked.marks.toml", tmp_path / "marked.musicxml"
    other.write_text("mine", encoding="utf-8")
    words = ("--format", "musicxml", "--out", out)
    assert ask("finger", PICCOLO, *QUICK, *words).code == 2
    assert (other.read_text(encoding="utf-8"), out.exists()) == ("mine", False)
    other.unlink()
    assert ask("finger", PICCOLO, *QUICK, *words).code == 0
    assert other.read_text(encoding="utf-8").count("[[mark]]") > 0
    assert ask("finger", PICCOLO, *QUICK, "--choose", "standard", *words).code == 0
    assert other.read_text(encoding="utf-8").count("[[mark]]") == 0
    other.unlink()
    assert ask("finger", PICCOLO, *QUICK, "--choose", "standard", *words).code == 0
    assert not other.exists()
