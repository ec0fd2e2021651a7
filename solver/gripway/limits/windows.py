"""What is left to search: the nodes and changes a route of so much effort could still pass."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.limits.multipliers import Priced
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork, milli_at_least
from gripway.trellis.path import INF, Block, Cost, backward, forward, trace_back


class Windows:
    """Cuts a network under prices to what lies at most a rim (thousandths of an effort) high.

    Some path must be allowed.
    """

    def __init__(self, network: ConstrainedNetwork, priced: Priced) -> None:
        self.network, self.priced = network, priced
        self.to = forward(priced.nodes, network.blocks)
        self.rest = backward(priced.nodes, network.blocks)
        self.bound = milli_at_least(min(self.to[-1]) - priced.free)
        self.highest = max(cost for column in self._through() for cost in column if cost < INF)

    def least(self) -> list[int]:
        """The nodes of the least path under the prices."""
        last = self.to[-1].index(min(self.to[-1]))
        return trace_back(self.to, self.priced.nodes, self.network.blocks, last, len(self.to) - 1)

    def _through(self) -> list[list[Cost]]:
        """The least cost of a path through each node."""
        return [[a + b for a, b in zip(*both, strict=True)] for both in zip(self.to, self.rest, strict=True)]

    def _after(self, p: int) -> list[Cost]:
        """What a route takes from each node of a column on, that node included."""
        return [cost + rest for cost, rest in zip(self.priced.nodes[p], self.rest[p], strict=True)]

    def reach(self, rim: int) -> bool:
        """Whether no node lies higher than the rim."""
        return rim * STEP + self.priced.free >= self.highest

    def heights(self) -> list[list[Cost]]:
        """How far the bound of every node is above the least of its column; INF where none can pass."""
        return [
            [INF if a == INF else (a - min(column)) // STEP for a in column] for column in self._through()
        ]

    def within(self, rim: int | None) -> list[list[int]]:
        """The nodes of every column whose bound is at most the rim (None: any that a route can pass)."""
        most = self.highest if rim is None else rim * STEP + self.priced.free
        keep = [[k for k, cost in enumerate(column) if cost <= most] for column in self._through()]
        return common(self.network, keep)

    def part(self, keep: list[list[int]], rim: int | None) -> ConstrainedNetwork:
        """The kept nodes, and of the changes between them those with a bound of at most the rim."""
        part = self.network.only(keep)
        if rim is None:
            return part
        most = rim * STEP + self.priced.free
        blocks: list[Block] = [()]
        for p in range(1, len(keep)):
            behind, after = [self.to[p - 1][j] for j in keep[p - 1]], self._after(p)
            blocks.append(
                [
                    [INF if a + cost + after[k] > most else cost for a, cost in zip(behind, row, strict=True)]
                    for k, row in zip(keep[p], part.blocks[p], strict=True)
                ]
            )
        return replace(part, blocks=tuple(blocks))


def common(network: ConstrainedNetwork, keep: Sequence[list[int]]) -> list[list[int]]:
    """The kept nodes without those whose grip some other note of their figure has lost."""
    kept = list(keep)
    for figure in network.figures:
        shared = set.intersection(*({network.counted[p].rows[k] for k in kept[p]} for p in figure))
        for p in figure:
            kept[p] = [k for k in kept[p] if network.counted[p].rows[k] in shared]
    return kept


def edges(network: ConstrainedNetwork) -> int:
    """How many changes there are between columns where anything is left to choose."""
    return sum(len(before) * len(after) for before, after in pairwise(network.nodes) if len(before) > 1)
