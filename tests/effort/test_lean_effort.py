"""What a lean costs: its form, the drift of the dynamic, and what no lip bends."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES

from gripway.effort.lean_effort import expected_tuning_effort, tuning_effort

CENTS = st.floats(-80.0, 80.0)


@pytest.mark.parametrize(
    ("lean", "effort"),
    [(0.0, 0.0), (30.0, 0.4), (-30.0, 0.4), (15.0, 0.4 / 3.0), (60.0, 3.2 / 3.0 + 0.25)],
)
def test_form(lean: float, effort: float) -> None:
    """0.8 a^2 / (1 + a) with a = lean / 30 cents, and a quarter of the square of what is beyond 30 cents."""
    assert tuning_effort(lean, FIGURES) == pytest.approx(effort)


@given(CENTS)
def test_flat_costs_as_much_as_sharp(lean: float) -> None:
    """Only the size counts."""
    assert tuning_effort(lean, FIGURES) == tuning_effort(-lean, FIGURES)


@given(CENTS, st.floats(0.0, 40.0))
def test_doubt_is_a_cost_where_it_may_be_worse(lean: float, spread: float) -> None:
    """The expected cost is never below that of a true note, and a true note in doubt costs something."""
    assert expected_tuning_effort(lean, spread, FIGURES) >= 0.0
    assert expected_tuning_effort(0.0, spread + 1.0, FIGURES) > tuning_effort(0.0, FIGURES)


@given(CENTS, st.floats(0.1, 40.0))
def test_doubt_is_never_a_bonus(lean: float, spread: float) -> None:
    """A lean in doubt costs at least what a certain one does: the form bends up everywhere (Jensen)."""
    assert expected_tuning_effort(lean, spread, FIGURES) >= tuning_effort(lean, FIGURES) - 1e-9


@given(CENTS, st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_more_doubt_costs_more(lean: float, a: float, b: float) -> None:
    """Of two ranges about the same lean the wider one costs at least as much."""
    narrow, wide = sorted((a, b))
    assert expected_tuning_effort(lean, narrow, FIGURES) <= expected_tuning_effort(lean, wide, FIGURES) + 1e-9


def test_the_expected_cost_is_a_mean_over_a_normal_lean() -> None:
    """Restated by a sum over 2,001 leans of a normal spread (numpy); the three-point rule is within 0.03."""
    for lean, spread in ((0.0, 20.0), (-12.0, 10.0), (-30.0, 15.0), (8.0, 8.0)):
        offs = np.linspace(-5.0, 5.0, 2001)
        weights = np.exp(-(offs**2) / 2.0)
        costs = [tuning_effort(lean + off * spread / 1.645, FIGURES) for off in offs]
        mean = float(np.average(costs, weights=weights))
        assert expected_tuning_effort(lean, spread, FIGURES) == pytest.approx(mean, abs=0.03)


def test_soft_drifts_flat_and_loud_sharp() -> None:
    """Soft marks drift flat and loud ones sharp, each in its order (taught; sizes are judgement)."""
    drifts = [TABLES.dynamics[mark].drift_cents for mark in ("pp", "p", "mp", "mf", "f", "ff")]
    assert drifts == sorted(drifts)
    assert drifts[0] < 0.0 < drifts[-1]
    assert TABLES.dynamics["mf"].drift_cents == 0.0
