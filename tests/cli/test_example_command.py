"""`gripway example` and `gripway about`."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask

from gripway.catalog.examples import ABOUT

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def test_the_list_has_every_example() -> None:
    """Each with what it is; and each input of the folder is in the list."""
    answer = ask("example")
    assert [line.split()[0] for line in answer.out.splitlines()] == list(ABOUT)
    endings = (".musicxml", ".txt", ".toml", ".csv", ".wav")
    inputs = [path.name for path in EXAMPLES.iterdir() if path.suffix in endings]
    assert {name for name in inputs if ".out." not in name} == {*ABOUT, "commands.toml"}


@pytest.mark.parametrize("name", ABOUT)
def test_an_example_is_its_file(name: str, tmp_path: Path) -> None:
    """On the screen and in a file; a score without its ending, too."""
    data = (EXAMPLES / name).read_bytes()
    assert ask("example", name).data == data
    assert ask("example", name, "--out", tmp_path / "x").code == 0
    assert (tmp_path / "x").read_bytes() == data
    if name.endswith(".musicxml"):
        assert ask("example", name.removesuffix(".musicxml")).data == data


def test_an_example_that_is_not_there() -> None:
    """The names near it are offered."""
    answer = ask("example", "roof_study")
    assert (answer.code, answer.data) == (2, b"")
    assert "Did you mean rooftop_study" in answer.err


def test_about_says_what_a_report_needs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Versions, folders, the player file in use; the same as text and as JSON."""
    monkeypatch.setenv("GRIPWAY_PLAYER", "/a/me.toml")
    facts = ask("about", "--format", "json").json
    assert facts.pop("schema") == 1
    assert facts["player"] == "/a/me.toml (GRIPWAY_PLAYER)"
    assert {"gripway", "python", "system", "tables", "cache", "settings", "ortools"} <= set(facts)
    lines = ask("about").out.splitlines()
    assert [line.split()[0] for line in lines] == list(facts)
    assert all(facts[name] in line for name, line in zip(facts, lines, strict=True))
