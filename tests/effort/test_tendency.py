"""Where a grip leans: the player's tuner, then what is taught, then the model, on both bases."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, number, solver_of

from gripway.catalog.grips import GripRow, Lean
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


STANDARD = row(grip=Grip.parse("T L2 L3 | Eb"), kind="standard", lean=Lean(8.0, 6.0, "tempered", "taught"))
PLAIN_STANDARD = replace(STANDARD, lean=None)
MODELLED = Lean(-30.0, 17.0, "standard", "modelled")


def test_a_standard_grip_leans_as_taught() -> None:
    """The standard grip keeps its taught lean and differs by nothing from itself."""
    found = tendency(STANDARD, STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents, found.vs_standard, found.source) == (8.0, 6.0, 0.0, "taught")


def test_a_standard_grip_nobody_speaks_of_is_true() -> None:
    """Without a word the standard grip is taken as true, as a judgement with a spread."""
    found = tendency(PLAIN_STANDARD, PLAIN_STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents, found.source) == (0.0, FIGURES.standard_spread, "judgement")


def test_a_lean_against_the_standard_is_added_to_it() -> None:
    """12 below a standard that leans 8 sharp is 4 flat; the spreads add as squares (6, 8: 10)."""
    found = tendency(row(lean=Lean(-12.0, 8.0, "standard", "taught")), STANDARD, {}, FIGURES)
    assert (found.cents, found.vs_standard, found.spread_cents) == (-4.0, -12.0, 10.0)


def test_a_lean_against_temperament_stands_alone() -> None:
    """A lean from equal temperament keeps its cents; against the standard it is the difference."""
    found = tendency(row(lean=Lean(-14.0, 5.0, "tempered", "taught")), STANDARD, {}, FIGURES)
    assert (found.cents, found.vs_standard, found.spread_cents) == (-14.0, -22.0, 5.0)


def test_the_players_tuner_beats_what_is_taught() -> None:
    """An own reading of the grip is measured, and compared with the own reading of the standard."""
    other = row(lean=Lean(-12.0, 8.0, "standard", "taught"))
    own = {
        (D6, other.grip): OwnCents(D6, other.grip, -3.0, 2.0),
        (D6, STANDARD.grip): OwnCents(D6, STANDARD.grip, 5.0, 2.0),
    }
    found = tendency(other, STANDARD, own, FIGURES)
    assert (found.cents, found.spread_cents, found.vs_standard, found.source) == (-3.0, 2.0, -8.0, "measured")


def test_what_is_taught_beats_the_model() -> None:
    """A taught lean is kept though a modelled one is there."""
    found = tendency(
        row(lean=Lean(-5.0, 5.0, "standard", "taught"), modelled=MODELLED), PLAIN_STANDARD, {}, FIGURES
    )
    assert (found.vs_standard, found.source, found.doubt_cents) == (-5.0, "taught", 0.0)


def test_the_model_speaks_where_nothing_is_taught() -> None:
    """The modelled lean is taken, half of its spread in doubt."""
    found = tendency(row(modelled=MODELLED), PLAIN_STANDARD, {}, FIGURES, no_model)
    assert (found.vs_standard, found.source) == (-30.0, "modelled")
    assert found.doubt_cents == pytest.approx(0.5 * 17.0)


def test_where_nothing_is_known_the_standard_is_assumed() -> None:
    """Without any lean: the standard's cents, a wide spread, and no claim of a difference."""
    found = tendency(row(), STANDARD, {}, FIGURES)
    assert (found.cents, found.spread_cents) == (8.0, FIGURES.unknown_spread)
    assert (found.vs_standard, found.source) == (None, "judgement")


def test_flutes_of_other_kinds_keep_quiet() -> None:
    """No cents of the concert flute are told of the piccolo."""
    column = solver_of("piccolo").book.column(D6, True, True)
    assert column
    assert {(c.tendency.cents, c.tendency.source) for c in column} == {(None, "unknown")}
