"""The path search against networkx on the same integer costs, built and solved."""

import random
from itertools import pairwise

import networkx as nx
import pytest
from tests.bench.clock import in_turn, report, wall

from gripway.trellis.path import least_path

pytestmark = pytest.mark.bench

NOTES, GRIPS, PITCHES = 10_000, 8, 40


def _trellis() -> tuple[list[list[int]], list[list[list[int]]]]:
    """Random integer costs: holding by pitch, moving by pair of pitches, as in a real passage."""
    source = random.Random(20)
    holding = {pitch: [source.randrange(2000) for _ in range(GRIPS)] for pitch in range(PITCHES)}
    moving: dict[tuple[int, int], list[list[int]]] = {}
    line = [source.randrange(PITCHES) for _ in range(NOTES)]
    blocks: list[list[list[int]]] = [[]]
    for pair in pairwise(line):
        if pair not in moving:
            moving[pair] = [[source.randrange(3000) for _ in range(GRIPS)] for _ in range(GRIPS)]
        blocks.append(moving[pair])
    return [holding[pitch] for pitch in line], blocks


def _networkx(nodes: list[list[int]], blocks: list[list[list[int]]]) -> int:
    graph = nx.DiGraph()
    graph.add_weighted_edges_from(("start", (0, k), cost) for k, cost in enumerate(nodes[0]))
    for place in range(1, len(nodes)):
        graph.add_weighted_edges_from(
            ((place - 1, j), (place, k), move + nodes[place][k])
            for k, into in enumerate(blocks[place])
            for j, move in enumerate(into)
        )
    graph.add_weighted_edges_from(((len(nodes) - 1, k), "end", 0) for k in range(GRIPS))
    return int(nx.dijkstra_path_length(graph, "start", "end"))


def test_least_path_against_networkx() -> None:
    """Both find the same cost; the bench prints the ratio of their times."""
    nodes, blocks = _trellis()
    found: dict[str, float] = {}
    timed = in_turn(
        3,
        lambda: wall(lambda: found.update(ours=least_path(nodes, blocks)[0])),
        lambda: wall(lambda: found.update(peer=_networkx(nodes, blocks))),
    )
    report(f"least path, {NOTES} notes, {GRIPS} grips", timed, "networkx build + solve")
    assert found["ours"] == found["peer"]
