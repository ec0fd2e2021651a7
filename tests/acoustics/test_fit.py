"""The two player terms are the least squares of the standard grips C4 to C#6, and nothing else."""

from dataclasses import replace

import numpy as np
import pytest
from tests.acoustics.fit import (
    HIGHEST_FITTED,
    LOWEST_FITTED,
    Grips,
    cents_off,
    fitted_player,
    grips_on,
)
from tests.acoustics.flute import flute, standard_patterns, tube_of

from gripway.acoustics.atlas import atlas
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.player_terms import player_term

FLUTE = flute()
PATTERNS = standard_patterns(FLUTE, LOWEST_FITTED, HIGHEST_FITTED)


def squares(grips: Grips, player: PlayerTerm) -> float:
    """Sum of the squared cents."""
    return float(np.sum(np.square(grips.cents(player))))


@pytest.mark.parametrize("place", [0, 1])
def test_the_table_holds_the_fit(place: int) -> None:
    """Each bore's two figures are the fit's to 0.2, from a start far away."""
    tube = replace(tube_of(FLUTE, place), player=PlayerTerm(100.0, 20.0))
    fitted = fitted_player(FLUTE, tube, PATTERNS)
    assert player_term(bores(FLUTE)[place].id) == pytest.approx(
        (fitted.inertance_per_m, fitted.growth_per_m), abs=0.2
    )


@pytest.mark.parametrize("terms", [(1.0, 0.0), (-1.0, 0.0), (0.0, 2.0), (0.0, -2.0), (1.0, -3.0)])
def test_any_other_player_leaves_larger_squares(terms: tuple[float, float]) -> None:
    """The fitted figures are the bottom: a step to any side is worse."""
    grips = grips_on(FLUTE, tube_of(FLUTE), PATTERNS)
    fitted = fitted_player(FLUTE, tube_of(FLUTE), PATTERNS)
    other = PlayerTerm(fitted.inertance_per_m + terms[0], fitted.growth_per_m + terms[1])
    assert squares(grips, other) > squares(grips, fitted)


def test_grips_above_c_sharp_6_take_no_part() -> None:
    """The third octave is predicted, not fitted: adding its grips changes nothing."""
    more = standard_patterns(FLUTE, LOWEST_FITTED, 96)
    assert fitted_player(FLUTE, tube_of(FLUTE), more) == fitted_player(FLUTE, tube_of(FLUTE), PATTERNS)


def test_a_player_put_in_is_found_again() -> None:
    """Targets sounded by a known player give that player back."""
    known = PlayerTerm(110.0, 30.0)
    grips = grips_on(FLUTE, tube_of(FLUTE), PATTERNS)
    moved = replace(grips, targets=grips.targets + grips.cents(known) / 100.0)
    assert np.abs(moved.cents(known)).max() < 0.1


def test_the_player_is_taken_off_and_put_on_again() -> None:
    """Cents of the prepared grips are those of the whole computation."""
    tube = tube_of(FLUTE)
    whole = atlas(FLUTE, tube, list(PATTERNS.values()))
    cents = cents_off(whole.numbers, np.array(list(PATTERNS), dtype=float))
    assert grips_on(FLUTE, tube, PATTERNS).cents(tube.player) == pytest.approx(cents, abs=1e-6)


def test_too_few_grips_are_refused() -> None:
    """Two grips cannot fit two terms with anything left over."""
    with pytest.raises(ValueError, match="too few"):
        fitted_player(FLUTE, tube_of(FLUTE), {60: PATTERNS[60], 61: PATTERNS[61], 95: PATTERNS[61]})


def test_a_grip_without_resonances_has_no_cents() -> None:
    """A row of nothing gives nothing, not a number."""
    cents = cents_off(np.array([[60.1, 71.9], [np.nan, np.nan]]), np.array([72.0, 72.0]))
    assert cents[0] == pytest.approx(-10.0)
    assert np.isnan(cents[1])
