"""What an argument of our functions is called on the command line."""

import re

from gripway.errors import ArgumentError, GripwayError

_OPTIONS = {"kinds": "--pattern", "distance.bar": "--differ-in", "grips": "--grip"}
"""Options that have another name than the argument."""

_IN_SENTENCES = {"pair=": "--pair ", "reference_hz=": "--reference "}
"""Arguments as a next step or a remark writes them for Python, with their value behind them."""

_FIRST_GRIPS = re.compile(r"\bgrips\[:(\d+)\]")
"""The first of the grips asked for, as Python has them."""


def place_of(problem: GripwayError) -> str:
    """Where a problem lies, in words of the command: an argument by its option.

    >>> place_of(ArgumentError("0 days make no plan", place="days"))
    '--days'
    """
    if not isinstance(problem, ArgumentError):
        return problem.place
    return _OPTIONS.get(problem.place, f"--{problem.place}")


def in_options(text: str) -> str:
    """A sentence with the arguments it names as options.

    >>> in_options('say pair="G4 A4"')
    'say --pair "G4 A4"'
    >>> in_options("ask for grips[:3]")
    'ask for --top 3'
    """
    for argument, option in _IN_SENTENCES.items():
        text = text.replace(argument, option)
    return _FIRST_GRIPS.sub(r"--top \1", text)
