"""Where a grip leans: the player's tuner alone, else teachers and model weighed together, on both bases."""

from dataclasses import replace
from math import hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, number, solver_of

from gripway.catalog.flute.grips import GripRow, Lean
from gripway.effort.candidate import Tendency
from gripway.effort.tendency import no_model, tendency
from gripway.model.grip import Grip
from gripway.model.player import OwnCents

BOOK = solver_of().book
D6 = number("D6")


def row(**changes: object) -> GripRow:
    """A row of D6 of no table, with no lean unless one is given."""
    plain = replace(
        BOOK.standard_row(D6), grip=Grip.parse("T L2 L3 |"), kind="alternate", lean=None, modelled=None
    )
    return replace(plain, **changes)


STANDARD = row(
    grip=Grip.parse("T L2 L3 | Eb"), kind="standard", lean=Lean(8.0, 6.0, "tempered", "taught", "sharp")
)
PLAIN_STANDARD = replace(STANDARD, lean=None)
TRUE_STANDARD = replace(STANDARD, lean=Lean(0.0, 0.0, "tempered", "taught"))
"""A standard grip without any range of its own, so that only that of the other grip is seen."""

MODELLED = Lean(-30.0, 17.0, "standard", "modelled")


def of(
    said: Lean | None, model: Lean | None, standard: GripRow = TRUE_STANDARD, **row_too: object
) -> Tendency:
    """The tendency of a grip by a word and a model."""
    return tendency(row(lean=said, modelled=model, **row_too), standard, {}, FIGURES, no_model)


def taught(cents: float, spread: float, word: str = "lower") -> Lean:
    """A word with its size and range."""
    return Lean(cents, spread, "standard", "taught", word)


def test_a_standard_grip_leans_as_taught() -> None:
    """The standard grip keeps its taught lean and differs by nothing from itself."""
    found = tendency(STANDARD, STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents, found.source) == (8.0, 6.0, "taught")
    assert (found.vs_standard, found.vs_spread_cents) == (0.0, 0.0)
    assert found.known == "taught sharp, size by gripway"


def test_a_standard_grip_nobody_speaks_of_is_true() -> None:
    """Without a word the standard grip is taken as true, as a judgement with a range."""
    found = tendency(PLAIN_STANDARD, PLAIN_STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents, found.source) == (
        0.0,
        FIGURES.standard_spread_cents,
        "judgement",
    )


def test_a_lean_against_the_standard_is_added_to_it() -> None:
    """12 below a standard that leans 8 sharp is 4 flat; the ranges add as squares (6, 8: 10)."""
    found = of(taught(-12.0, 8.0), None, STANDARD)
    assert (found.cents, found.vs_standard) == (-4.0, -12.0)
    assert (found.spread_cents, found.vs_spread_cents) == (10.0, 8.0)


def test_a_lean_against_temperament_stands_alone() -> None:
    """A lean from equal temperament keeps its cents and range; against the standard it is the difference."""
    found = of(Lean(-14.0, 8.0, "tempered", "taught"), None, STANDARD)
    assert (found.cents, found.spread_cents) == (-14.0, 8.0)
    assert (found.vs_standard, found.vs_spread_cents) == (-22.0, 10.0)


def test_the_players_tuner_stands_alone() -> None:
    """An own reading of the grip is measured, and compared with the own reading of the standard."""
    other = row(lean=taught(-12.0, 8.0), modelled=MODELLED)
    own = {
        (D6, other.grip): OwnCents(D6, other.grip, -3.0, 4.0),
        (D6, STANDARD.grip): OwnCents(D6, STANDARD.grip, 5.0, 3.0),
    }
    found = tendency(other, STANDARD, own, FIGURES)
    assert (found.cents, found.spread_cents, found.source) == (-3.0, 4.0, "measured")
    assert (found.vs_standard, found.vs_spread_cents) == (-8.0, 5.0)
    assert found.known == "measured"


def test_teachers_and_model_are_weighed_by_how_narrow_they_are() -> None:
    """-10 ±15 beside -40 ±5: nine parts of ten for the narrow one, which makes -37."""
    found = of(taught(-10.0, 15.0), replace(MODELLED, cents=-40.0, spread_cents=5.0))
    assert found.vs_standard == pytest.approx(-37.0)
    assert (found.source, found.known) == ("taught", "taught lower, size by gripway")


@given(st.floats(-40, 40), st.floats(2, 20), st.floats(-40, 40), st.floats(2, 20))
def test_the_number_and_its_range_are_those_of_the_mixture(
    said: float, said_range: float, model: float, model_range: float
) -> None:
    """Restated by drawing from both sources: mean and 1.645 standard deviations (numpy)."""
    found = of(taught(said, said_range), replace(MODELLED, cents=model, spread_cents=model_range))
    share = said_range**-2 / (said_range**-2 + model_range**-2)
    grid = (np.arange(2000) + 0.5) / 2000
    normal = np.sqrt(2.0) * _inverse_erf(2.0 * grid - 1.0)
    draws = [said + normal * said_range / 1.645, model + normal * model_range / 1.645]
    means = [float(np.mean(each)) for each in draws]
    mean = share * means[0] + (1 - share) * means[1]
    squares = [float(np.mean((each - mean) ** 2)) for each in draws]
    spread = 1.645 * np.sqrt(share * squares[0] + (1 - share) * squares[1])
    assert found.vs_standard == pytest.approx(mean, abs=0.06)
    assert found.vs_spread_cents == pytest.approx(spread, rel=0.01, abs=0.1)


