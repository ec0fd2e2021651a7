"""What an argument of our functions is called on the command line."""

from gripway.errors import ArgumentError, GripwayError

_OPTIONS = {"kinds": "--pattern", "distance.bar": "--differ-in"}
"""Options that have another name than the argument."""


def place_of(problem: GripwayError) -> str:
    """Where a problem lies, in words of the command: an argument by its option.

    >>> place_of(ArgumentError("0 days make no plan", place="days"))
    '--days'
    """
    if not isinstance(problem, ArgumentError):
        return problem.place
    return _OPTIONS.get(problem.place, f"--{problem.place}")
