"""A house style from a file; options given on the command win over it."""

import xml.etree.ElementTree as ET
from pathlib import Path

from tests.cli.house_styles import house_file
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import note, part, score

HIGH = score(part("".join(note(pitch, 2) for pitch in ("E6", "F#6", "E6", "F#6", "E6", "F#6", "E6"))))
"""So quick to and fro that the trill grip pays."""


def marks(tag: str, *words: object) -> list[str]:
    """The texts of an element in the marked score."""
    answer = ask("finger", "-", "--format", "musicxml", "--tempo", "320", *words, stdin=HIGH)
    assert answer.code == 0
    return [each.text or "" for each in ET.fromstring(answer.data).iter(tag)]


def test_the_file_says_how_marks_look(tmp_path: Path) -> None:
    """Its hand: letters, a stroke, round brackets."""
    found = marks("fingering", "--house-style", house_file(tmp_path, "letters"))
    assert found
    assert all(text.startswith("(") and "|" not in text for text in found)
    assert all("/" in text or text == "(come sopra)" for text in found)
    assert any("L1" in text for text in found)


def test_options_win_over_the_file(tmp_path: Path) -> None:
    """Which notes, which style, which brackets; what is not given stays the file's."""
    house = house_file(tmp_path, "letters")
    found = marks("words", "--house-style", house, "--mark", "every", "--mark-as", "words", "--bracket")
    assert len(found) == 7
    assert all(text.startswith("[") and "/" in text for text in found)


def test_a_mistake_in_the_file_is_one_message(tmp_path: Path) -> None:
    """With file and key, exit 2."""
    path = tmp_path / "bad.toml"
    path.write_text("[marks]\nwitch = 1\n")
    answer = ask("finger", "-", "--format", "musicxml", "--house-style", path, stdin=HIGH)
    assert (answer.code, answer.data) == (2, b"")
    assert f"{path}:marks.witch: no such key" in answer.err


def test_the_house_style_is_never_overwritten(tmp_path: Path) -> None:
    """It is an input like the score."""
    house = house_file(tmp_path, "plain")
    answer = ask("finger", "-", "--format", "musicxml", "--house-style", house, "--out", house, stdin=HIGH)
    assert answer.code == 2
    assert "overwrite" in answer.err
