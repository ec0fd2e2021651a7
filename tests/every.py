"""A rule for many rows in one test, which names every row that breaks it."""

from collections.abc import Callable, Iterable
from typing import Any

Rule = Callable[..., None]


def told(*values: object) -> str:
    """The values of a row as they print."""
    return " ".join(map(str, values))


def every(
    given: Iterable[Any] | Callable[[], Iterable[Any]], name: Callable[..., str] = told
) -> Callable[[Rule], Callable[[], None]]:
    """Make of a test of one row (a tuple: of its values) a test of all; `name` says which row it was.

    Rows that cost something to make are given as the function that makes them, called when the test runs.
    """
    some = given if callable(given) else list(given)

    def of(rule: Rule) -> Callable[[], None]:
        def test() -> None:
            rows = list(some()) if callable(some) else some
            faults = [fault for row in rows if (fault := _fault(rule, row, name))]
            assert rows, "there is no row"
            assert not faults, "\n".join([f"{len(faults)} of {len(rows)} rows:", *faults])

        test.__name__, test.__doc__, test.__module__ = rule.__name__, rule.__doc__, rule.__module__
        return test

    return of


def _fault(rule: Rule, row: Any, name: Callable[..., str]) -> str:
    """What is wrong with a row, in one line with its name; nothing where the rule holds."""
    try:
        rule(*row) if isinstance(row, tuple) else rule(row)
    except Exception as fault:
        called = name(*row) if isinstance(row, tuple) else name(row)
        return f"{called}: {type(fault).__name__}: {' '.join(str(fault).split())}"
    return ""
