"""Windows: whatever the prices, what lies at most as high as the rim is all there, and little else."""

from tests.every import every
from tests.limits.test_prices import random_prices, seeds
from tests.oracles.small_networks import allowed_paths, random_network

from gripway.limits.windows import Windows


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
