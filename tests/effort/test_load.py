"""The effort of a load: convex, continuous, straight at the end."""

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
        (0.5, 0.2 * 0.25),  # below 1: 0.2 load^2
        (1.0, 0.2),
        (1.2, 0.2 + 0.4 * 0.2 + 1.5 * 0.04),  # the slope 0.4 goes on, 1.5 x excess^2 on top
        (2.0, 0.2 + 0.4 + 1.5),
        (3.0, 0.2 + 0.4 + 1.5 + 3.4),  # straight from 2 on at the slope reached, 0.4 + 2 x 1.5
    ],
)
def test_sizes_by_hand(load: float, effort: float) -> None:
    """Effort at five loads, computed by hand from the figures."""
    assert load_effort(load, FIGURES) == pytest.approx(effort)


@given(LOADS, LOADS, st.floats(0.0, 1.0))
def test_convex(a: float, b: float, share: float) -> None:
    """No load between two costs more than the mean of them in proportion."""
    between = share * a + (1.0 - share) * b
    chord = share * load_effort(a, FIGURES) + (1.0 - share) * load_effort(b, FIGURES)
    assert load_effort(between, FIGURES) <= chord + 1e-9


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
    """From load 2 on each unit of load costs the same."""
    step = load_effort(3.0, FIGURES) - load_effort(2.0, FIGURES)
    assert load_effort(load + 1.0, FIGURES) - load_effort(load, FIGURES) == pytest.approx(step)
