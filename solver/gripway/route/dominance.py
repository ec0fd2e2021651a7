"""Candidates that another one of their column beats wherever the route comes from and goes to.

Such a candidate can be left out of a puzzle without losing its least effort: a route through it
can pass the other one for no more effort and without using more of any limit. Mostly they are
hand positions that differ only in where an idle finger rests.
"""

from collections.abc import Sequence

from gripway.route.path import INF, Block, Cost
from gripway.route.puzzle import Budgets, Counted, Puzzle

Memory = dict[tuple[int, int, tuple[Cost, ...], Counted, bool], list[int]]


def without_dominated(puzzle: Puzzle) -> Puzzle:
    """The puzzle without candidates that another one beats everywhere, and grips of figures likewise.

    A candidate is beaten whatever its neighbours are, so that it may go at the same time as they.
    Figures alone are quickly priced; their grips are compared only where there are sums as well.
    """
    puzzle = _thinned(puzzle)
    if puzzle.budgets == Budgets():
        return puzzle
    return _thinned(_settled_figures(puzzle))


def _thinned(puzzle: Puzzle) -> Puzzle:
    in_figure = {p for figure in puzzle.figures for p in figure}
    known: Memory = {}
    keep = []
    for p in range(len(puzzle.nodes)):
        into, out = _around(puzzle, p)
        key = (id(into), id(out), puzzle.nodes[p], puzzle.counted[p], p in in_figure)
        if key not in known:
            known[key] = _kept(puzzle, p, into, out, alike=p in in_figure)
        keep.append(known[key])
    return puzzle.only(keep)


def _around(puzzle: Puzzle, p: int) -> tuple[Block, Block]:
    """The changes into and out of a column; empty at the ends."""
    return (
        puzzle.blocks[p] if p else (),
        puzzle.blocks[p + 1] if p + 1 < len(puzzle.nodes) else (),
    )


def _settled_figures(puzzle: Puzzle) -> Puzzle:
    """The puzzle without those grips of figures that another grip beats over all their notes together."""
    keep = [list(range(len(column))) for column in puzzle.nodes]
    known: dict[tuple[int, int, tuple[Cost, ...], Counted], dict[tuple[int, int], Cost]] = {}
    for figure in puzzle.figures:
        more: dict[tuple[int, int], Cost] = {}
        for p in figure:
            into, out = _around(puzzle, p)
            key = (id(into), id(out), puzzle.nodes[p], puzzle.counted[p])
            if key not in known:
                known[key] = _more_of_grips(puzzle, p, into, out)
            for pair, cost in known[key].items():
                more[pair] = more.get(pair, 0) + cost
        beaten: set[int] = set()
        for (one, other), cost in sorted(more.items()):
            if cost <= 0 and one not in beaten and other not in beaten:
                beaten.add(other)
        for p in figure if beaten else ():
            keep[p] = [k for k in keep[p] if puzzle.counted[p].grips[k] not in beaten]
    return puzzle.only(keep)


def _more_of_grips(puzzle: Puzzle, p: int, into: Block, out: Block) -> dict[tuple[int, int], Cost]:
    """How much more effort a grip takes than another in one column, at most; INF where it uses more."""
    costs, counted = puzzle.nodes[p], puzzle.counted[p]
    leaving = list(zip(*out, strict=True)) if out else [()] * len(costs)
    nodes: dict[int, list[int]] = {}
    for k, grip in enumerate(counted.grips):
        nodes.setdefault(grip, []).append(k)

    def more(one: int, other: int) -> Cost:
        if not _spares(counted, one, other, puzzle.budgets, alike=False):
            return INF
        moved = _worst(into[one], into[other]) if into else 0
        return costs[one] - costs[other] + moved + _worst(leaving[one], leaving[other])

    return {
        (a, b): max(min(more(one, other) for one in ones) for other in others)
        for a, ones in nodes.items()
        for b, others in nodes.items()
        if a != b
    }


def _kept(puzzle: Puzzle, p: int, into: Block, out: Block, *, alike: bool) -> list[int]:
    """The candidates of a column that nothing kept before them beats; the least effort first."""
    costs, counted = puzzle.nodes[p], puzzle.counted[p]
    leaving = list(zip(*out, strict=True)) if out else [()] * len(costs)
    kept: list[int] = []
    for k in sorted(range(len(costs)), key=lambda k: (costs[k], k)):
        beaten = any(
            _spares(counted, other, k, puzzle.budgets, alike=alike)
            and costs[other]
            + (_worst(into[other], into[k]) if into else 0)
            + _worst(leaving[other], leaving[k])
            <= costs[k]
            for other in kept
        )
        if not beaten:
            kept.append(k)
    return sorted(kept)


def _spares(counted: Counted, one: int, other: int, budgets: Budgets, *, alike: bool) -> bool:
    """Whether one candidate can stand for another without using more of any limit."""
    if alike and counted.grips[one] != counted.grips[other]:
        return False
    if budgets.unusual is not None and counted.unusual[one] > counted.unusual[other]:
        return False
    if budgets.tenths is not None and counted.tenths[one] > counted.tenths[other]:
        return False
    return budgets.learnt is None or counted.new[one] in (None, counted.new[other])


def _worst(one: Sequence[Cost], other: Sequence[Cost]) -> Cost:
    """How much more a change can cost from (or to) one candidate than from the other, at most."""
    return max((a - b for a, b in zip(one, other, strict=True) if b != INF), default=0)
