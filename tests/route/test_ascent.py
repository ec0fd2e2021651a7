"""The ascent: its bound rises from the free route's and never passes what enumeration finds."""

import pytest
from tests.oracles.small_puzzles import allowed_paths, enumerated, random_puzzle

from gripway.route.ascent import Climb, climb
from gripway.route.prices import look, no_prices, rows_of
from gripway.route.puzzle import STEP
from gripway.route.repair import Repairer

SEEDS = [seed for seed in range(80) if allowed_paths(random_puzzle(seed))]


def climbed(seed: int, *, steps: int = 60) -> Climb:
    """The best prices of a puzzle."""
    puzzle = random_puzzle(seed)
    rows = rows_of(puzzle)
    return climb(puzzle, rows, Repairer(puzzle, rows), steps=steps, enough=lambda _: False)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bound_lies_between_the_free_route_and_the_least(seed: int) -> None:
    """At least what nothing charged shows, at most the enumerated least."""
    puzzle, best = random_puzzle(seed), climbed(seed)
    free = look(puzzle, rows_of(puzzle), no_prices(rows_of(puzzle))).bound
    assert best.seen.bound >= free
    assert best.seen == look(puzzle, rows_of(puzzle), best.prices)
    least = enumerated(puzzle)
    assert least is None or best.seen.bound <= least * STEP


def test_the_ascent_gains_something() -> None:
    """On some puzzles the bound rises above the free route's, and steps add to the bisections."""
    gains, further = 0, 0
    for seed in SEEDS:
        puzzle, rows = random_puzzle(seed), rows_of(random_puzzle(seed))
        bound = climbed(seed).seen.bound
        gains += bound > look(puzzle, rows, no_prices(rows)).bound
        further += bound > climbed(seed, steps=0).seen.bound
    assert gains >= 20
    assert further >= 5


def test_enough_ends_the_ascent() -> None:
    """It is asked, and stops the steps."""
    seed = next(seed for seed in SEEDS if random_puzzle(seed).figures and enumerated(random_puzzle(seed)))
    puzzle = random_puzzle(seed)
    rows = rows_of(puzzle)
    start = climbed(seed, steps=5).prices
    best = climb(puzzle, rows, Repairer(puzzle, rows), steps=0, enough=lambda _: True, start=start)
    assert best.prices == start
