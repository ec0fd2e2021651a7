"""What a lean costs: its form, the drift of the dynamic, and what no lip bends."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES

from gripway.effort.tuning import beyond_effort, tuning_effort

CENTS = st.floats(-80.0, 80.0)


@pytest.mark.parametrize(
    ("lean", "effort"),
    [(0.0, 0.0), (20.0, 0.5), (-20.0, 0.5), (60.0, 2.25), (10.0, 0.25 / 1.5)],  # a^2 / (1 + a), a = lean / 20
)
def test_form(lean: float, effort: float) -> None:
    """The cost is a^2 / (1 + a) with a = lean / 20 cents."""
    assert tuning_effort(lean, 1.0, FIGURES) == pytest.approx(effort)


@given(CENTS, st.floats(0.0, 1.2))
def test_in_proportion_to_exposure_and_even(lean: float, exposure: float) -> None:
    """Flat costs as much as sharp; half the exposure costs half."""
    assert tuning_effort(lean, exposure, FIGURES) == tuning_effort(-lean, exposure, FIGURES)
    assert tuning_effort(lean, exposure, FIGURES) == pytest.approx(
        exposure * tuning_effort(lean, 1.0, FIGURES)
    )


def test_soft_drifts_flat_and_loud_sharp() -> None:
    """Soft marks drift flat and loud ones sharp, each in its order (taught; sizes are judgement)."""
    drifts = [TABLES.dynamics[mark].drift_cents for mark in ("pp", "p", "mp", "mf", "f", "ff")]
    assert drifts == sorted(drifts)
    assert drifts[0] < 0.0 < drifts[-1]
    assert TABLES.dynamics["mf"].drift_cents == 0.0


@given(CENTS, st.floats(0.0, 1.2))
def test_what_no_lip_bends_costs_more_and_the_rest_nothing(lean: float, exposure: float) -> None:
    """Up to what a lip bends there is no such cost; beyond it grows with the square."""
    beyond = beyond_effort(lean, exposure, FIGURES)
    excess = max(0.0, abs(lean) - FIGURES.lean_bend) / FIGURES.tuning_scale
    assert beyond == pytest.approx(FIGURES.tuning_beyond * excess**2 * exposure)
