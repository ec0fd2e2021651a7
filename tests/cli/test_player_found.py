"""A player file that is found without being named."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask

WORDS = ("diagram", "F#6", "--format", "text")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The settings folder, with a player whose flute is a piccolo."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "gripway"
    folder.mkdir()
    (folder / "player.toml").write_text('[flute]\ninstrument = "piccolo"\n')
    return folder


def test_a_file_in_the_settings_folder_is_used_and_told(folder: Path) -> None:
    """As if it had been named; and said, so that nobody wonders."""
    answer = ask("grips", "F#6")
    assert (
        answer.err.splitlines()[0]
        == f"remark: player file {folder / 'player.toml'}, from the settings folder"
    )
    assert answer.out == ask("grips", "F#6", "--player", folder / "player.toml").out
    assert "piccolo" in answer.out


def test_the_environment_names_another_or_none(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """GRIPWAY_PLAYER wins over the folder; empty, there is none; a named file wins over both."""
    other = folder / "other.toml"
    other.write_text('[flute]\ninstrument = "alto-flute"\n')
    monkeypatch.setenv("GRIPWAY_PLAYER", str(other))
    answer = ask("grips", "F#6")
    assert answer.err.startswith(f"remark: player file {other}, from GRIPWAY_PLAYER")
    assert "alto flute" in answer.out
    named = ask("grips", "F#6", "--player", folder / "player.toml")
    assert ("piccolo" in named.out, "player file" in named.err) == (True, False)
    monkeypatch.setenv("GRIPWAY_PLAYER", "")
    assert "concert flute" in ask("grips", "F#6").out
    monkeypatch.setenv("GRIPWAY_PLAYER", "/nowhere/me.toml")
    missing = ask("grips", "F#6")
    assert (missing.code, "/nowhere/me.toml: cannot be read" in missing.err) == (2, True)


def test_it_is_not_written_over(folder: Path) -> None:
    """The file found is an input like one that is named."""
    answer = ask(*WORDS, "--out", folder / "player.toml")
    assert (answer.code, "would overwrite the input" in answer.err) == (2, True)


def test_odd_homes_have_no_player_file(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A relative settings folder is ignored (XDG); what cannot be looked at is none."""
    monkeypatch.setenv("HOME", "/dev/null")
    for odd in ("relative", "", "/dev/null"):
        monkeypatch.setenv("XDG_CONFIG_HOME", odd)
        answer = ask(*WORDS)
        assert (answer.code, answer.err) == (0, "")
