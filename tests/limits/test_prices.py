"""Prices on the limits and charges: whatever they are, their bound is never above what enumeration finds."""

import random
from functools import cache

from tests.every import every
from tests.oracles.small_networks import allowed_paths, enumerated, random_network

from gripway.limits.multipliers import Priced, priced
from gripway.limits.side_rows import FIGURE, SideRow, side_rows
from gripway.limits.windows import Windows
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import least_path


@cache
def seeds() -> list[int]:
    """Of the networks that have a path at all."""
    return [seed for seed in range(120) if allowed_paths(random_network(seed))]


def random_prices(network: ConstrainedNetwork, seed: int) -> Priced:
    """Any prices a flow might find for the rows there are, good or bad."""
    source = random.Random(seed)
    rows = rows_of(network)
    sizes = [(-600, 600) if row.equal else (-10, 30) if row.owner is None else (-100, 600) for row in rows]
    return priced(network, rows, [source.uniform(*size) for size in sizes])


def rows_of(network: ConstrainedNetwork) -> list[SideRow]:
    """The side rows of a network."""
    return list(side_rows(network))


@every(seeds)
def test_no_prices_give_a_bound_above_the_least(seed: int) -> None:
    """For any prices the bound, and the least bound through the nodes of a column, stay at or below it."""
    network, least = random_network(seed), enumerated(random_network(seed))
    for more in range(4):
        windows = Windows(network, random_prices(network, 10 * seed + more))
        if least is not None:
            assert windows.bound <= least


def test_without_prices_the_bound_is_the_free_route() -> None:
    """Nothing charged, nothing allowed: the least path of the trellis."""
    network = random_network(4)
    rows = rows_of(network)
    plain = priced(network, rows, [0.0] * len(rows))
    assert Windows(network, plain).bound * STEP == least_path(network.nodes, network.blocks)[0]
    assert plain.free == 0


@every([seed for seed in range(1, 60) if random_network(seed).figures])
def test_what_one_note_of_a_figure_pays_the_others_get_back(seed: int) -> None:
    """A path that gives a figure one grip is charged by the prices of figures exactly nothing."""
    network = random_network(seed)
    rows = [row for row in rows_of(network) if row.owner and row.owner[0] == FIGURE]
    source = random.Random(seed)
    charged = priced(network, rows, [source.uniform(-600, 600) for _ in rows])
    for path in allowed_paths(network):
        paid = sum(charged.nodes[p][k] - network.nodes[p][k] for p, k in enumerate(path))
        assert network.broken_figures(path) or paid == 0
