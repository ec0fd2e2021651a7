"""`gripway taste`: the sentence, what is written and what is not, what is refused."""

import base64
import json
import re
from pathlib import Path

import pytest
from tests.cli.learnt_example import learnt_example
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import fingering, note, part, score

from gripway.catalog.own_files.player_file import read_player


def test_the_teacher_of_the_example_is_known_again_and_written_down(tmp_path: Path) -> None:
    """It was marked with steadiness at 2 and one slip, in bar 7; only the dial is written."""
    answer, after = learnt_example()
    path = tmp_path / "me.toml"
    path.write_text(after)
    found = answer.json
    assert answer.code == 0
    assert found["sentence"].startswith("Your fingerings weigh steadiness twice as much as the default")
    assert {dial["dial"]: dial["found"] for dial in found["dials"]} == {
        "speed": 1,
        "steadiness": 2,
        "tuning": 1,
        "familiarity": 1,
        "learning": 1,
    }
    held = found["held_out"]
    assert held["right"] > held["right_now"]
    assert held["right"] - held["right_now"] == held["gained"] - held["lost"]
    assert [place["bar"] for place in found["missed"]] == ["7"]
    assert [(place["bar"], place["before"]["bar"]) for place in found["contradictions"]] == [("7", "6")]
    assert found["wrote"]
    assert dict(read_player(path).dials) == {"steadiness": 2.0}
    assert re.search(r"# \d{4}-\d\d-\d\d gripway taste: \d+ of 18 held-out marks", after)
    assert "# not yet" in after


def test_too_few_marks_teach_nothing(tmp_path: Path) -> None:
    """Three marks: it says so, exit 1, and no file is written even with --write."""
    bars = note("E6") + note("F#6", inside=fingering("T 1 3 | 2 Eb")) + note("G6")
    path, player = tmp_path / "few.musicxml", tmp_path / "me.toml"
    path.write_bytes(score(part(bars, bars, bars)))
    answer = ask("taste", path, "--player", player, "--write")
    assert answer.code == 1
    assert answer.out.startswith("Too few marks to learn from: 3 marks, of which 0 come out")
    assert "At least 12 marks in 5 different passages or figures are needed." in answer.out.replace("\n", " ")
    assert not player.exists()


def test_a_score_without_marks_and_our_own_marks_teach_nothing(tmp_path: Path) -> None:
    """What gripway put in itself is taken out first."""
    bare, marked = tmp_path / "bare.musicxml", tmp_path / "marked.musicxml"
    bare.write_bytes(score(part(note("E6") + note("F#6") + note("G6"))))
    ask("finger", bare, "--format", "musicxml", "--mark", "every", "--out", marked)
    for path in (bare, marked):
        answer = ask("taste", path)
        assert (answer.code, answer.out.splitlines()[0]) == (
            1,
            "Nothing to learn from: there is no grip marked in these scores.",
        )
        assert ("3 marks of gripway's own, not learnt from" in answer.err) == (path == marked)


def test_pins_of_a_saved_work_and_decisions_are_marks(tmp_path: Path) -> None:
    """A session's pin and a decision beside a score count one each, and so does --pin."""
    data = score(part(note("E6") + note("F#6") + note("G6")))
    session = {
        "format": "gripway-session",
        "version": 1,
        "source": {"name": "a.musicxml", "data": base64.b64encode(data).decode()},
        "wishes": {"pins": [{"note": "P1-n2", "grip": "T L1 L3 | R2 Eb"}]},
    }
    saved, plain, decided = tmp_path / "a.json", tmp_path / "b.musicxml", tmp_path / "d.toml"
    saved.write_text(json.dumps(session))
    plain.write_bytes(data)
    decided.write_text('[[decision]]\nbar = "1"\npitch = "F#6"\ngrip = "T 1 3 | 2 Eb"\n')
    assert ask("taste", saved, "--format", "json").json["marks"] == 1
    assert ask("taste", plain, "--decisions", decided, "--format", "json").json["marks"] == 1
    assert ask("taste", plain, "--pin", "2=T 1 3 | 2 Eb", "--format", "json").json["marks"] == 1


def test_a_mark_that_is_no_grip_is_left_out_with_its_place(tmp_path: Path) -> None:
    """File, part, bar and note, and what to do."""
    path = tmp_path / "odd.musicxml"
    path.write_bytes(score(part(note("E6") + note("F#6", inside=fingering("2 | 1")) + note("G6"))))
    told = ask("taste", path).err
    assert f"remark: bar 1: {path}, Flute: F#6 (P1-n2), mark left out: 2 | 1 is no grip of F#6" in told


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (("--write",), "there is no player's file to write to"),
        (("--pin", "40=T 1 | Eb"), "there is no note 40 to pin"),
        (("--decisions", "nowhere.toml"), "cannot be read"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], what: str
) -> None:
    """Exit 2, with what and where."""
    monkeypatch.setenv("GRIPWAY_PLAYER", "")
    path = tmp_path / "a.musicxml"
    path.write_bytes(score(part(note("E6") + note("F#6"))))
    answer = ask("taste", path, *words)
    assert answer.code == 2
    assert what in answer.err
