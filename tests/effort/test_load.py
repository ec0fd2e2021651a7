"""The effort of a load: convex, continuous, straight, and no more than a change that cannot be made."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES

from gripway.effort.load import load_effort

LOADS = st.floats(0.0, 12.0)


def test_no_load_costs_nothing() -> None:
    """A change that moves no finger has load 0 and effort 0."""
    assert load_effort(0.0, FIGURES) == 0.0


@pytest.mark.parametrize(
    ("load", "effort"),
    [
        (0.5, 0.25 * 0.25),  # below 1: 0.25 load^2
        (1.0, 0.25),
        (1.2, 0.25 + 0.5 * 0.2 + 1.5 * 0.04),  # the slope 0.5 goes on, 1.5 x excess^2 on top
        (2.0, 0.25 + 0.5 + 1.5),
        (2.05, 0.25 + 0.5 + 1.5 + 3.5 * 0.05),  # straight from 2 on at the slope reached, 0.5 + 2 x 1.5
        (2.2, 2.5),  # straight on it would be 2.95: late is late
        (12.0, 2.5),
    ],
)
def test_sizes_by_hand(load: float, effort: float) -> None:
    """Effort at seven loads, computed by hand from the figures."""
    assert load_effort(load, FIGURES) == pytest.approx(effort)


UNCAPPED = replace(FIGURES, load_most_effort=1000.0)
"""The same form without its most."""


@given(LOADS, LOADS, st.floats(0.0, 1.0))
def test_convex_up_to_its_most(a: float, b: float, share: float) -> None:
    """No load between two costs more than the mean of them in proportion, but for the cap."""
    between = share * a + (1.0 - share) * b
    chord = share * load_effort(a, UNCAPPED) + (1.0 - share) * load_effort(b, UNCAPPED)
    assert load_effort(between, UNCAPPED) <= chord + 1e-9


@given(LOADS)
def test_late_is_late(load: float) -> None:
    """However late, a change costs no more than the most; below that the cap changes nothing."""
    assert load_effort(load, FIGURES) == min(FIGURES.load_most_effort, load_effort(load, UNCAPPED))
    assert load_effort(100.0, FIGURES) == FIGURES.load_most_effort


@given(LOADS, LOADS)
def test_more_load_costs_more(a: float, b: float) -> None:
    """Effort grows with load."""
    low, high = sorted((a, b))
    assert load_effort(low, FIGURES) <= load_effort(high, FIGURES)


@pytest.mark.parametrize("joint", [1.0, 2.0])
def test_continuous_with_its_slope(joint: float) -> None:
    """At both joints neither the effort nor its slope jumps."""
    h = 1e-6
    below, at, above = (load_effort(joint + d, FIGURES) for d in (-h, 0.0, h))
    assert at - below == pytest.approx(above - at, rel=1e-3)
    assert above - below < 1e-4


@given(st.floats(2.0, 12.0))
def test_straight_from_two(load: float) -> None:
    """From load 2 on each unit of load costs the same, before the cap."""
    step = load_effort(3.0, UNCAPPED) - load_effort(2.0, UNCAPPED)
    assert load_effort(load + 1.0, UNCAPPED) - load_effort(load, UNCAPPED) == pytest.approx(step)


def test_the_cap_is_above_what_is_just_too_late() -> None:
    """The cap bites only beyond twice the time available: up to there how late still counts."""
    assert load_effort(2.0, FIGURES) < FIGURES.load_most_effort
