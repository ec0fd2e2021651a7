"""The least path with charges for new grips and changes of grip, against every path there is."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network, every_path, least_of
from tests.tiers import examples

from gripway.charges import least_path as charged_path
from gripway.charges.least_path import evened, least_charged
from gripway.charges.lower_bound import NONE, plain_look
from gripway.charges.search_start import Start
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import INF, least_path

SEEDS = st.integers(0, 10**9)


@settings(max_examples=examples(300))
@given(SEEDS, st.integers(2, 8))
def test_the_answer_is_the_least_of_every_path(seed: int, columns: int) -> None:
    """Effort, bound and path agree with a full enumeration; without a path there is none."""
    network = charged_network(seed, columns)
    least, answer = least_of(network), least_charged(network)
    if least is None:
        assert (answer.path, answer.proved) == ([], True)
        return
    assert answer.proved
    assert answer.cost == answer.bound == least * STEP
    assert network.milli(answer.path) == least


@settings(max_examples=examples(150))
@given(SEEDS, st.integers(2, 8), st.data())
def test_the_answer_is_the_least_from_wherever_the_search_begins(
    seed: int, columns: int, data: st.DataObject
) -> None:
    """With any path said to be near, good or bad or not allowed, the least cost is the enumeration's."""
    network = charged_network(seed, columns)
    near = [data.draw(st.integers(0, len(column) - 1)) for column in network.nodes]
    least, answer = least_of(network), least_charged(network, near=near)
    assert answer.proved
    assert answer.path == [] if least is None else network.milli(answer.path) == least


def test_where_work_ends_no_worse_path_than_the_near_one_is_given() -> None:
    """Without labels and branches the answer is at least as good as the path the search began from."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charged_path, "MOST_LABELS", 0)
        for seed in range(100):
            network = charged_network(seed, 7)
            if near := least_charged(network).path:
                cost = network.charged_cost(near)
                assert least_charged(network, 1, near=near).cost <= cost


def test_what_a_path_costs_is_counted_alike() -> None:
    """`ConstrainedNetwork.milli` is what the enumeration counts: nodes, changes, new grips once, returns."""
    for seed in range(30):
        network = charged_network(seed, 5)
        for milli, learnt, path in every_path(network):
            assert network.milli(path) == milli
            assert network.learnt(path) == learnt


@settings(max_examples=examples(150))
@given(SEEDS, st.sampled_from((1, 2, 3)), st.sampled_from((0, 5, 40)))
def test_where_work_ends_the_bound_still_holds(seed: int, branches: int, labels: int) -> None:
    """With hardly any work allowed the route is a route, and no path costs less than the bound."""
    network = charged_network(seed, 7)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charged_path, "MOST_LABELS", labels)
        answer = least_charged(network, branches)
    least = least_of(network)
    if least is None:
        assert answer.path == []
        return
    assert answer.bound <= least * STEP <= answer.cost
    if answer.path:
        assert network.milli(answer.path) * STEP == answer.cost
    assert answer.proved == (answer.bound == answer.cost)


def test_less_work_proves_less() -> None:
    """Some of a hundred small networks are left unproved without branches and labels: the caps do bite."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charged_path, "MOST_LABELS", 0)
        proved = [least_charged(charged_network(seed, 7), 1).proved for seed in range(100)]
    assert 0 < sum(proved) < 100


@given(SEEDS)
def test_without_charges_it_is_the_plain_least_path(seed: int) -> None:
    """Nothing charged for: the least path of the trellis."""
    network = charged_network(seed, 6)
    free = ConstrainedNetwork(
        network.columns, network.places, network.nodes, network.blocks, network.counted, ids=network.ids
    )
    cost, _ = least_path(free.nodes, free.blocks)
    assert least_charged(free).cost == cost


@given(SEEDS)
def test_a_higher_charge_never_makes_the_route_cheaper(seed: int) -> None:
    """The least cost grows with either charge."""
    network = charged_network(seed, 6)
    plain = least_charged(network).cost
    assert plain <= least_charged(replace(network, charge_milli=network.charge_milli + 100)).cost
    assert plain <= least_charged(replace(network, return_milli=network.return_milli + 100)).cost


@given(SEEDS)
def test_the_same_network_gets_the_same_answer(seed: int) -> None:
    """No chance and no clock: a second search gives the same path."""
    network = charged_network(seed, 6)
    assert least_charged(network) == least_charged(network)


@settings(max_examples=examples(150))
@given(SEEDS, st.integers(0, 900))
def test_the_plain_look_serves_every_charge(seed: int, charge: int) -> None:
    """A look at the network made before, under another charge, gives the same path and is not used up."""
    network = charged_network(seed, 6)
    start = Start(network, NONE, plain_look(network))
    other = replace(network, charge_milli=charge)
    for _ in range(2):
        assert least_charged(other, start=start) == least_charged(other)
    assert start.look == plain_look(network)


@given(SEEDS)
def test_evening_out_gives_a_route(seed: int) -> None:
    """A good path for a start is an allowed path, no dearer than the plain least path with its charges."""
    network = charged_network(seed, 6)
    path, plain = evened(network), least_path(network.nodes, network.blocks)[1]
    assert bool(path) == bool(plain)
    if path:
        assert network.milli(path) <= network.milli(plain)


@given(SEEDS)
def test_where_no_choice_changes_the_charges_the_least_path_is_theirs(seed: int) -> None:
    """With grips of one row in each column every path pays the same: the answer is proved, the oracle's."""
    network = charged_network(seed, 6)
    alike = [
        [k for k, row in enumerate(c.rows) if (row, c.new[k]) == (c.rows[0], c.new[0])]
        for c in network.counted
    ]
    narrowed = network.only(alike)
    assert narrowed.same_charges
    found, least = least_charged(narrowed), least_of(narrowed)
    assert found.proved
    assert found.cost == (INF if least is None else least * STEP)
    assert bool(found.path) == (least is not None)
