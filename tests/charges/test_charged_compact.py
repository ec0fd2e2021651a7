"""Parts of a network with settled columns drawn together: the same least path."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network, every_path, least_of
from tests.tiers import examples

from gripway.charges.shrunk_network import Part
from gripway.trellis.constrained_network import ConstrainedNetwork

SEEDS = st.integers(0, 10**9)


def kept(network: ConstrainedNetwork, data: st.DataObject) -> list[list[int]]:
    """Some nodes of every column."""
    return [
        sorted(data.draw(st.sets(st.integers(0, len(column) - 1), min_size=1))) for column in network.nodes
    ]


def test_the_whole_is_a_part() -> None:
    """A part with everything has the paths of the network."""
    network = charged_network(1)
    part = Part.of(network)
    for _, _, path in every_path(network):
        assert part.path(path) == list(path)


@settings(max_examples=examples(150))
@given(SEEDS, st.data())
def test_a_part_has_the_least_path_of_its_nodes(seed: int, data: st.DataObject) -> None:
    """Least effort with charges over the kept nodes is the part's, and its paths lead back to them."""
    network = charged_network(seed)
    keep = kept(network, data)
    part, _ = Part.of(network).only(keep)
    inside = [
        m for m, _, path in every_path(network) if all(k in ks for k, ks in zip(path, keep, strict=True))
    ]
    assert least_of(part.network) == min(inside, default=None)
    for milli, _, path in every_path(part.network):
        whole = part.path(path)
        assert all(k in ks for k, ks in zip(whole, keep, strict=True))
        assert network.milli(whole) == milli


@settings(max_examples=examples(100))
@given(SEEDS, st.data())
def test_a_part_of_a_part_leads_back_to_the_first(seed: int, data: st.DataObject) -> None:
    """Drawn together twice, every path still costs what its path through the first network does."""
    network = charged_network(seed)
    part, _ = Part.of(network).only(kept(network, data))
    again, _ = part.only(kept(part.network, data))
    for milli, _, path in every_path(again.network):
        assert network.milli(again.path(path)) == milli


def test_runs_without_a_choice_become_one_column() -> None:
    """One node of a usual grip everywhere: a single column is left."""
    found = []
    for seed in range(60):
        network = charged_network(seed)
        usual = [[k for k, new in enumerate(c.new) if new is None][:1] for c in network.counted]
        if all(usual):
            found.append(len(Part.of(network).only(usual)[0].network.nodes))
    assert found
    assert set(found) == {1}
