"""The two tiers of the tests: what every run takes, and what only `.ci/run` takes (`-m "not bench"`)."""

import os
from collections.abc import Iterable
from typing import Any

import pytest

WHOLE = "GRIPWAY_WHOLE_TESTS"
"""Set by conftest.py where the whole tier runs, for workers too."""

whole = pytest.mark.whole
"""On a test: only the whole tier runs it."""


def thinned(cases: Iterable[Any], step: int) -> list[Any]:
    """Every `step`-th case, from the first; in the whole tier all, with the others marked as its own."""
    rows = [case if isinstance(case, tuple) else (case,) for case in cases]
    return [
        pytest.param(*row, marks=() if place % step == 0 else whole, id=None)
        for place, row in enumerate(rows)
        if place % step == 0 or os.environ.get(WHOLE)
    ]


def some(rows: Iterable[Any], step: int) -> list[Any]:
    """All rows of a test of many in the whole tier, else every `step`-th one, from the first."""
    return [*rows][:: 1 if os.environ.get(WHOLE) else step]


def examples(most: int) -> int:
    """How many examples of a property are tried: all in the whole tier, else a third, the first of them."""
    return most if os.environ.get(WHOLE) else max(1, most // 3)
