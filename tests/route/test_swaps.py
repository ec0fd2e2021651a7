"""Swaps of one note's grip, counted again: what they take more, and the limit they break."""

from tests.every import every
from tests.oracles.small_puzzles import allowed_paths, enumerated, random_puzzle, sum_of

from gripway.limits.exchanges import Swaps
from gripway.limits.proved_path import limited_path
from gripway.trellis.puzzle import Puzzle

SEEDS = [seed for seed in range(120) if enumerated(random_puzzle(seed)) is not None]


def least_paths(puzzle: Puzzle) -> list[int]:
    """The least path within the limits."""
    path = limited_path(puzzle, 20.0).path
    assert path is not None
    return path


@every(SEEDS)
def test_a_swap_takes_what_it_says(seed: int) -> None:
    """The swapped path is allowed, its figure has one grip of the tables, and its effort is as much more."""
    puzzle = random_puzzle(seed)
    path = least_paths(puzzle)
    swaps = Swaps(puzzle, path)
    for p in range(len(path)):
        figure, rows = swaps.figure_of.get(p, (p,)), puzzle.counted[p].rows
        for grip, swap in swaps.at(p).items():
            other = [swap.nodes.get(q, k) for q, k in enumerate(path)]
            assert set(swap.nodes) == set(figure if rows[other[p]] != rows[path[p]] else (p,))
            assert puzzle.counted[p].grips[other[p]] == grip
            assert {puzzle.counted[q].rows[other[q]] for q in figure} == {rows[other[p]]}
            assert tuple(other) in allowed_paths(puzzle)
            assert puzzle.milli(other) - puzzle.milli(path) == swap.milli_more


@every(SEEDS)
def test_a_swap_breaks_what_it_says(seed: int) -> None:
    """The sum it names is too large when counted anew; where none is named the swapped path keeps all."""
    puzzle = random_puzzle(seed)
    path = least_paths(puzzle)
    swaps = Swaps(puzzle, path)
    for p in range(len(path)):
        for swap in swaps.at(p).values():
            other = tuple(swap.nodes.get(q, k) for q, k in enumerate(path))
            if swap.breaks:
                assert sum_of(puzzle, other, swap.breaks) > getattr(puzzle.budgets, swap.breaks)
            else:
                assert puzzle.keeps(other)
                assert swap.milli_more >= 0


@every(SEEDS)
def test_a_swap_is_the_cheapest_of_its_grip(seed: int) -> None:
    """No other choice of nodes with that grip takes less while all else stays."""
    puzzle = random_puzzle(seed)
    path = least_paths(puzzle)
    swaps = Swaps(puzzle, path)
    for p in range(len(path)):
        figure, rows = swaps.figure_of.get(p, (p,)), puzzle.counted[p].rows
        for grip in set(puzzle.counted[p].grips) - {puzzle.counted[p].grips[path[p]]}:
            same = [
                each
                for each in allowed_paths(puzzle)
                if puzzle.counted[p].grips[each[p]] == grip
                and all(puzzle.counted[q].rows[each[q]] == rows[each[p]] for q in figure)
                and all(
                    each[q] == path[q]
                    for q in range(len(path))
                    if q != p and (q not in figure or rows[each[p]] == rows[path[p]])
                )
            ]
            swap = swaps.at(p).get(grip)
            assert (swap is None) == (not same)
            if swap is not None:
                assert swap.milli_more == min(map(puzzle.milli, same)) - puzzle.milli(path)
