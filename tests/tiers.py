"""The two tiers of the tests: what every run takes, and what only `.ci/run` takes (`-m "not bench"`)."""

from collections.abc import Iterable
from typing import Any

import pytest

whole = pytest.mark.whole
"""On a test: only the whole tier runs it."""


def thinned(cases: Iterable[Any], step: int) -> list[Any]:
    """All cases; every `step`-th one, from the first, is run always, the others in the whole tier."""
    rows = [case if isinstance(case, tuple) else (case,) for case in cases]
    return [
        pytest.param(*row, marks=() if place % step == 0 else whole, id=None)
        for place, row in enumerate(rows)
    ]
