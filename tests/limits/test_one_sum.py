"""The price of one sum: as high a bound as any price gives, and a path that keeps the sum."""

from dataclasses import replace

from tests.every import every
from tests.oracles.small_networks import allowed_paths, random_network, sum_of

from gripway.limits.multipliers import priced
from gripway.limits.one_sum import one_sum
from gripway.limits.side_rows import side_rows
from gripway.limits.windows import Windows
from gripway.trellis.constrained_network import Budgets, ConstrainedNetwork

SUMS = {"unusual": (0, 1, 2, 3), "tenths": (20, 50, 90, 130)}


def cases() -> list[tuple[ConstrainedNetwork, str]]:
    """Networks with one sum that some path keeps, without figures and charges."""
    found = []
    for seed in range(60):
        for name, sizes in SUMS.items():
            plain = replace(random_network(seed), figures=(), charge_milli=0, returns=())
            network = replace(plain, budgets=Budgets(**{name: sizes[seed % 4]}))
            if any(network.keeps(path) for path in allowed_paths(network)):
                found.append((network, name))
    return found


@every(cases, lambda network, name: name)
def test_no_other_price_gives_a_higher_bound(network: ConstrainedNetwork, name: str) -> None:
    """Every price where two paths of the enumeration cost the same is tried: the best one is among them."""
    (row,) = side_rows(network)
    price, path = one_sum(network, row)
    assert network.keeps(path)

    def bound(price: float) -> int:
        return Windows(network, priced(network, [row], [price])).bound

    lines = {(network.milli(path), sum_of(network, path, name)) for path in allowed_paths(network)}
    least = {used: min(milli for milli, own in lines if own == used) for _, used in lines}
    crossings = {
        (least[a] - least[b]) / (b - a) for a in least for b in least if a < b and least[a] > least[b]
    }
    assert bound(price) == max(map(bound, {0.0, *crossings}))
