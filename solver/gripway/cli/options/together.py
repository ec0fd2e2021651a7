"""Several options as one decorator, and the options whose choices alone differ between commands."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
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


def file_option(name: str, argument: str, words: str, metavar: str = "FILE", **more: Any) -> Decorator:
    """An option that takes the name of a file or folder; `words` are its help."""
    kind = click.Path(path_type=Path)
    return click.option(name, argument, type=kind, metavar=metavar, help=words, **more)


def names_from(
    names: Callable[[], Iterable[str]],
) -> Callable[[click.Context, click.Parameter, str], list[str]]:
    """What a shell offers for what is typed so far: the names that begin so."""
    return lambda _context, _parameter, begun: [name for name in names() if name.startswith(begun)]


MOST_IN_A_LINE = 6
"""So many forms of an answer fit into the line of their option (judgement)."""


def form_option(
    forms: Sequence[str], words: str = "text to read, json or csv for programs.", name: str = "form"
) -> Decorator:
    """--format: one of these forms, the first where none is given; `words` are its help.

    Many forms are named in the help, where a line can be broken.
    """
    kind, many = click.Choice(forms), len(forms) > MOST_IN_A_LINE
    words = f"{', '.join(forms)}. {words}" if many else words
    metavar = "FORM" if many else None
    return click.option(
        "--format", name, type=kind, metavar=metavar, default=forms[0], show_default=True, help=words
    )


def choose_option(ways: Sequence[str], words: str) -> Decorator:
    """--choose: what to minimise, the first of these ways where none is given."""
    return click.option("--choose", type=click.Choice(ways), default=ways[0], show_default=True, help=words)
