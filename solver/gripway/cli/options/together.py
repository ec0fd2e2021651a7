"""Several options as one decorator, and the options whose choices alone differ between commands."""

from collections.abc import Callable, Sequence
from typing import Any

import click

Command = Callable[..., Any]
Decorator = Callable[[Command], Command]


def together(*options: Decorator) -> Decorator:
    """Options in the order in which the help shows them."""

    def add(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def form_option(
    forms: Sequence[str], words: str = "text to read, json or csv for programs.", name: str = "form"
) -> Decorator:
    """--format: one of these forms, the first where none is given; `words` are its help."""
    return click.option(
        "--format", name, type=click.Choice(forms), default=forms[0], show_default=True, help=words
    )


def choose_option(ways: Sequence[str], words: str) -> Decorator:
    """--choose: what to minimise, the first of these ways where none is given."""
    return click.option("--choose", type=click.Choice(ways), default=ways[0], show_default=True, help=words)
