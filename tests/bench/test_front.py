"""The front of effort against tuning: corners, every point, what the corners cover; against networkx."""

from collections.abc import Sequence
from itertools import pairwise

import networkx as nx
import pytest
from tests.bench.clock import in_turn, report, sized, wall
from tests.bench.passages import pitches
from tests.oracles.flutes import solver_of
from tests.oracles.fronts import hull
from tests.oracles.passages import played

from gripway.compare.all_points import whole_front
from gripway.compare.batched_paths import Wide
from gripway.compare.corners import Front, supported_front
from gripway.compare.two_costs import Axes, axes_of
from gripway.model.pitch import plain_name
from gripway.route.joined import joined

pytestmark = pytest.mark.bench

Key = tuple[int, int]


def _axes(count: int) -> Axes:
    passage = played(" ".join(plain_name(number) for number in pitches(count)), 120.0)
    solver = solver_of()
    ground = solver.ground(passage)
    return axes_of(passage, ground, joined(ground))


def _corners(axes: Axes) -> Front:
    return supported_front(axes, Wide(axes))


def _whole(axes: Axes) -> Front:
    wide = Wide(axes)
    return whole_front(axes, wide, supported_front(axes, wide))


def _least(axes: Axes, a: int, b: int) -> Key:
    """One least path by networkx on a graph built for this weighting."""
    graph = nx.DiGraph()
    for k, efforts in enumerate(axes.efforts):
        for node, effort in enumerate(efforts):
            weight = a * effort + b * axes.leans[k][node]
            row = axes.blocks[k][node] if k else ()
            before = (
                [((k - 1, j), cost) for j, cost in enumerate(row) if cost < 1e12] if k else [("start", 0)]
            )
            graph.add_weighted_edges_from((name, (k, node), weight + a * int(cost)) for name, cost in before)
    last = len(axes.efforts) - 1
    graph.add_weighted_edges_from(((last, node), "end", 0) for node in range(len(axes.efforts[last])))
    path = nx.dijkstra_path(graph, "start", "end")[1:-1]
    return axes.values(tuple(node for _, node in path))


def _networkx_corners(axes: Axes) -> list[Key]:
    """The same bisection, one Dijkstra search for each slope."""
    wide = Wide(axes)
    ends = [_least(axes, wide.most[1], 1), _least(axes, 1, wide.most[0])]
    found, open_pairs = set(ends), [tuple(ends)]
    while open_pairs:
        p, q = open_pairs.pop()
        a, b = p[1] - q[1], q[0] - p[0]
        new = _least(axes, a, b)
        if a * new[0] + b * new[1] < a * p[0] + b * p[1]:
            found.add(new)
            open_pairs += [(p, new), (new, q)]
    return sorted(found)


def _covered(keys: Sequence[Key]) -> int:
    """The area that points dominate, up to the corner of the two ends."""
    worst = keys[0][1]
    return sum((worst - p[1]) * (q[0] - p[0]) for p, q in pairwise(keys))


@pytest.mark.parametrize("count", sized([200, 500], [200]))
def test_corners_and_every_point(count: int) -> None:
    """Corners against every point: times, counts, and the share of the area that the corners cover."""
    axes = _axes(count)
    fronts: dict[str, Front] = {}
    timed = in_turn(
        1 if count > 200 else 3,
        lambda: wall(lambda: fronts.update(corners=_corners(axes))),
        lambda: wall(lambda: fronts.update(whole=_whole(axes))),
    )
    report(f"corners of the front, {count} notes", timed, "every point")
    corners, whole = ([p.key for p in fronts[name].points] for name in ("corners", "whole"))
    share = _covered(corners) / _covered(whole)
    points = f"{len(corners)} corners of {len(whole)} points ({fronts['whole'].status})"
    print(f"\n  {points} cover {100 * share:.2f} %", end="")
    assert set(corners) <= set(whole)
    assert share <= 1


def test_corners_against_networkx() -> None:
    """networkx, one search for each slope, finds the same corners."""
    count = sized(200, 100)
    axes = _axes(count)
    found: dict[str, list[Key]] = {}
    timed = in_turn(
        1,
        lambda: wall(lambda: found.update(ours=[p.key for p in _corners(axes).points])),
        lambda: wall(lambda: found.update(peer=_networkx_corners(axes))),
    )
    report(f"corners of the front, {count} notes", timed, "networkx")
    assert hull(found["ours"]) == hull(found["peer"])
