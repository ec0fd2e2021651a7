"""The price of one sum: as high a bound as any price gives, and a path that keeps the sum."""

from dataclasses import replace

import pytest
from tests.oracles.small_puzzles import allowed_paths, random_puzzle, sum_of

from gripway.limits.multipliers import priced
from gripway.limits.one_sum import one_sum
from gripway.limits.side_rows import side_rows
from gripway.limits.windows import Windows
from gripway.trellis.puzzle import Budgets, Puzzle

SUMS = {"unusual": (0, 1, 2, 3), "tenths": (20, 50, 90, 130)}


def cases() -> list[tuple[Puzzle, str]]:
    """Puzzles with one sum that some path keeps, without figures and charges."""
    found = []
    for seed in range(60):
        for name, sizes in SUMS.items():
            plain = replace(random_puzzle(seed), figures=(), charge_milli=0, returns=())
            puzzle = replace(plain, budgets=Budgets(**{name: sizes[seed % 4]}))
            if any(puzzle.keeps(path) for path in allowed_paths(puzzle)):
                found.append((puzzle, name))
    return found


@pytest.mark.parametrize("case", cases(), ids=lambda case: case[1])
def test_no_other_price_gives_a_higher_bound(case: tuple[Puzzle, str]) -> None:
    """Every price where two paths of the enumeration cost the same is tried: the best one is among them."""
    puzzle, name = case
    (row,) = side_rows(puzzle)
    price, path = one_sum(puzzle, row)
    assert puzzle.keeps(path)

    def bound(price: float) -> int:
        return Windows(puzzle, priced(puzzle, [row], [price])).bound

    lines = {(puzzle.milli(path), sum_of(puzzle, path, name)) for path in allowed_paths(puzzle)}
    least = {used: min(milli for milli, own in lines if own == used) for _, used in lines}
    crossings = {
        (least[a] - least[b]) / (b - a) for a in least for b in least if a < b and least[a] > least[b]
    }
    assert bound(price) == max(map(bound, {0.0, *crossings}))
