"""The flow model: whole it finds what enumeration finds, relaxed its prices are as good as any."""

from tests.every import every
from tests.oracles.small_puzzles import enumerated, random_puzzle
from tests.route.test_prices import SEEDS, random_prices, rows_of

from gripway.limits.flow_model import prove, relaxed
from gripway.limits.multipliers import priced
from gripway.limits.windows import Windows


@every(SEEDS)
def test_the_proof_is_what_enumeration_finds(seed: int) -> None:
    """The whole puzzle at once: the least effort with its charges, or that there is none."""
    puzzle = random_puzzle(seed)
    proof, expected = prove(puzzle, 20.0, 10_000), enumerated(puzzle)
    assert proof.done
    assert proof.none == (expected is None)
    if expected is not None:
        assert puzzle.keeps(proof.path)
        assert (puzzle.milli(proof.path), proof.bound) == (expected, expected)


@every(SEEDS)
def test_no_prices_are_better_than_those_of_the_relaxed_flow(seed: int) -> None:
    """Its duals give a bound at most the least, at least that of prices drawn at random."""
    puzzle, least = random_puzzle(seed), enumerated(random_puzzle(seed))
    found = relaxed(puzzle, 20.0, 10_000)
    assert not (found.none and least is not None)
    if found.prices:
        bound = Windows(puzzle, priced(puzzle, rows_of(puzzle), found.prices)).bound
        assert least is None or bound <= least
        for more in range(10):
            assert Windows(puzzle, random_prices(puzzle, 100 * seed + more)).bound <= bound + 1


def test_no_step_gives_no_prices() -> None:
    """Work is counted: without any there is nothing to go by."""
    seeds = [seed for seed in SEEDS if enumerated(random_puzzle(seed)) is not None]
    assert sum(relaxed(random_puzzle(seed), 20.0, 0).prices == () for seed in seeds) > len(seeds) // 2
