"""What a search leaves for the next one: multipliers, a look and a path that hold for other pins too."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_networks import charged_network, every_path, least_of
from tests.tiers import examples

from gripway.charges.least_path import least_charged
from gripway.charges.search_start import start_of
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork

SEEDS = st.integers(0, 10**9)


def pinned(network: ConstrainedNetwork, data: st.DataObject) -> ConstrainedNetwork:
    """The network with some nodes left in one or two columns."""
    keep = [list(range(len(column))) for column in network.nodes]
    for p in data.draw(st.sets(st.integers(0, len(keep) - 1), min_size=1, max_size=2)):
        keep[p] = sorted(data.draw(st.sets(st.sampled_from(keep[p]), min_size=1)))
    return network.only(keep)


@settings(max_examples=examples(300))
@given(SEEDS, st.data())
def test_pin_after_pin_the_least_path_is_found(seed: int, data: st.DataObject) -> None:
    """Each search begins from the last; pins come and go, and an enumeration finds nothing less."""
    whole = charged_network(seed)
    start = start_of(whole)
    for _ in range(3):
        network = pinned(whole, data)
        start = start_of(network, start)
        answer, least = least_charged(network, start=start), least_of(network)
        assert (answer.path == []) == (least is None)
        if least is not None:
            assert answer.proved
            assert network.milli(answer.path) == least
        start = start and replace(start, path=answer.path)


@settings(max_examples=examples(200))
@given(SEEDS, st.data())
def test_a_start_for_other_pins_is_a_bound(seed: int, data: st.DataObject) -> None:
    """No path of the network costs less than the look shows through any of its nodes."""
    whole = charged_network(seed)
    start, network = start_of(whole), pinned(whole, data)
    for _ in range(3):  # each raises the bound of the last
        start = start_of(network, start)
        for milli, _, path in every_path(network) if start else ():
            assert all(start.look.through(p)[k] <= milli * STEP for p, k in enumerate(path))


def test_other_charges_begin_anew() -> None:
    """Multipliers of a larger charge would be no bound: the look is the plain one again."""
    begun = 0
    for seed in range(100):
        network = charged_network(seed)
        start = start_of(network)
        raised = start_of(network, start)
        begun += raised is not None and raised.plain is None
        for other in (
            replace(network, charge_milli=network.charge_milli - 1),
            replace(network, return_milli=network.return_milli - 1),
            replace(network, returns=network.returns[1:]) if network.returns else None,
        ):
            if other and raised:
                anew = start_of(other, raised)
                assert anew is not None
                assert anew.plain is not None
    assert begun > 20  # multipliers there were
