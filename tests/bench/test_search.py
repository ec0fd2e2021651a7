"""The least path against general libraries on the same whole costs, built and solved; and as it grows.

A peer that is not installed is skipped. hmmlearn's Viterbi knows one matrix for all changes: it gets a
state for every grip of every pitch, in which a grip of another pitch is forbidden by its holding cost.
"""

import random
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import networkx as nx
import numpy as np
import pytest
from tests.bench.clock import cpu, in_turn, record, report, sized

from gripway.trellis.path import backward, forward, least_path

pytestmark = pytest.mark.bench

PITCHES = 40
Costs = tuple[list[list[int]], list[list[list[int]]], list[int]]


def _trellis(notes: int, grips: int) -> Costs:
    """Random whole costs: holding by pitch, moving by pair of pitches, as in a real passage; the line."""
    source = random.Random(20)
    holding = {pitch: [source.randrange(2000) for _ in range(grips)] for pitch in range(PITCHES)}
    moving: dict[tuple[int, int], list[list[int]]] = {}
    line = [source.randrange(PITCHES) for _ in range(notes)]
    blocks: list[list[list[int]]] = [[]]
    for pair in pairwise(line):
        if pair not in moving:
            moving[pair] = [[source.randrange(3000) for _ in range(grips)] for _ in range(grips)]
        blocks.append(moving[pair])
    return [holding[pitch] for pitch in line], blocks, line


def _edges(nodes: list[list[int]], blocks: list[list[list[int]]]) -> list[tuple[int, int, int]]:
    """All changes as (from, to, cost with holding), nodes numbered through from the start (0) to the end."""
    grips = len(nodes[0])
    edges = [(0, 1 + k, cost) for k, cost in enumerate(nodes[0])]
    for place in range(1, len(nodes)):
        a, b = 1 + (place - 1) * grips, 1 + place * grips
        for k, into in enumerate(blocks[place]):
            held = nodes[place][k]
            edges += [(a + j, b + k, move + held) for j, move in enumerate(into)]
    end = 1 + len(nodes) * grips
    return [*edges, *((end - grips + k, end, 0) for k in range(grips))]


def _networkx(nodes: list[list[int]], blocks: list[list[list[int]]], _: list[int]) -> int:
    graph = nx.DiGraph()
    edges = _edges(nodes, blocks)
    graph.add_weighted_edges_from(edges)
    return int(nx.dijkstra_path_length(graph, 0, edges[-1][1]))


def _scipy(nodes: list[list[int]], blocks: list[list[list[int]]], _: list[int]) -> int:
    """The array of costs is made by NumPy from whole blocks; scipy takes 0 for no edge, so 1 is added."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import dijkstra

    grips, count = len(nodes[0]), len(nodes)
    held = np.array(nodes, dtype=float)
    moved = np.array(blocks[1:], dtype=float).transpose(0, 2, 1) + held[1:, None, :] + 1.0
    first = 1 + grips * np.arange(count - 1)
    ends = np.broadcast_to((first[:, None, None] + grips) + np.arange(grips), moved.shape)
    size = 2 + count * grips
    rows = np.concatenate([[0, grips], np.full((count - 1) * grips, grips), np.ones(grips), [0]])
    data = np.concatenate([held[0] + 1.0, moved.ravel(), np.ones(grips)])
    where = np.concatenate([1 + np.arange(grips), ends.ravel(), np.full(grips, size - 1)])
    graph = csr_array((data, where, rows.cumsum().astype(int)), shape=(size, size))
    return round(dijkstra(graph, indices=0)[size - 1]) - count - 1


def _rustworkx(nodes: list[list[int]], blocks: list[list[list[int]]], _: list[int]) -> int:
    rustworkx = pytest.importorskip("rustworkx")
    graph = rustworkx.PyDiGraph()
    edges = _edges(nodes, blocks)
    graph.extend_from_weighted_edge_list(edges)
    return int(rustworkx.dijkstra_shortest_path_lengths(graph, 0, float, goal=edges[-1][1])[edges[-1][1]])


def _hmmlearn(nodes: list[list[int]], blocks: list[list[list[int]]], line: list[int]) -> int:
    compiled = pytest.importorskip("hmmlearn._hmmc")
    grips, never = len(nodes[0]), -1e12
    moving = np.full((PITCHES * grips, PITCHES * grips), never)
    holding = np.full((len(nodes), PITCHES * grips), never)
    for (a, b), block in zip(pairwise(line), blocks[1:], strict=True):
        moving[a * grips : (a + 1) * grips, b * grips : (b + 1) * grips] = -np.array(block).T
    for place, pitch in enumerate(line):
        holding[place, pitch * grips : (pitch + 1) * grips] = -np.array(nodes[place])
    with np.errstate(all="ignore"):
        best, _ = _viterbi(compiled, np.zeros(PITCHES * grips), moving, holding)
    return -round(best)


def _viterbi(compiled: Any, start: Any, moving: Any, holding: Any) -> tuple[float, Any]:
    """The compiled Viterbi takes probabilities of starts and changes as they are, and logs them."""
    scale = 1e-5  # exp(-cost * scale) stays a number for every cost
    best, path = compiled.viterbi(np.exp(start), np.exp(moving * scale), holding * scale)
    return best / scale, path


PEERS: dict[str, Callable[..., int]] = {
    "networkx": _networkx,
    "scipy.sparse.csgraph": _scipy,
    "rustworkx": _rustworkx,
    "hmmlearn's Viterbi": _hmmlearn,
}


@pytest.mark.parametrize("peer", PEERS)
@pytest.mark.parametrize("grips", [8, 24])
def test_least_path_against_a_peer(grips: int, peer: str) -> None:
    """Both find the same cost; the bench prints the ratio of their CPU times, building included."""
    notes = sized(10_000, 1_000) if grips == 8 and peer != "hmmlearn's Viterbi" else 1_000
    nodes, blocks, line = _trellis(notes, grips)
    found: dict[str, float] = {}
    timed = in_turn(
        3,
        lambda: cpu(lambda: found.update(ours=least_path(nodes, blocks)[0])),
        lambda: cpu(lambda: found.update(peer=PEERS[peer](nodes, blocks, line))),
    )
    report(f"least path, {notes} notes of {grips} grips", timed, f"{peer}, build and solve")
    assert found["peer"] == pytest.approx(found["ours"], rel=1e-9)


@pytest.mark.parametrize("grips", [3, 8, 24, 40])
def test_every_runner_up(grips: int) -> None:
    """The least cost through every grip is never below that of the path; the bench prints both times."""
    nodes, blocks, _ = _trellis(2_000, grips)
    there: list[list[float]] = []
    back: list[list[float]] = []
    path = min(cpu(lambda: least_path(nodes, blocks)) for _ in range(3))
    both = cpu(lambda: (there.extend(forward(nodes, blocks)), back.extend(backward(nodes, blocks))))
    print(
        f"\nbench: 2000 notes of {grips} grips: path {1000 * path:.1f} ms, runners-up {1000 * both:.1f} ms",
        end="",
    )
    record(f"all runners-up, 2000 notes of {grips} grips", 1000 * both, "ms")
    least = least_path(nodes, blocks)[0]
    assert min(a + b for x, y in zip(there, back, strict=True) for a, b in zip(x, y, strict=True)) == least
