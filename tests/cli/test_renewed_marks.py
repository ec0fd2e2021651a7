"""Marks set anew: what changed is said, and so is what stands against the decisions without --renew."""

import re
from pathlib import Path

import pytest
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


@pytest.mark.parametrize("form", ["critical", "critical-md", "legend", "decisions"])
def test_lists_of_a_marked_score_ask_for_renew(form: str, tmp_path: Path) -> None:
    """They would say of marked notes that they have no mark; with --renew they are as of the fresh part."""
    path = marked(tmp_path, *ENTRIES)
    asked = ("--decisions", tmp_path / "decisions.toml", "--tempo", "120", "--format", form)
    answer = ask("finger", path, *asked)
    assert answer.code == 2
    assert "2 marks of ours already" in answer.err
    assert "--renew" in answer.err
    fresh = ask("finger", tiny(tmp_path, *BARS), *asked)
    assert ask("finger", path, "--renew", *asked).out == fresh.out


def test_a_report_of_a_marked_score_says_so_or_asks_for_renew(tmp_path: Path) -> None:
    """A plain report shows the marks and says so; one in house style, which has its own, is refused."""
    path = marked(tmp_path, *ENTRIES)
    report = ("--decisions", tmp_path / "decisions.toml", "--tempo", "120", "--format", "html")
    said = "the music has 2 marks of ours as in the score"
    plain = ask("finger", path, *report)
    assert said in plain.err
    assert said in plain.out
    refused = ask("finger", path, *report, "--bracket")
    assert (refused.code, "2 marks of ours already" in refused.err) == (2, True)
    for options in ((), ("--bracket",)):
        renewed = ask("finger", path, *report, "--renew", *options)
        assert renewed.code == 0
        assert said not in renewed.out


def test_a_list_of_our_marks_beside_the_score_asks_for_renew_too(tmp_path: Path) -> None:
    """Also where another program took the instructions out; without it they count as the score's own."""
    path = marked(tmp_path, *ENTRIES)
    path.write_bytes(re.sub(rb"<\?gripway [^>]*\?>", b"", path.read_bytes()))
    asked = ("--decisions", tmp_path / "decisions.toml", "--tempo", "120", "--format")
    assert "2 marks of ours already" in ask("finger", path, *asked, "legend").err
    (tmp_path / "marked.marks.toml").unlink()
    assert (
        "No marks of ours: the fingerings that stand in the score"
        in ask("finger", path, *asked, "legend").out
    )
    assert f"the score has {OTHER} there already" in ask("finger", path, *asked, "critical").out
