"""Least costs of a trellis from those of a nearly equal one: searched where they differ, else shifted.

Two columns of costs agree where one is the other plus a number: every choice is then the same.
"""

from collections.abc import Iterator, Reversible, Sequence
from operator import add
from typing import NamedTuple, Protocol

from gripway.trellis.path import INF, Block, Cost, Nodes

Vector = Sequence[Cost]


class NodesAndBlocks(NamedTuple):
    """Costs that are no trellis: those of a network's part, say."""

    nodes: Nodes
    blocks: Sequence[Block]


class Costs(Protocol):
    """Costs of nodes and of edges, as path.py has them: a trellis or a part of a network."""

    @property
    def nodes(self) -> Nodes:
        """What holding costs."""

    @property
    def blocks(self) -> Sequence[Block]:
        """What moving costs."""


class UsedUp:
    """Columns of costs that are let go of as they are read, once, from either end."""

    def __init__(self, costs: list[list[Cost]]) -> None:
        self.costs = costs

    def __iter__(self) -> Iterator[list[Cost]]:
        self.costs.reverse()
        return reversed(self)

    def __reversed__(self) -> Iterator[list[Cost]]:
        while self.costs:
            yield self.costs.pop()


def shift_between(new: Vector, old: Vector) -> Cost | None:
    """What all costs of `new` are above those of `old`; None where they do not agree."""
    if len(new) != len(old):
        return None
    shift: Cost | None = None
    for a, b in zip(new, old, strict=True):
        if a == INF or b == INF:
            if a != b:
                return None
        elif shift is None:
            shift = a - b
        elif a - b != shift:
            return None
    return 0 if shift is None else shift


def _same(was: Costs, now: Costs, place: int) -> bool:
    """Whether nothing has changed in a column and in the changes into it."""
    nodes, old = now.nodes[place], was.nodes[place]
    return now.blocks[place] is was.blocks[place] and (nodes is old or nodes == old)


def renewed_forward(was: Costs, costs: Reversible[list[Cost]], now: Costs) -> list[list[Cost]]:
    """The forward costs of `now` (as path.forward) from the costs of `was`, which has as many columns."""
    result: list[list[Cost]] = []
    shift: Cost | None = None
    for place, (nodes, old) in enumerate(zip(now.nodes, costs, strict=True)):
        same = _same(was, now, place)
        if place == 0:
            vector = old if same else list(nodes)
        elif same and shift is not None:
            vector = old if shift == 0 else [cost + shift for cost in old]
        else:
            before = result[-1]
            vector = [
                node + min(map(add, before, into), default=INF)
                for node, into in zip(nodes, now.blocks[place], strict=True)
            ]
        if not (same and shift is not None):
            shift = 0 if vector is old else shift_between(vector, old)
        result.append(vector)
    return result


def renewed_backward(was: Costs, costs: Reversible[list[Cost]], now: Costs) -> list[list[Cost]]:
    """The backward costs of `now` (as path.backward) from the costs of `was`."""
    end = len(now.nodes) - 1
    from_the_end = reversed(costs)
    same_end = len(now.nodes[end]) == len(was.nodes[end])
    last = next(from_the_end)
    result: list[list[Cost]] = [last if same_end else [0] * len(now.nodes[end])]
    shift: Cost | None = 0 if same_end else None
    for place, old in zip(range(end, 0, -1), from_the_end, strict=True):
        same = _same(was, now, place)
        if same and shift is not None:
            vector = old if shift == 0 else [cost + shift for cost in old]
        else:
            after = list(map(add, result[-1], now.nodes[place]))
            vector = [min(map(add, after, out)) for out in zip(*now.blocks[place], strict=True)]
            shift = shift_between(vector, old)
        result.append(vector)
    result.reverse()
    return result
