"""The learning curve: the least effort with so many new grips at most, against every path there is."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.flutes import solver_of
from tests.oracles.passages import played
from tests.oracles.small_networks import charged_network, every_path
from tests.tiers import examples

from gripway.charges.charged_route import charged_route
from gripway.charges.learning_curve import MOST_POINTS, learning_curve, without_learning
from gripway.charges.robustness import Pays
from gripway.trellis.constrained_network import ConstrainedNetwork

SEEDS = st.integers(0, 10**9)


def always(_network: ConstrainedNetwork, _one: object, _other: object) -> Pays:
    """Every choice is steady."""
    return Pays(1.0, steady=True)


@settings(max_examples=examples(200))
@given(SEEDS)
def test_every_point_is_the_least_with_so_many_grips(seed: int) -> None:
    """Bound <= least over every path with at most as many new grips <= effort; proved is equal."""
    network = charged_network(seed)
    paths, charged = every_path(network), charged_route(network, always)
    assert (charged is None) == (not paths)
    for point in learning_curve(charged) if charged else ():
        grips = len(point.learnt)
        least = min(m - network.charge_milli * len(g) for m, g, _ in paths if len(g) <= grips)
        assert point.bound_milli <= least <= point.effort_milli
        assert not point.proved or point.effort_milli == least


@given(SEEDS)
def test_more_grips_take_less_effort(seed: int) -> None:
    """Each point has more grips and less effort than the one before; its path is what it says."""
    charged = charged_route(charged_network(seed), always)
    points = learning_curve(charged) if charged else ()
    for a, b in pairwise(points):
        assert len(a.learnt) < len(b.learnt)
        assert a.effort_milli > b.effort_milli
    for point in points:
        assert charged.network.learnt(point.path) == point.learnt
        assert without_learning(charged.network).milli(point.path) == point.effort_milli
        assert len(point.learnt) <= MOST_POINTS


@given(SEEDS)
def test_the_answer_stands_on_the_curve(seed: int) -> None:
    """No point beats the charged route under its own charge, and one is as good."""
    network = charged_network(seed)
    charged = charged_route(network, always)
    if charged is not None:
        at_charge = [p.effort_milli + network.charge_milli * len(p.learnt) for p in learning_curve(charged)]
        assert min(at_charge) == charged.milli


def test_on_a_flute_the_curve_begins_with_usual_grips() -> None:
    """A line in the third octave: the first point has usual grips only, and costs what they cost."""
    solver = solver_of()
    ground = solver.ground(played("(E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6 B6 F#6 D6)", 168.0, fifths=3))
    points = learning_curve(ground.charged)
    assert points[0].learnt == frozenset()
    columns = ground.charged.network.columns
    assert all(column[k].usual for column, k in zip(columns, points[0].path, strict=True))
    assert all(point.bound_milli <= point.effort_milli for point in points)
