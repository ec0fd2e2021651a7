"""The lower bound under shares and leanings: never above any path, through any node."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network, every_path, least_of
from tests.tiers import examples

from gripway.charges.lower_bound import NONE, charged_bound, keyed_columns, with_shares
from gripway.charges.shrunk_network import Part
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import INF

SEEDS = st.integers(0, 10**9)


@settings(max_examples=examples(200))
@given(SEEDS, st.integers(0, 8), st.booleans())
def test_the_bound_is_never_above_a_path(seed: int, rounds: int, known: bool) -> None:
    """No path of a full enumeration costs less, whole or through any of its nodes."""
    network = charged_network(seed)
    least = least_of(network)
    best_known = least * STEP if known and least is not None else INF
    bound = charged_bound(network, frozenset(), NONE, rounds, best_known)
    assert (bound.path == []) == (least is None)
    through = list(bound.through)
    for milli, _, path in every_path(network):
        assert bound.cost <= milli * STEP
        assert all(through[p][k] <= milli * STEP for p, k in enumerate(path))


@settings(max_examples=examples(150))
@given(SEEDS, st.data())
def test_the_bound_of_a_part_holds_with_the_multipliers_of_the_whole(seed: int, data: st.DataObject) -> None:
    """Nodes left out at random: shares and leanings go on, and still no path of the part costs less.

    A pair that the part settles has its charge in the nodes; leaning besides would charge it twice.
    """
    network = charged_network(seed)
    whole = charged_bound(network, frozenset(), NONE, 4, INF)
    keep = [
        sorted(data.draw(st.sets(st.integers(0, len(column) - 1), min_size=1))) for column in network.nodes
    ]
    part, where = Part.of(network).only(keep)
    start = whole.multipliers.of_part(part.network, where)
    for rounds in (0, 3):
        bound = charged_bound(part.network, frozenset(), start, rounds, INF)
        for milli, _, path in every_path(network):
            if all(k in kept for k, kept in zip(path, keep, strict=True)):
                assert bound.cost <= milli * STEP


@given(SEEDS)
def test_learnt_grips_are_free(seed: int) -> None:
    """With every new grip learnt the bound holds against paths without charges for them."""
    network = charged_network(seed)
    every = frozenset(key for c in network.counted for key in c.new if key is not None)
    bound = charged_bound(network, every, NONE, 4, INF)
    for milli, learnt, _ in every_path(network):
        assert bound.cost <= (milli - network.charge_milli * len(learnt)) * STEP


@given(SEEDS, st.integers(1, 8))
def test_shares_are_one_charge_in_all(seed: int, rounds: int) -> None:
    """The shares of a new grip come to no more than its charge, leanings to no more than a pair's."""
    network = charged_network(seed)
    found = charged_bound(network, frozenset(), NONE, rounds, INF).multipliers
    for key in {key for _, key in found.shares}:
        assert sum(s for (_, k), s in found.shares.items() if k == key) <= network.charge_milli * STEP
    for leaning in found.leanings.values():
        assert max(leaning.values()) - min(leaning.values()) <= network.return_milli * STEP


def test_rounds_raise_the_bound() -> None:
    """Over two hundred small networks the bound never falls with rounds, and rises in many of them."""
    risen = 0
    for seed in range(200):
        network = charged_network(seed)
        first, later = (charged_bound(network, frozenset(), NONE, rounds, INF).cost for rounds in (0, 6))
        assert later >= first
        risen += later > first
    assert risen > 50


def test_rounds_close_the_gap_that_changes_of_grip_leave() -> None:
    """Where only they are paid for, six rounds come up to the least path on nearly every network."""
    wide, closed = 0.0, 0.0
    for seed in range(200):
        network = replace(charged_network(seed), charge_milli=0)
        least = least_of(network)
        if least is None:
            continue
        first, later = (charged_bound(network, frozenset(), NONE, rounds, INF).cost for rounds in (0, 6))
        wide += least * STEP - first
        closed += later - first
    assert wide > 0
    assert closed >= 0.95 * wide


def _paid(network: ConstrainedNetwork, path: list[int], nodes: list[list[float]]) -> float:
    return sum(nodes[p][k] for p, k in enumerate(path)) - sum(network.nodes[p][k] for p, k in enumerate(path))


@given(SEEDS)
def test_shares_stand_on_the_nodes_of_their_grip(seed: int) -> None:
    """A path pays in shares at most the charges of the grips it uses."""
    network = charged_network(seed)
    shares = charged_bound(network, frozenset(), NONE, 4, INF).multipliers.shares
    nodes = [list(column) for column in with_shares(network, keyed_columns(network, frozenset()), shares)]
    for _, learnt, path in every_path(network):
        assert _paid(network, list(path), nodes) <= len(learnt) * network.charge_milli * STEP
