"""The help page of a command with many options shows them under heads."""

import re

import click
from tests.cli.run_gripway import ask
from tests.every import every

from gripway.cli.app import COMMANDS, gripway
from gripway.cli.options.heads import HEADS


def test_the_options_of_finger_stand_under_heads() -> None:
    """What one looks for stands together: the passage, the flute, the grips, marks, the answer."""
    text = ask("finger", "--help").out
    heads = [
        "The passage:",
        "The flute and its player:",
        "What grips may be:",
        "Marks in a score:",
        "The answer:",
    ]
    places = [text.index(f"\n{head}\n") for head in heads]
    assert places == sorted(places)
    assert places[0] < text.index("--bars") < places[1] < text.index("--player") < places[2]
    assert text.index("--house-style") > places[3]
    assert "\nMore:\n" in text  # --help itself belongs to no head
    assert "\nOptions:\n" not in text


def test_few_options_need_no_heads() -> None:
    """A short page stays one list."""
    assert "\nOptions:\n" in ask("tables", "--help").out


@every(COMMANDS)
def test_every_option_is_shown_once(name: str) -> None:
    """No option is lost between heads, and none stands twice."""
    command = gripway.get_command(click.Context(gripway), name)
    assert command is not None
    text = ask(name, "--help").out.partition("\n  Examples:")[0]
    listed = re.findall(r"^  (?:-\w, )?(--[a-z-]+)", text, re.MULTILINE)
    options = [each for each in command.params if isinstance(each, click.Option)]
    long = [name for each in options for name in each.opts if name.startswith("--")]
    assert sorted(listed) == sorted([*long, "--help"])


def test_no_option_has_two_heads() -> None:
    """Each parameter's name stands under one head."""
    names = [name for names in HEADS.values() for name in names]
    assert len(names) == len(set(names))
