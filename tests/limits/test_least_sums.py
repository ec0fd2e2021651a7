"""The least of one sum by a plain path: what enumeration finds, and never above it beside other limits."""

from tests.every import every
from tests.oracles.small_networks import allowed_paths, random_network, sum_of

from gripway.limits.least_sums import SUMS, LeastSums, least_worst


@every(range(80))
def test_the_least_sum_is_the_one_enumeration_finds(seed: int) -> None:
    """Of unusual grips and tenths the least over all allowed paths; of new grips whether any is needed."""
    network = random_network(seed)
    paths, sums = allowed_paths(network), LeastSums(network)
    for name in SUMS:
        least = min((sum_of(network, path, name) for path in paths), default=None)
        found = sums.of(name)
        if name == "learnt" and least is not None:
            assert found == min(1, least)
        else:
            assert found == least


@every(range(80))
def test_what_is_called_impossible_is(seed: int) -> None:
    """No path keeps the limits then; and it is exact where it says so."""
    network = random_network(seed)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    sums = LeastSums(network)
    if sums.impossible():
        assert not kept
    for name in SUMS:
        if sums.exact(name) and getattr(network.budgets, name) is not None:
            assert bool(kept) != sums.impossible()


@every(range(80))
def test_the_least_worst_lean_is_the_one_enumeration_finds(seed: int) -> None:
    """Over all allowed paths the smallest of their largest leans."""
    network = random_network(seed)
    worst = [
        max(c.tenths[k] for c, k in zip(network.counted, path, strict=True))
        for path in allowed_paths(network)
    ]
    assert least_worst(network, lambda p, k: network.counted[p].tenths[k]) == min(worst, default=None)
