"""What is left to search: the nodes a better route could still pass, by the bound through each."""

from dataclasses import replace
from itertools import pairwise

from gripway.route.path import INF, Block, Cost, backward, forward
from gripway.route.prices import Prices, Rows, allowance, priced_nodes
from gripway.route.puzzle import STEP, Puzzle


def bounds_through(puzzle: Puzzle, rows: Rows, prices: Prices) -> list[list[Cost]]:
    """For every node a lower bound (thousandths) of the routes through it that keep the limits."""
    nodes = priced_nodes(rows, prices)
    free, _ = allowance(puzzle, rows, prices)
    to, rest = forward(nodes, puzzle.blocks), backward(nodes, puzzle.blocks)
    return [
        [INF if a + b == INF else -(-int(a + b - free) // STEP) for a, b in zip(here, there, strict=True)]
        for here, there in zip(to, rest, strict=True)
    ]


def below(through: list[list[Cost]], most: int) -> list[list[int]]:
    """The nodes whose bound is at most `most` thousandths."""
    return [[k for k, bound in enumerate(column) if bound <= most] for column in through]


def window(puzzle: Puzzle, rows: Rows, prices: Prices, keep: list[list[int]], most: int) -> Puzzle:
    """The kept nodes, and of the changes between them those with a bound of at most `most` thousandths."""
    nodes = priced_nodes(rows, prices)
    free, _ = allowance(puzzle, rows, prices)
    to, rest = forward(nodes, puzzle.blocks), backward(nodes, puzzle.blocks)
    part, limit = puzzle.only(keep), most * STEP + free
    blocks: list[Block] = [()]
    for p in range(1, len(keep)):
        ahead = [rest[p][k] + nodes[p][k] for k in keep[p]]
        behind = [to[p - 1][j] for j in keep[p - 1]]
        blocks.append(
            [
                [INF if there + cost + here > limit else cost for here, cost in zip(behind, row, strict=True)]
                for there, row in zip(ahead, part.blocks[p], strict=True)
            ]
        )
    return replace(part, blocks=tuple(blocks))


def common(puzzle: Puzzle, keep: list[list[int]]) -> list[list[int]]:
    """The kept nodes without those whose grip some other note of their figure has lost."""
    keep = list(keep)
    for figure in puzzle.figures:
        shared = set.intersection(*({puzzle.counted[p].grips[k] for k in keep[p]} for p in figure))
        for p in figure:
            keep[p] = [k for k in keep[p] if puzzle.counted[p].grips[k] in shared]
    return keep


def edges(keep: list[list[int]]) -> int:
    """How many changes stand between the kept nodes, of columns where anything is left to choose."""
    return sum(len(before) * len(after) for before, after in pairwise(keep) if len(before) > 1)
