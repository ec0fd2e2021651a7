"""The least path: equal to networkx on the explicit graph and to full enumeration."""

from dataclasses import dataclass
from itertools import product
from math import inf, isinf

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tiers import examples

from gripway.trellis.path import (
    INF,
    backward,
    first_blocked,
    following,
    forward,
    least_path,
    previous,
    trace_back,
)


@dataclass(frozen=True)
class Small:
    """A small trellis of whole numbers with some forbidden edges and nodes."""

    nodes: list[list[float]]
    blocks: list[list[list[float]]]

    def paths(self) -> list[tuple[float, tuple[int, ...]]]:
        """Every path with its cost, added one by one."""
        found = []
        for path in product(*(range(len(column)) for column in self.nodes)):
            cost = sum(self.nodes[k][node] for k, node in enumerate(path))
            cost += sum(self.blocks[k][path[k]][path[k - 1]] for k in range(1, len(path)))
            found.append((cost, path))
        return found

    def graph(self) -> nx.DiGraph:
        """The explicit graph; node costs lie on the edges into the node."""
        graph = nx.DiGraph()
        graph.add_nodes_from(("source", "sink"))
        for k, column in enumerate(self.nodes):
            for node, cost in enumerate(column):
                before = (
                    [("source", 0)]
                    if k == 0
                    else [((k - 1, j), self.blocks[k][node][j]) for j in self.at(k - 1)]
                )
                for origin, edge in before:
                    if not isinf(edge + cost):
                        graph.add_edge(origin, (k, node), weight=edge + cost)
        graph.add_weighted_edges_from(((len(self.nodes) - 1, node), "sink", 0) for node in self.at(-1))
        return graph

    def into(self, place: int, node: int) -> list[tuple[object, float]]:
        """Where the edges into a node come from, and their costs."""
        if place == 0:
            return [("source", 0)]
        return [((place - 1, j), self.blocks[place][node][j]) for j in self.at(place - 1)]

    def at(self, place: int) -> range:
        """The nodes of a column."""
        return range(len(self.nodes[place]))


COSTS = st.one_of(st.integers(0, 4), st.integers(0, 4), st.integers(0, 2**50), st.just(INF))
"""Few sizes, so that ties are common; large ones, as the tie bits make them; and forbidden."""


@st.composite
def small_trellises(draw: st.DrawFn) -> Small:
    """One to five columns of one to four nodes."""
    widths = draw(st.lists(st.integers(1, 4), min_size=1, max_size=5))
    nodes = [draw(st.lists(COSTS, min_size=w, max_size=w)) for w in widths]
    blocks: list[list[list[float]]] = [[]]
    for k in range(1, len(widths)):
        row = st.lists(COSTS, min_size=widths[k - 1], max_size=widths[k - 1])
        blocks.append(draw(st.lists(row, min_size=widths[k], max_size=widths[k])))
    return Small(nodes, blocks)


@settings(max_examples=examples(150), deadline=None)
@given(small_trellises())
def test_least_path_is_the_enumerated_one(small: Small) -> None:
    """Cost and path equal full enumeration; of equal paths the lowest places win, from the end on."""
    cost, path = least_path(small.nodes, small.blocks)
    best, _, chosen = min((c, p[::-1], p) for c, p in small.paths())
    assert cost == best
    assert tuple(path) == (() if isinf(best) else chosen)


@settings(max_examples=examples(150), deadline=None)
@given(small_trellises())
def test_least_path_is_networkx_shortest_path(small: Small) -> None:
    """Networkx finds the same cost on the explicit graph, and re-adds our path to it."""
    graph = small.graph()
    cost, path = least_path(small.nodes, small.blocks)
    if not path:
        assert not nx.has_path(graph, "source", "sink")
        return
    assert nx.shortest_path_length(graph, "source", "sink", weight="weight") == cost
    assert nx.path_weight(graph, ["source", *enumerate(path), "sink"], weight="weight") == cost


@settings(max_examples=examples(150), deadline=None)
@given(small_trellises())
def test_two_passes_give_the_cost_through_every_node(small: Small) -> None:
    """Forward plus backward is the least enumerated cost of a path through each node."""
    ahead, rest = forward(small.nodes, small.blocks), backward(small.nodes, small.blocks)
    paths = small.paths()
    for k, column in enumerate(small.nodes):
        for node in range(len(column)):
            best = min(cost for cost, path in paths if path[k] == node)
            assert ahead[k][node] + rest[k][node] == best


@settings(max_examples=examples(100), deadline=None)
@given(small_trellises(), st.data())
def test_detours_follow_the_least_path_through_a_node(small: Small, data: st.DataObject) -> None:
    """`previous` and `following` spell a path through a node whose cost is the least through it."""
    ahead, rest = forward(small.nodes, small.blocks), backward(small.nodes, small.blocks)
    k = data.draw(st.integers(0, len(small.nodes) - 1))
    node = data.draw(st.sampled_from(list(small.at(k))))
    through = ahead[k][node] + rest[k][node]
    if isinf(through):
        return
    path = trace_back(ahead, small.nodes, small.blocks, node, k)
    for place in range(k, len(small.nodes) - 1):
        path.append(following(rest, small.nodes, small.blocks, path[-1], place))
    assert {p: c for c, p in small.paths()}[tuple(path)] == through
    if k:
        assert previous(ahead, small.nodes, small.blocks, node, k) == path[k - 1]


@settings(max_examples=examples(100), deadline=None)
@given(small_trellises())
def test_first_blocked_is_the_first_column_out_of_reach(small: Small) -> None:
    """The blocked column is the first that no enumerated path of the columns before it reaches."""
    reachable = [
        min(c for c, _ in Small(small.nodes[:k], small.blocks[:k]).paths()) < inf
        for k in range(1, len(small.nodes) + 1)
    ]
    expected = reachable.index(False) if False in reachable else None
    assert first_blocked(forward(small.nodes, small.blocks)) == expected


def test_of_equal_paths_the_lowest_places_win() -> None:
    """Where everything costs the same, the first node of every column is taken."""
    nodes, block = [[1, 1, 1]] * 3, [[2, 2, 2]] * 3
    assert least_path(nodes, [[], block, block]) == (7, [0, 0, 0])


@pytest.mark.parametrize("cost", [0, 7])
def test_one_column(cost: int) -> None:
    """A passage of one note takes its cheapest node."""
    assert least_path([[cost + 1, cost, cost]], [[]]) == (cost, [1])
