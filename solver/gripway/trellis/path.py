"""The exact least path through a trellis, and what every other node costs, in plain Python.

A trellis here is numbers only: `nodes[i][k]` is the cost of node k of column i, and
`blocks[i][k][j]` the cost of moving from node j of column i-1 to node k of column i
(blocks[0] is not looked at). Costs are whole numbers; INF marks what is forbidden. Equal
costs are settled by the lowest place in the column.
"""

from collections.abc import Callable, Sequence
from math import inf, isinf
from operator import add
from typing import Any, TypeVar

INF = inf
"""Cost of what is not allowed: no sum of costs reaches it."""

Cost = float
"""A whole number, or INF."""

Nodes = Sequence[Sequence[Cost]]
Block = Sequence[Sequence[Cost]]
One = TypeVar("One")
Other = TypeVar("Other")


def each_once(values: Sequence[One], change: Callable[[One], Other]) -> list[Other]:
    """Every value changed; what is one object, as blocks often are, is changed once and stays one object."""
    changed = {key: change(value) for key, value in {id(value): value for value in values}.items()}
    return [changed[id(value)] for value in values]


def forward(nodes: Nodes, blocks: Sequence[Block]) -> list[list[Cost]]:
    """Least cost of a path from the first column to each node, that node included."""
    costs = [list(nodes[0])]
    for place in range(1, len(nodes)):
        before = costs[-1]
        if not before:  # a column without nodes: nothing after it is reached
            costs.append([INF] * len(nodes[place]))
            continue
        costs.append(
            [
                node + min(map(add, before, into))
                for node, into in zip(nodes[place], blocks[place], strict=True)
            ]
        )
    return costs


def backward(nodes: Nodes, blocks: Sequence[Block]) -> list[list[Cost]]:
    """Least cost of a path from each node to the last column, that node left out."""
    costs: list[list[Cost]] = [[0] * len(nodes[-1])]
    for place in range(len(nodes) - 1, 0, -1):
        after = list(map(add, costs[-1], nodes[place]))
        outgoing = zip(*blocks[place], strict=True)
        costs.append([min(map(add, after, out)) for out in outgoing])
    costs.reverse()
    return costs


def previous(costs: list[list[Cost]], nodes: Nodes, blocks: Sequence[Block], node: int, place: int) -> int:
    """The node before `node` of column `place` on a least path to it."""
    through = list(map(add, costs[place - 1], blocks[place][node]))
    return through.index(costs[place][node] - nodes[place][node])


def following(rest: list[list[Cost]], nodes: Nodes, blocks: Sequence[Block], node: int, place: int) -> int:
    """The node after `node` of column `place` on a least path from it to the end."""
    after = map(add, rest[place + 1], nodes[place + 1])
    through = [out[node] + cost for out, cost in zip(blocks[place + 1], after, strict=True)]
    return through.index(rest[place][node])


def trace_back(
    costs: list[list[Cost]], nodes: Nodes, blocks: Sequence[Block], last: int, end: int
) -> list[int]:
    """The nodes of a least path that ends at node `last` of column `end`."""
    path, node = [last], last
    for place in range(end, 0, -1):
        through = list(map(add, costs[place - 1], blocks[place][node]))
        node = through.index(costs[place][node] - nodes[place][node])
        path.append(node)
    path.reverse()
    return path


def least_path(nodes: Nodes, blocks: Sequence[Block]) -> tuple[Cost, list[int]]:
    """Cost and nodes of the least path; (INF, []) when there is none."""
    costs = forward(nodes, blocks)
    best = min(costs[-1])
    if isinf(best):
        return INF, []
    return best, trace_back(costs, nodes, blocks, costs[-1].index(best), len(nodes) - 1)


def path_cost(nodes: Nodes, blocks: Sequence[Block], path: Sequence[int]) -> Cost:
    """The cost of a path; INF where it makes a change that is not allowed."""
    held = sum(column[k] for column, k in zip(nodes, path, strict=True))
    return held + sum(blocks[p][path[p]][path[p - 1]] for p in range(1, len(path)))


def first_blocked(costs: list[list[Cost]]) -> int | None:
    """The first column no path reaches, from the costs of `forward`; None when all are reached."""
    for place, column in enumerate(costs):
        if isinf(min(column, default=INF)):
            return place
    return None


def nodes_of(label: tuple[Any, Any, Any, int] | None) -> tuple[int, ...]:
    """The nodes of the way a label stands for: its last two items are the label before it and its node."""
    nodes = []
    while label is not None and label[3] >= 0:
        nodes.append(label[3])
        label = label[2]
    return tuple(reversed(nodes))
