"""The least path under limits: the same as full enumeration on small random networks."""

from dataclasses import replace

import pytest
from tests.every import every
from tests.oracles.small_networks import enumerated, random_network

from gripway.limits import proved_path as search
from gripway.limits.dominance import without_dominated
from gripway.limits.proved_path import limited_path
from gripway.trellis.constrained_network import Budgets


@every(range(120))
def test_the_least_path_is_the_one_enumeration_finds(seed: int) -> None:
    """Value, proof and impossibility are those of trying every path, for every mixture of limits."""
    network = random_network(seed)
    expected = enumerated(network)
    answer = limited_path(network, 20.0)
    if expected is None:
        assert answer.conflict
        assert answer.path is None
    else:
        assert answer.path is not None
        assert network.keeps(answer.path)
        assert (network.milli(answer.path), answer.bound, answer.proved) == (expected, expected, True)


@every(range(60))
def test_charges_without_limits_are_paid_as_little_as_can_be(seed: int) -> None:
    """A free path that keeps everything is not the answer where another one is charged less."""
    network = replace(random_network(seed), budgets=Budgets(), figures=())
    answer = limited_path(network, 20.0)
    expected = enumerated(network)
    found = None if answer.path is None else network.milli(answer.path)
    assert (found, answer.proved, answer.conflict) == (expected, True, expected is None)


@every(range(90))
def test_a_sum_of_nothing_is_kept_as_any_other(seed: int) -> None:
    """Where no unusual grip, no cent or no new grip is allowed the answer is still that of enumeration."""
    none = (Budgets(unusual=0), Budgets(tenths=0), Budgets(learnt=0), Budgets(0, 120, 0))[seed % 4]
    network = replace(random_network(seed), budgets=none)
    answer = limited_path(network, 20.0)
    expected = enumerated(network)
    found = None if answer.path is None else network.milli(answer.path)
    assert (found, answer.proved, answer.conflict) == (expected, True, expected is None)


def test_the_random_networks_are_worth_trying() -> None:
    """Among them are free ones, bound ones and impossible ones, with and without figures."""
    networks = [random_network(seed) for seed in range(120)]
    values = [enumerated(network) for network in networks]
    assert values.count(None) >= 5
    assert sum(bool(network.figures) for network in networks) >= 40
    assert sum(network.budgets != Budgets() for network in networks) >= 80
    assert sum(bool(network.charge_milli) for network in networks) >= 60
    assert sum(bool(network.returns and network.return_milli) for network in networks) >= 60


@every(range(120))
def test_thinning_loses_no_least_path(seed: int) -> None:
    """Without the dominated candidates the least effort under the limits is what it was."""
    network = random_network(seed)
    assert enumerated(without_dominated(network)) == enumerated(network)


def test_a_cut_search_says_how_far_it_is() -> None:
    """With next to no time there may be no answer, but the bound is never above the least."""
    for seed in range(1, 30):
        network = random_network(seed)
        expected = enumerated(network)
        answer = limited_path(network, 1e-6)
        if expected is not None:
            assert answer.bound <= expected
            assert not answer.conflict
            if answer.path is not None:
                assert network.milli(answer.path) >= expected


def test_the_same_network_gives_the_same_path() -> None:
    """Two searches of one network choose the same nodes."""
    for seed in (1, 5, 11):
        network = random_network(seed)
        assert limited_path(network, 20.0) == limited_path(network, 20.0)


def test_work_that_runs_out_leaves_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without nodes of the tree and steps for the prices, only what is the least is called so."""
    monkeypatch.setattr(search, "NODES", 0)
    monkeypatch.setattr(search, "STEPS", 0)
    monkeypatch.setattr(search, "LEAST_SECONDS", 0.2)
    unproved = 0
    for seed in range(40):
        network, expected = random_network(seed), enumerated(random_network(seed))
        answer = limited_path(network, 20.0)
        if answer.path is None:
            assert expected is None or not answer.conflict
            continue
        assert expected is not None
        assert answer.bound <= expected <= network.milli(answer.path)
        assert answer.proved == (answer.bound == network.milli(answer.path))
        unproved += not answer.proved
    assert unproved
