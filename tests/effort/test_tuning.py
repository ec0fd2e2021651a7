"""What a lean costs: its form, the drift of the dynamic, and doubt."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES

from gripway.effort.tuning import expected_lean, tuning_effort

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


def test_a_sharp_grip_suits_pp() -> None:
    """15 cents sharp is nearly true at pp and worse at ff; 15 cents flat the other way round."""
    pp, ff = (TABLES.dynamics[mark].drift_cents for mark in ("pp", "ff"))
    assert abs(expected_lean(15.0, pp, 0.0)) < 15.0 < abs(expected_lean(15.0, ff, 0.0))
    assert abs(expected_lean(-15.0, ff, 0.0)) < 15.0 < abs(expected_lean(-15.0, pp, 0.0))


@given(CENTS, st.floats(-12.0, 12.0), st.floats(0.0, 30.0))
def test_doubt_shrinks_and_never_turns_a_lean(cents: float, drift: float, doubt: float) -> None:
    """Doubt is taken off the size of a lean; at most it makes it nothing."""
    plain, doubted = expected_lean(cents, drift, 0.0), expected_lean(cents, drift, doubt)
    assert plain == cents + drift
    assert abs(doubted) == pytest.approx(max(0.0, abs(plain) - doubt))
    assert doubted == 0.0 or (doubted > 0.0) == (plain > 0.0)
