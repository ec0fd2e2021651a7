"""A house's own abbreviations are written and read."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import fingering, note, part, score

HOUSE = """
[marks]
which = "every"
as = "{}"
[grips]
bracket = "square"
[abbreviations]
"alt. 1" = "T L1 L3 | R2 Eb"
"""
TINY = score(part(note("E6") + note("F#6") + note("G6")))
PIN = ("--pin", "2=T 1 3 | 2 Eb")


@pytest.mark.parametrize("style", ["fingering", "words", "lyric"])
def test_what_is_written_is_read_again(style: str, tmp_path: Path) -> None:
    """Marked, kept as a fingering, marked again, and looked through; without the file it says nothing."""
    house = tmp_path / "house.toml"
    house.write_text(HOUSE.format(style), encoding="utf-8")
    words = ("--house-style", house)
    marked = ask("finger", "-", *PIN, *words, "--format", "musicxml", stdin=TINY).data
    assert b">[alt. 1]<" in marked
    kept = ask("finger", "-", *words, "--keep-fingerings", "--format", "critical", stdin=marked)
    assert "does not read as a grip" not in kept.err
    assert ask("finger", "-", *words, "--format", "musicxml", stdin=marked).data == marked
    assert ask("consistency", "-", *words, stdin=marked).code == 0
    assert ask("unmark", "-", stdin=marked).data == TINY


def test_an_editors_own_mark_counts_as_its_grip(tmp_path: Path) -> None:
    """What stands in the score in the house's letters is kept, and told where it is no grip of its note."""
    house = tmp_path / "house.toml"
    house.write_text(HOUSE.format("fingering"), encoding="utf-8")
    fingered = score(part(note("E6", inside=fingering("alt. 1")) + note("F#6", inside=fingering("alt. 1"))))
    answer = ask("consistency", "-", "--house-style", house, "--format", "json", stdin=fingered).json
    assert [each["note"] for each in answer["findings"]] == ["E6"]
    plain = ask("consistency", "-", "--format", "json", stdin=fingered).json
    assert [each["kind"] for each in plain["findings"]] == ["unreadable", "unreadable"]


def test_the_legend_says_what_an_abbreviation_means(tmp_path: Path) -> None:
    """Its whole grip beside it; a grip that is written out stands alone."""
    house = tmp_path / "house.toml"
    house.write_text(HOUSE.format("fingering"), encoding="utf-8")
    said = ask("finger", "-", *PIN, "--house-style", house, "--format", "legend", stdin=TINY).out
    assert "F#6 (1 mark): [alt. 1] = T 1 3 | 2 Eb\n" in said
    assert said.count(" = ") == 1


@pytest.mark.parametrize(("style", "is_told"), [("words", True), ("lyric", True), ("fingering", False)])
def test_an_abbreviation_with_a_sharp_is_told(style: str, is_told: bool, tmp_path: Path) -> None:
    """LilyPond stops at a # in words and lyrics that musicxml2ly converted; a printed sharp is read again."""
    house = tmp_path / "house.toml"
    text = HOUSE.format(style).replace("alt. 1", "F# med.")
    house.write_text(text, encoding="utf-8")
    words = (*PIN, "--house-style", house, "--format", "musicxml")
    answer = ask("finger", "-", *words, stdin=TINY)
    assert answer.code == 0
    assert ("at which LilyPond stops" in answer.err) == is_told
    house.write_text(text.replace("F# med.", "F\u266f med."), encoding="utf-8")
    answer = ask("finger", "-", *words, stdin=TINY)
    assert "LilyPond" not in answer.err
    assert ask("consistency", "-", "--house-style", house, stdin=answer.data).code == 0