def _inverse_erf(values: np.ndarray) -> np.ndarray:
    """Inverse of the error function (scipy)."""
    from scipy.special import erfinv

    return np.asarray(erfinv(values))


@given(st.floats(-40, 40), st.floats(2, 20), st.floats(-40, 40), st.floats(2, 20))
def test_agreement_makes_nothing_surer_and_disagreement_makes_it_less_sure(
    said: float, said_range: float, model: float, model_range: float
) -> None:
    """The range is never narrower than the narrower source's, and it grows with the distance."""
    near = of(taught(said, said_range), Lean(said, model_range, "standard", "modelled"))
    apart = of(taught(said, said_range), Lean(model, model_range, "standard", "modelled"))
    assert near.vs_spread_cents is not None
    assert apart.vs_spread_cents is not None
    assert near.vs_spread_cents >= min(said_range, model_range) - 0.1
    assert apart.vs_spread_cents >= near.vs_spread_cents - 0.1


def test_a_word_of_our_own_estimate_is_not_heard_beside_the_model() -> None:
    """It is the model's word over again: the model alone speaks, and where it is silent the word does."""
    own = Lean(-20.0, 10.0, "standard", "modelled", "flat")
    heard, alone = of(own, MODELLED), of(own, None)
    assert (heard.vs_standard, heard.vs_spread_cents, heard.known) == (-30.0, 17.0, "modelled")
    assert (alone.vs_standard, alone.known) == (-20.0, "modelled")


def test_a_judgement_of_sources_that_disagree_stands_alone() -> None:
    """Who weighed them by hand is not weighed again."""
    found = of(Lean(0.0, 6.0, "standard", "judgement", "lower"), MODELLED)
    assert (found.vs_standard, found.vs_spread_cents, found.source) == (0.0, 6.0, "judgement")


def test_the_same_holes_are_the_same_pitch() -> None:
    """A model without any range (no hole differs) leaves nothing to a word."""
    found = of(taught(-12.0, 8.0), Lean(0.0, 0.0, "standard", "modelled"))
    assert (found.vs_standard, found.vs_spread_cents) == (0.0, 0.0)


def test_the_model_speaks_where_nothing_is_taught() -> None:
    """The modelled lean is taken as it is, with its whole range."""
    found = of(None, MODELLED, PLAIN_STANDARD)
    assert (found.cents, found.vs_standard, found.source) == (-30.0, -30.0, "modelled")
    assert found.spread_cents == pytest.approx(hypot(17.0, FIGURES.standard_spread_cents), abs=0.05)


def test_a_dispute_is_one_of_direction() -> None:
    """Far apart on two sides is disputed, far apart on one side is only a matter of size, which is ours."""
    assert of(taught(-20.0, 8.0), replace(MODELLED, cents=15.0, spread_cents=8.0)).disputed == 15.0
    assert of(taught(-12.0, 8.0), replace(MODELLED, cents=-45.0, spread_cents=8.0)).disputed is None
    assert of(taught(-5.0, 8.0), replace(MODELLED, cents=4.0, spread_cents=8.0)).disputed is None


def test_a_row_called_disputed_is_disputed_however_near_the_two_are() -> None:
    """The flag of the table counts, and the model's cents stand beside it."""
    assert of(taught(-5.0, 8.0), MODELLED, flags=frozenset({"disputed"})).disputed == -30.0


def test_where_nothing_is_known_the_standard_is_assumed() -> None:
    """Without any lean: the standard's cents, a wide range, and no claim of a difference."""
    found = tendency(row(), STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents) == (8.0, FIGURES.unknown_spread_cents)
    assert (found.vs_standard, found.vs_spread_cents, found.source) == (None, None, "judgement")


def test_flutes_of_other_kinds_keep_quiet() -> None:
    """No cents of the concert flute are told of the piccolo."""
    column = solver_of("piccolo").book.column(D6, True, True)
    assert column
    assert {(c.tendency.cents, c.tendency.source, c.disputed) for c in column} == {(None, "unknown", "")}


def test_a_difference_measured_side_by_side_counts_over_its_cents() -> None:
    """-8 ±4 from the standard grip as it is known now (8 taught, or 5 measured), not its own cents."""
    other = row(lean=taught(-12.0, 8.0), modelled=MODELLED)
    measured = {(D6, other.grip): OwnCents(D6, other.grip, 44.0, 4.0, -8.0, 3, "2027-01-31")}
    found = tendency(other, STANDARD, measured, FIGURES)
    assert (found.cents, found.source) == (0.0, "measured")
    assert found.spread_cents == 7.2  # 4, and the 6 of the standard grip
    assert (found.vs_standard, found.vs_spread_cents) == (-8.0, 4.0)
    measured[D6, other.grip] = replace(measured[D6, other.grip], spread_cents=7.2, vs_spread_cents=4.0)
    assert tendency(other, STANDARD, measured, FIGURES) == found
    measured[D6, STANDARD.grip] = OwnCents(D6, STANDARD.grip, 5.0, 3.0)
    assert tendency(other, STANDARD, measured, FIGURES).cents == -3.0
