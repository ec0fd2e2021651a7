"""Windows: whatever the prices, what lies at most as high as the rim is all there, and little else."""

import pytest
from tests.every import every
from tests.limits.test_prices import random_prices, seeds
from tests.oracles.small_networks import allowed_paths, random_network

from gripway.limits.windows import Windows, edges
from gripway.trellis.constrained_network import ConstrainedNetwork


@every(seeds)
def test_a_window_keeps_every_route_below_its_rim(seed: int) -> None:
    """Of the paths within the limits, whose effort is at most the rim, no node and no change is cut."""
    network = random_network(seed)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    windows = Windows(network, random_prices(network, seed))
    for rim in {network.milli(path) for path in kept[:: max(1, len(kept) // 9)]}:
        nodes = windows.within(rim)
        part = windows.part(nodes, rim) if all(nodes) else None
        for path in kept:
            if network.milli(path) <= rim:
                assert part is not None
                own = [nodes[p].index(k) for p, k in enumerate(path)]
                assert part.milli(own) == network.milli(path)


def test_a_low_window_cuts_something() -> None:
    """A rim at the bound leaves fewer nodes than a route can pass, on most networks."""
    narrower = 0
    for seed in seeds():
        windows = Windows(random_network(seed), random_prices(random_network(seed), seed))
        low, high = windows.within(windows.bound), windows.within(None)
        assert all(set(a) <= set(b) for a, b in zip(low, high, strict=True))
        narrower += low != high
    assert narrower >= 100


@pytest.mark.parametrize(
    ("counts", "changes"), [((1, 1, 1), 0), ((1, 3, 2), 6), ((2, 3, 1), 9), ((2, 1, 4), 2), ((5,), 0)]
)
def test_changes_are_counted_where_there_is_a_choice(counts: tuple[int, ...], changes: int) -> None:
    """From a column with one node nothing is chosen; from one with two there is."""
    nodes = tuple((0,) * count for count in counts)
    network = ConstrainedNetwork(columns=(), places=(), nodes=nodes, blocks=(), counted=())
    assert edges(network) == changes
