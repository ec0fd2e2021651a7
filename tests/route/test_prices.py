"""Prices on the limits: whatever they are, their bound is never above what enumeration finds."""

import random

import pytest
from tests.oracles.small_puzzles import enumerated, random_puzzle

from gripway.route.prices import Prices, Rows, look, named, no_prices, prices_of, rows_of
from gripway.route.puzzle import STEP, Puzzle
from gripway.route.residual import bounds_through


def random_prices(puzzle: Puzzle, rows: Rows, seed: int) -> Prices:
    """Any prices a flow might find for the limits there are, good or bad, made valid."""
    source = random.Random(seed)
    found = {}
    if puzzle.budgets.unusual is not None:
        found["unusual", 0, 0] = source.uniform(-200, 900)
    if puzzle.budgets.tenths is not None:
        found["tenths", 0, 0] = source.uniform(-5, 30)
    for p, counted in enumerate(puzzle.counted):
        for grip, new in zip(counted.grips, counted.new, strict=True):
            found["figure", p, grip] = source.uniform(-600, 600)
            if new is not None:
                found["new", p, new] = source.uniform(-100, 600)
    return prices_of(puzzle, rows, found)


@pytest.mark.parametrize("seed", range(80))
def test_no_prices_give_a_bound_above_the_least(seed: int) -> None:
    """For any valid prices the bound, and the bound through the nodes, stay at or below the least."""
    puzzle = random_puzzle(seed)
    rows, least = rows_of(puzzle), enumerated(puzzle)
    for more in range(4):
        prices = random_prices(puzzle, rows, 10 * seed + more)
        seen = look(puzzle, rows, prices)
        if least is not None:
            assert seen.bound <= least * STEP
            assert all(min(column) <= least for column in bounds_through(puzzle, rows, prices))


def test_without_prices_the_bound_is_the_free_route() -> None:
    """Nothing charged, nothing allowed: the least path of the trellis."""
    puzzle = random_puzzle(4)
    seen = look(puzzle, rows_of(puzzle), no_prices(rows_of(puzzle)))
    assert seen.bound == puzzle.cost(seen.path)


@pytest.mark.parametrize("seed", range(1, 40, 2))
def test_prices_of_a_figure_add_up_to_nothing(seed: int) -> None:
    """What one note of a figure pays for a grip the others get back; no other price is negative."""
    puzzle = random_puzzle(seed)
    rows = rows_of(puzzle)
    prices = random_prices(puzzle, rows, seed)
    sums: dict[int, int] = {}
    for group, price in zip(rows.group_of.tolist(), prices.figure.tolist(), strict=True):
        sums[group] = sums.get(group, 0) + price
    assert set(sums.values()) == {0}
    assert min(prices.unusual, prices.tenth, *prices.new.tolist()) >= 0


def test_named_prices_come_back_the_same() -> None:
    """Prices by what they are for make the same prices again."""
    puzzle = random_puzzle(7)
    rows = rows_of(puzzle)
    prices = random_prices(puzzle, rows, 7)
    again = prices_of(puzzle, rows, named(puzzle, rows, prices))
    assert look(puzzle, rows, again) == look(puzzle, rows, prices)
