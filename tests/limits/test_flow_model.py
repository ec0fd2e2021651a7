"""The flow model: whole it finds what enumeration finds, relaxed its prices are as good as any."""

from tests.every import every
from tests.limits.test_prices import random_prices, rows_of, seeds
from tests.oracles.small_networks import enumerated, random_network

from gripway.limits.flow_model import prove, relaxed
from gripway.limits.multipliers import priced
from gripway.limits.windows import Windows


@every(seeds)
def test_the_proof_is_what_enumeration_finds(seed: int) -> None:
    """The whole network at once: the least effort with its charges, or that there is none."""
    network = random_network(seed)
    proof, expected = prove(network, 20.0, 10_000), enumerated(network)
    assert proof.done
    assert proof.none == (expected is None)
    if expected is not None:
        assert network.keeps(proof.path)
        assert (network.milli(proof.path), proof.bound) == (expected, expected)


@every(seeds)
def test_no_prices_are_better_than_those_of_the_relaxed_flow(seed: int) -> None:
    """Its duals give a bound at most the least, at least that of prices drawn at random."""
    network, least = random_network(seed), enumerated(random_network(seed))
    found = relaxed(network, 20.0, 10_000)
    assert not (found.none and least is not None)
    if found.prices:
        bound = Windows(network, priced(network, rows_of(network), found.prices)).bound
        assert least is None or bound <= least
        for more in range(10):
            assert Windows(network, random_prices(network, 100 * seed + more)).bound <= bound + 1


def test_no_step_gives_no_prices() -> None:
    """Work is counted: without any there is nothing to go by."""
    kept = [seed for seed in seeds() if enumerated(random_network(seed)) is not None]
    assert sum(relaxed(random_network(seed), 20.0, 0).prices == () for seed in kept) > len(kept) // 2
