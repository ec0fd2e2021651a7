"""Repaired routes keep every limit and are never better than the least there is."""

from itertools import pairwise

import pytest
from tests.oracles.small_puzzles import allowed_paths, enumerated, random_puzzle, sum_of

from gripway.route.ascent import climb
from gripway.route.prices import rows_of
from gripway.route.puzzle import Puzzle
from gripway.route.repair import Repairer

SEEDS = [seed for seed in range(120) if enumerated(random_puzzle(seed)) is not None]


def check_kept(puzzle: Puzzle, path: list[int]) -> None:
    """Every limit counted anew, and no barred change."""
    assert tuple(path) in allowed_paths(puzzle)
    for name in ("unusual", "tenths", "learnt"):
        most = getattr(puzzle.budgets, name)
        assert most is None or sum_of(puzzle, tuple(path), name) <= most
    for figure in puzzle.figures:
        assert all(
            puzzle.counted[p].grips[path[p]] == puzzle.counted[q].grips[path[q]] for p, q in pairwise(figure)
        )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_repaired_path_keeps_the_limits(seed: int) -> None:
    """What the ascent's repairs leave as the best route is a route within the limits, at its price."""
    puzzle = random_puzzle(seed)
    rows = rows_of(puzzle)
    best = Repairer(puzzle, rows)
    climb(puzzle, rows, best, steps=60, enough=lambda _: False)
    if best.milli is not None:
        check_kept(puzzle, best.path)
        least = enumerated(puzzle)
        assert best.milli == puzzle.milli(best.path)
        assert least is not None
        assert best.milli >= least


def test_repairs_mostly_find_a_route() -> None:
    """On most puzzles that have a route the repairs find one."""
    found = 0
    for seed in SEEDS:
        puzzle = random_puzzle(seed)
        rows = rows_of(puzzle)
        best = Repairer(puzzle, rows)
        climb(puzzle, rows, best, steps=60, enough=lambda _: False)
        found += best.milli is not None
    assert found >= 0.8 * len(SEEDS)


@pytest.mark.parametrize("seed", SEEDS[:40])
def test_settling_never_makes_a_route_worse(seed: int) -> None:
    """From any route within the limits comes one that keeps them and takes no more."""
    puzzle = random_puzzle(seed)
    kept = [list(path) for path in allowed_paths(puzzle) if puzzle.keeps(path)]
    for path in kept[:: max(1, len(kept) // 5)]:
        best = Repairer(puzzle, rows_of(puzzle))
        best.settle(path)
        assert best.milli is not None
        assert best.milli <= puzzle.milli(path)
        check_kept(puzzle, best.path)


def test_a_path_that_breaks_a_limit_is_not_taken() -> None:
    """Offered, it changes nothing."""
    for seed in SEEDS:
        puzzle = random_puzzle(seed)
        broken = next((path for path in allowed_paths(puzzle) if not puzzle.keeps(path)), None)
        if broken is not None:
            best = Repairer(puzzle, rows_of(puzzle))
            best.offer(list(broken))
            assert (best.path, best.milli) == ([], None)
