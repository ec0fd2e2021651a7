"""Marks set anew: what changed is said, and so is what stands against the decisions without --renew."""

from pathlib import Path

from tests.cli.run_gripway import ask
from tests.cli.test_decisions import BARS, ENTRIES, OTHER, decided, tiny

from gripway.catalog.own_files.marks_list import read_marks_list

WORDS = ("--tempo", "120", "--format", "musicxml")


def marked(folder: Path, *entries: str) -> Path:
    """A part marked as decided, with the list beside it."""
    path = folder / "marked.musicxml"
    file = decided(folder, *entries)
    answer = ask("finger", tiny(folder, *BARS), "--decisions", file, *WORDS, "--out", path)
    assert answer.code == 0
    return path


def test_what_changed_is_said(tmp_path: Path) -> None:
    """A mark that went, one that came, one that is another; and the tempo it was made at."""
    path = marked(tmp_path, ENTRIES[0], ENTRIES[1])
    entries = (
        'bar = 1\npitch = "F#6"\nmark = false',
        f'bar = 2\npitch = "F#6"\ngrip = "{OTHER}"',
        'bar = 3\npitch = "F#6"\ngrip = "plain"',
    )
    answer = ask("finger", path, "--renew", "--decisions", decided(tmp_path, *entries), *WORDS)
    assert "renewed at quarter = 120" in answer.err
    assert "3 marks changed: bar 2, F#6 has T 1 3 | 2 Eb, had T 1 3 | 3 Eb" in answer.err
    assert "bar 3, F#6 has T 1 3 | 3 Eb;" in answer.err
    assert "bar 1, F#6 lost T 1 3 | 2 Eb" in answer.err


def test_nothing_changed_is_said(tmp_path: Path) -> None:
    """The same decisions give the same marks."""
    path = marked(tmp_path, *ENTRIES)
    answer = ask("finger", path, "--renew", "--decisions", tmp_path / "decisions.toml", *WORDS)
    assert answer.data == path.read_bytes()
    assert "no mark changed" in answer.err


def test_a_score_without_our_marks_is_told(tmp_path: Path) -> None:
    """It may be the wrong file, or its list may be missing."""
    answer = ask("finger", tiny(tmp_path, *BARS), "--renew", *WORDS)
    assert answer.code == 0
    assert "no mark of ours was in the score" in answer.err


def test_marks_against_the_decisions_ask_for_renew(tmp_path: Path) -> None:
    """They stay where --renew is not given, which is said; with the old decisions nothing is."""
    path = marked(tmp_path, ENTRIES[0], ENTRIES[1])
    same = ask("finger", path, "--decisions", tmp_path / "decisions.toml", *WORDS)
    assert "use --renew" not in same.err
    file = decided(tmp_path, 'bar = 1\npitch = "F#6"\nmark = false')
    answer = ask("finger", path, "--decisions", file, *WORDS)
    assert "1 mark in the score against the decisions, and left: use --renew" in answer.err


def test_the_list_says_at_which_tempo_the_marks_were_made(tmp_path: Path) -> None:
    """So --renew at another tempo says both; without it the old marks stay and keep the tempo they had."""
    path = marked(tmp_path, *ENTRIES)
    asked = ("--decisions", tmp_path / "decisions.toml", "--tempo", "60", "--format", "musicxml")
    renewed = ask("finger", path, "--renew", *asked)
    assert "renewed at quarter = 60 (--tempo); they were marked at quarter = 120:" in renewed.err
    left = ask("finger", path, *asked, "--out", tmp_path / "left.musicxml")
    assert "the marks in the score were made at quarter = 120, this is 60" in left.err
    assert {mark.tempo for mark in read_marks_list(tmp_path / "left.marks.toml")} == {120.0}
    again = ask("finger", path, "--decisions", tmp_path / "decisions.toml", *WORDS)
    assert "were made at" not in again.err


def test_the_report_says_at_which_tempo_the_marks_were_made(tmp_path: Path) -> None:
    """As text among what was assumed."""
    path = marked(tmp_path, *ENTRIES)
    assert "were made at quarter = 120" in ask("finger", path, "--tempo", "60", "--format", "html").out
