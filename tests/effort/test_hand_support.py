"""Support of a grip, its change, and what a loose grip costs."""

import pytest
from tests.oracles.flutes import FIGURES, TABLES

from gripway.effort.hand_support import looseness_effort, sudden_balance, suddenness, support
from gripway.model.grip import Grip


def units(text: str, *, little_finger: bool = True) -> float:
    """Support units of a grip."""
    return support(Grip.parse(text), TABLES.support, little_finger=little_finger)


C5, C_SHARP5, D5 = "L1 | Eb", "| Eb", "T L2 L3 | R1 R2 R3"


@pytest.mark.parametrize(
    ("before", "after", "change"),
    [(C5, D5, 1.6), (C_SHARP5, D5, 2.0)],  # both sizes stand with the definition of support
)
def test_changes_that_are_felt(before: str, after: str, change: float) -> None:
    """C5-D5 changes the support by 1.6, C#5-D5 by 2.0: both above 1.5, where it is felt."""
    assert units(after) - units(before) == pytest.approx(change)
    assert change > 1.5


@pytest.mark.parametrize("grip", [C5, C_SHARP5, "L2 L3 L4 | R1"])
def test_grips_nothing_holds_are_loose(grip: str) -> None:
    """Grips below 1.5 units are loose: C5, C#5, and C#7 with the little finger off are at most that."""
    assert units(grip) <= FIGURES.loose_below_support


def test_the_little_finger_counts_once() -> None:
    """Several foot rollers under R4 support as one."""
    assert units("| C B") == units("| C") == units("| Eb") == pytest.approx(0.8)


def test_the_little_finger_may_not_count() -> None:
    """For a player whose R4 does not steady the flute, C#5 has no support at all."""
    assert units(C_SHARP5, little_finger=False) == 0.0
    assert units(D5, little_finger=False) == units(D5)


def test_small_changes_are_not_felt() -> None:
    """A change of support within the free part costs nothing, either way."""
    assert sudden_balance(FIGURES.balance_free_support, FIGURES) == 0.0
    assert sudden_balance(-FIGURES.balance_free_support, FIGURES) == 0.0


def test_balance_grows_with_the_change_both_ways() -> None:
    """2.0 costs more than 1.6, and as much up as down; by hand 0.12 x (2.0 - 0.8)."""
    assert sudden_balance(2.0, FIGURES) == pytest.approx(0.12 * 1.2)
    assert sudden_balance(-2.0, FIGURES) == sudden_balance(2.0, FIGURES)
    assert sudden_balance(1.6, FIGURES) < sudden_balance(2.0, FIGURES)


def test_slow_changes_of_support_count_less() -> None:
    """Up to 300 ms all of it counts, from there in proportion: twice the time, half the cost."""
    assert suddenness(300.0, FIGURES) == suddenness(80.0, FIGURES) == 1.0
    assert suddenness(600.0, FIGURES) == pytest.approx(0.5)


def test_looseness_counts_what_is_lacking() -> None:
    """C#5 (0.8 units) lacks 0.7 of 1.5 and costs in proportion to exposure; a firm grip costs nothing."""
    assert looseness_effort(0.8, 1.0, FIGURES) == pytest.approx(0.1 * 0.7)
    assert looseness_effort(0.8, 0.5, FIGURES) == pytest.approx(0.5 * 0.1 * 0.7)
    assert looseness_effort(1.5, 1.0, FIGURES) == 0.0
