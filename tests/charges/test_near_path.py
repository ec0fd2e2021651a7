"""A path near a route under other wishes: what is known stays, what is missing is the least there."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network

from gripway.charges.near_path import AROUND, near_path
from gripway.trellis.path import INF


@given(st.integers(0, 10**9), st.data())
def test_what_is_missing_is_filled_at_the_least_cost(seed: int, data: st.DataObject) -> None:
    """Of all paths with the known places that stand far from a missing one it is of the least cost."""
    network = charged_network(seed, 2 * AROUND - 1)
    sizes = [len(column) for column in network.nodes]
    missing = data.draw(st.sets(st.integers(0, len(sizes) - 1)))
    known = [None if p in missing else data.draw(st.integers(0, size - 1)) for p, size in enumerate(sizes)]
    open_places = {near for p in missing for near in range(p - AROUND, p + AROUND + 1)}
    choices = [range(size) if p in open_places else [known[p]] for p, size in enumerate(sizes)]
    least = min(network.cost(path) for path in product(*choices))
    path = near_path(network, known)
    if missing:
        assert (network.cost(path) if path else INF) == least
    else:
        assert path == known


def test_nothing_known_of_no_route() -> None:
    """Without a route there is no path near it."""
    assert near_path(charged_network(1, 5), []) == []
