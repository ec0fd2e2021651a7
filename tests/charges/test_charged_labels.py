"""Labels: the least path when a pitch that returns with another grip is charged for."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network, every_path, least_of
from tests.tiers import examples

from gripway.charges.label_search import least_labels, settled_pairs
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import INF

SEEDS = st.integers(0, 10**9)


def returning(seed: int, columns: int = 7) -> ConstrainedNetwork:
    """A small network that charges for returns only."""
    return replace(charged_network(seed, columns), charge_milli=0)


@settings(max_examples=examples(200))
@given(SEEDS)
def test_the_least_path_is_that_of_every_path(seed: int) -> None:
    """Cost and path agree with a full enumeration."""
    network = returning(seed)
    least, found = least_of(network), least_labels(network, network.nodes, INF, 10**9)
    assert found is not None
    if least is None:
        assert (found.path, found.cost) == ([], INF)
        return
    assert found.cost == least * STEP
    assert network.milli(found.path) == least


@given(SEEDS)
def test_only_what_is_below_the_limit_is_found(seed: int) -> None:
    """A path as dear as the limit is none; one step more and it is found."""
    network = returning(seed)
    least = least_of(network)
    if least is None:
        return
    at, above = (least_labels(network, network.nodes, least * STEP + more, 10**9) for more in (0, 1))
    assert at is not None
    assert above is not None
    assert (at.path, at.cost) == ([], INF)
    assert above.cost == least * STEP


@given(SEEDS)
def test_too_much_work_is_said(seed: int) -> None:
    """With fewer labels than it tried the search gives nothing rather than a guess."""
    network = returning(seed)
    found = least_labels(network, network.nodes, INF, 10**9)
    assert found is not None
    if found.tried:
        assert least_labels(network, network.nodes, INF, found.tried - 1) is None
    assert least_labels(network, network.nodes, INF, found.tried) == found


@given(SEEDS)
def test_a_pair_without_a_choice_is_paid_in_the_nodes(seed: int) -> None:
    """Every path costs the same with the settled costs and the open pairs as with all pairs."""
    network = returning(seed, 6)
    nodes, open_pairs = settled_pairs(network, network.nodes)
    settled = replace(network, nodes=tuple(tuple(column) for column in nodes), returns=tuple(open_pairs))
    for milli, _, path in every_path(network):
        assert settled.milli(path) == milli
    for a, b in open_pairs:
        assert min(len(set(network.counted[p].rows)) for p in (a, b)) > 1
