"""Recall: printed grips, struck from the tables, are found again by the model.

Seen when written: 116 of 187 (62 %) among the first 20 answers, 72 % of those inside the limits of
the search; `python -m tests.candidates.recall` gives the figures and the reason for every one missing.
"""

from functools import cache

import pytest
from tests.candidates.recall import FOUND, LATER, Recalled, inside, rate, recalled, report

pytestmark = pytest.mark.whole

FLOOR = 0.58
FLOOR_INSIDE = 0.68
FLOORS_BY_KIND = {"alternate": 0.66, "trill": 0.72, "harmonic": 0.25}


@cache
def outcomes() -> list[Recalled]:
    """What became of every printed grip of the plain flute."""
    return recalled()


def test_most_printed_grips_come_back_among_the_first() -> None:
    """The rate over all printed grips with holes of their own, and over those inside the limits."""
    assert rate(outcomes()) >= FLOOR
    assert inside(outcomes()) >= FLOOR_INSIDE


@pytest.mark.parametrize("kind", sorted(FLOORS_BY_KIND))
def test_each_kind_comes_back(kind: str) -> None:
    """Alternates, grips of trills and overblown low grips, each by themselves."""
    own = [each for each in outcomes() if each.row.kind == kind]
    assert rate(own) >= FLOORS_BY_KIND[kind]


def test_every_grip_inside_the_limits_is_among_the_answers() -> None:
    """A struck grip is missing altogether only for a stated reason; its place is known otherwise."""
    assert all((each.place is not None) == (each.outcome in (FOUND, LATER)) for each in outcomes())
    assert sum(each.place is not None for each in outcomes()) >= 0.8 * len(outcomes())


def test_the_report_names_every_miss() -> None:
    """One line for each grip that does not come back, with its reason."""
    text = report(outcomes())
    for each in outcomes():
        if each.outcome != FOUND:
            assert f"{each.row.grip.text}: {each.outcome}" in text
