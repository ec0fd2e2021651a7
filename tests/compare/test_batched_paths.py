"""Many weightings at once, against one least path after the other in plain Python."""

from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tiers import examples

from gripway.compare.batched_paths import BARRED, Wide
from gripway.compare.two_costs import Axes
from gripway.errors import RequestError
from gripway.trellis.path import INF, least_path


@st.composite
def two_costs(draw: st.DrawFn) -> Axes:
    """A small trellis with two costs; some changes are barred, but never all into a node."""
    sizes = draw(st.lists(st.integers(1, 4), min_size=1, max_size=6))
    number = st.integers(0, 50)
    efforts, leans = (tuple(tuple(draw(number) for _ in range(n)) for n in sizes) for _ in range(2))
    edge = st.one_of(number, number, st.just(INF))
    blocks = [()]
    for before, after in pairwise(sizes):
        blocks.append([[draw(number), *(draw(edge) for _ in range(before - 1))] for _ in range(after)])
    return Axes(efforts, leans, tuple(blocks), 1)


WEIGHTS = [(1, 0), (0, 1), (1, 1), (3, 2), (1, 1000)]


def weighted(axes: Axes, a: int, b: int) -> tuple[list[list[float]], list[list[list[float]]]]:
    """Nodes and blocks for the plain search."""
    nodes = [
        [a * e + b * c for e, c in zip(*pair, strict=True)]
        for pair in zip(axes.efforts, axes.leans, strict=True)
    ]
    return nodes, [
        [[cost if cost == INF else a * cost for cost in row] for row in block] for block in axes.blocks
    ]


@settings(max_examples=examples(200), deadline=None)
@given(two_costs())
def test_each_weighting_has_its_least_path(axes: Axes) -> None:
    """The same least cost as the plain search, by the path given and in the passes from both ends."""
    wide = Wide(axes)
    paths, costs, rests = wide.least_paths(WEIGHTS), wide.forward(WEIGHTS), wide.backward(WEIGHTS)
    for number, (a, b) in enumerate(WEIGHTS):
        least, _ = least_path(*weighted(axes, a, b))
        effort, lean = axes.values(paths[number])
        assert a * effort + b * lean == least == costs[-1][number].min()
        for ahead, behind in zip(costs, rests, strict=True):
            assert (ahead[number] + behind[number]).min() == least


@settings(max_examples=examples(200), deadline=None)
@given(two_costs())
def test_passing_gives_costs_of_routes_that_are_there(axes: Axes) -> None:
    """Every pair of costs told is that of some route, and the least of them is the least path's."""
    every = set()
    for path in product(*(range(len(column)) for column in axes.efforts)):
        if all(axes.blocks[k][path[k]][path[k - 1]] != INF for k in range(1, len(path))):
            every.add(axes.values(path))
    wide = Wide(axes)
    for (a, b), told in zip(WEIGHTS, wide.passing(WEIGHTS, [wide.most] * len(WEIGHTS)), strict=True):
        assert set(told) <= every
        if len(axes.efforts) > 1:
            assert min(a * e + b * c for e, c in told) == min(a * e + b * c for e, c in every)


def test_sums_too_large_to_be_exact_are_refused() -> None:
    """With the bars as the way out."""
    wide = Wide(Axes(((1,),), ((5,),), ((),), 1))
    with pytest.raises(RequestError, match="too long"):
        wide.forward([(BARRED, BARRED)])
