"""Swaps of one note's grip, counted again: what they take more, and the limit they break."""

from functools import cache

from tests.every import every
from tests.oracles.small_networks import allowed_paths, enumerated, random_network, sum_of
from tests.tiers import some

from gripway.limits.exchanges import Swaps
from gripway.limits.proved_path import limited_path
from gripway.trellis.constrained_network import ConstrainedNetwork


@cache
def seeds() -> list[int]:
    """Of the networks that have a path within their limits."""
    return [seed for seed in some(range(120), 2) if enumerated(random_network(seed)) is not None]


def least_paths(network: ConstrainedNetwork) -> list[int]:
    """The least path within the limits."""
    path = limited_path(network, 20.0).path
    assert path is not None
    return path


@every(seeds)
def test_a_swap_takes_what_it_says(seed: int) -> None:
    """The swapped path is allowed, its figure has one grip of the tables, and its effort is as much more."""
    network = random_network(seed)
    path = least_paths(network)
    swaps = Swaps(network, path)
    for p in range(len(path)):
        figure, rows = swaps.figure_of.get(p, (p,)), network.counted[p].rows
        for grip, swap in swaps.at(p).items():
            other = [swap.nodes.get(q, k) for q, k in enumerate(path)]
            assert set(swap.nodes) == set(figure if rows[other[p]] != rows[path[p]] else (p,))
            assert network.counted[p].grips[other[p]] == grip
            assert {network.counted[q].rows[other[q]] for q in figure} == {rows[other[p]]}
            assert tuple(other) in allowed_paths(network)
            assert network.milli(other) - network.milli(path) == swap.milli_more


@every(seeds)
def test_a_swap_breaks_what_it_says(seed: int) -> None:
    """The sum it names is too large when counted anew; where none is named the swapped path keeps all."""
    network = random_network(seed)
    path = least_paths(network)
    swaps = Swaps(network, path)
    for p in range(len(path)):
        for swap in swaps.at(p).values():
            other = tuple(swap.nodes.get(q, k) for q, k in enumerate(path))
            if swap.breaks:
                assert sum_of(network, other, swap.breaks) > getattr(network.budgets, swap.breaks)
            else:
                assert network.keeps(other)
                assert swap.milli_more >= 0


@every(seeds)
def test_a_swap_is_the_cheapest_of_its_grip(seed: int) -> None:
    """No other choice of nodes with that grip takes less while all else stays."""
    network = random_network(seed)
    path = least_paths(network)
    swaps = Swaps(network, path)
    for p in range(len(path)):
        figure, rows = swaps.figure_of.get(p, (p,)), network.counted[p].rows
        for grip in set(network.counted[p].grips) - {network.counted[p].grips[path[p]]}:
            same = [
                each
                for each in allowed_paths(network)
                if network.counted[p].grips[each[p]] == grip
                and all(network.counted[q].rows[each[q]] == rows[each[p]] for q in figure)
                and all(
                    each[q] == path[q]
                    for q in range(len(path))
                    if q != p and (q not in figure or rows[each[p]] == rows[path[p]])
                )
            ]
            swap = swaps.at(p).get(grip)
            assert (swap is None) == (not same)
            if swap is not None:
                assert swap.milli_more == min(map(network.milli, same)) - network.milli(path)
