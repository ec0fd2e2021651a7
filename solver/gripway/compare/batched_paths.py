"""Least paths under many weightings of two costs at once, as arrays.

A weighting (a, b) makes a x first + b x second of the two costs of a path. Arrays of costs have
the axes (weighting, node). All sums are exact 64-bit whole numbers; BARRED marks what no path may take.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gripway.compare.two_costs import Axes
from gripway.errors import ArgumentError
from gripway.trellis.path import INF, Block, each_once

Ints = NDArray[np.int64]
BARRED = 1 << 60
"""Above every sum of costs; three of them still fit."""

Weights = Sequence[tuple[int, int]]


class Wide:
    """The two costs of a trellis as arrays: holding by node, moving (first cost only) by edge."""

    def __init__(self, axes: Axes) -> None:
        self.first = [np.array(column, dtype=np.int64) for column in axes.efforts]
        self.second = [np.array(column, dtype=np.int64) for column in axes.leans]
        self.blocks = each_once(axes.blocks[1:], _array)
        self.most = self._most()

    def _most(self) -> tuple[int, int]:
        """More than either cost of any path."""
        first = sum(int(column.max()) for column in self.first) + sum(int(b.max()) for b, _ in self.blocks)
        return first + 1, sum(int(column.max()) for column in self.second) + 1

    def holding(self, weights: Weights) -> list[Ints]:
        """Weighted costs of every node. Raises RequestError where they would be too large to be exact."""
        if any(a * self.most[0] + b * self.most[1] >= BARRED for a, b in weights):
            raise ArgumentError(
                "the passage is too long for a trade-off", place="tradeoff", next_step="Choose some bars"
            )
        a, b = np.array(weights, dtype=np.int64).T[:, :, None]
        return [a * first + b * second for first, second in zip(self.first, self.second, strict=True)]

    def moving(self, place: int, weights: Weights) -> Ints:
        """Weighted costs of the edges into column `place`, axes (weighting, node, node before)."""
        block, barred = self.blocks[place - 1]
        moved = np.array([a for a, _ in weights], dtype=np.int64)[:, None, None] * block
        return moved if barred is None else np.where(barred, BARRED, moved)

    def forward(self, weights: Weights) -> list[Ints]:
        """Least cost from the first column to each node, that node included."""
        held = self.holding(weights)
        costs = [held[0]]
        for place in range(1, len(held)):
            least = (costs[-1][:, None, :] + self.moving(place, weights)).min(axis=2)
            costs.append(np.minimum(least + held[place], BARRED))
        return costs

    def backward(self, weights: Weights) -> list[Ints]:
        """Least cost from each node to the last column, that node left out."""
        held = self.holding(weights)
        costs = [np.zeros_like(held[-1])]
        for place in range(len(held) - 1, 0, -1):
            after = costs[-1] + held[place]
            costs.append(np.minimum((after[:, :, None] + self.moving(place, weights)).min(axis=1), BARRED))
        costs.reverse()
        return costs

    def passing(self, weights: Weights, most: Sequence[tuple[int, int]]) -> list[list[tuple[int, int]]]:
        """For every weighting, both costs of the least path through each edge, where within `most`."""
        least, rest = self._costs_forward(weights), self._costs_backward(weights)
        firsts, seconds = np.array(most, dtype=np.int64).T[:, :, None, None]
        found: list[set[tuple[int, int]]] = [set() for _ in weights]
        for place in range(1, len(least)):
            first, second = (
                least[place - 1][k][:, None, :] + (rest[place][k] + held)[:, :, None]
                for k, held in enumerate((self.first[place], self.second[place]))
            )
            block, barred = self.blocks[place - 1]
            first = first + block
            inside = (first <= firsts) & (second <= seconds)
            if barred is not None:
                inside &= ~barred
            for number in np.flatnonzero(inside.any(axis=(1, 2))).tolist():
                kept = inside[number]
                found[number].update(
                    zip(first[number][kept].tolist(), second[number][kept].tolist(), strict=True)
                )
        return [sorted(points) for points in found]

    def _costs_forward(self, weights: Weights) -> list[tuple[Ints, Ints]]:
        """Both costs of the least path from the first column to each node, that node included."""
        held, start = self.holding(weights), np.zeros((len(weights), 1), dtype=np.int64)
        costs, both = held[0], [(start + self.first[0], start + self.second[0])]
        for place in range(1, len(held)):
            through = costs[:, None, :] + self.moving(place, weights)
            chosen = through.argmin(axis=2)
            costs = np.minimum(through.min(axis=2) + held[place], BARRED)
            moved = np.take_along_axis(self.blocks[place - 1][0][None], chosen[:, :, None], 2)[:, :, 0]
            first, second = (np.take_along_axis(known, chosen, 1) for known in both[-1])
            first = np.where(costs < BARRED, first + moved + self.first[place], BARRED)
            both.append((first, second + self.second[place]))
        return both

    def _costs_backward(self, weights: Weights) -> list[tuple[Ints, Ints]]:
        """Both costs of the least path from each node to the last column, that node left out."""
        held = self.holding(weights)
        costs = np.zeros_like(held[-1])
        both = [(costs, costs)]
        for place in range(len(held) - 1, 0, -1):
            through = (costs + held[place])[:, :, None] + self.moving(place, weights)
            chosen = through.argmin(axis=1)
            costs = np.minimum(through.min(axis=1), BARRED)
            moved = np.take_along_axis(self.blocks[place - 1][0][None], chosen[:, None, :], 1)[:, 0, :]
            first, second = (
                np.take_along_axis(known + held_here, chosen, 1)
                for known, held_here in zip(both[-1], (self.first[place], self.second[place]), strict=True)
            )
            both.append((np.where(costs < BARRED, first + moved, BARRED), second))
        both.reverse()
        return both

    def least_paths(self, weights: Weights) -> list[tuple[int, ...]]:
        """A least path for every weighting; of equal ones that with the lowest places, from the end."""
        costs = self.forward(weights)
        every = np.arange(len(weights))
        nodes = [costs[-1].argmin(axis=1)]
        for place in range(len(costs) - 1, 0, -1):
            into = self.moving(place, weights)[every, nodes[-1]]
            nodes.append((costs[place - 1] + into).argmin(axis=1))
        return [tuple(path) for path in np.array(nodes[::-1]).T.tolist()]


def _array(block: Block) -> tuple[Ints, NDArray[np.bool_] | None]:
    """A block as whole numbers, and where it is barred (None: nowhere)."""
    barred = np.array([[cost == INF for cost in row] for row in block], dtype=np.bool_)
    plain = np.array([[0 if cost == INF else int(cost) for cost in row] for row in block], dtype=np.int64)
    return plain, barred if barred.any() else None
