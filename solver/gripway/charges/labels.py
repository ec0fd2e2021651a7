"""The exact least path when a pitch that returns with another grip is charged for, by labels.

A label is a path to a node and the rows of the pitches that will return after it. One label of a node
beats another when it costs less even if every row they differ in were charged to it later on.

Reference: Desrochers and Soumis (1988), A generalized permanent labelling algorithm for the shortest
path problem with time windows, INFOR 26(3): labels and their dominance; recalled, not read again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.trellis.path import INF, Cost, backward
from gripway.trellis.puzzle import STEP, Puzzle


@dataclass(frozen=True, slots=True)
class LabelPath:
    """The least path (empty: none below the limit), its cost without charges for new grips, labels tried."""

    path: list[int]
    cost: Cost
    tried: int


Label = tuple[Cost, tuple[int, ...], int, "Label | None"]
"""Cost, rows of the pitches that will return, place in its column, the label before."""


def least_labels(puzzle: Puzzle, nodes: Sequence[Sequence[Cost]], limit: Cost, most: int) -> LabelPath | None:
    """The least path of cost below `limit` over these node costs, with what returns charge.

    None when more than `most` labels would have to be tried.
    """
    nodes, pairs = settled_pairs(puzzle, nodes)
    rest = backward(nodes, puzzle.blocks)
    closes, opens, kept = _memory(len(nodes), pairs)
    charge = puzzle.return_milli * STEP
    rows = [counted.rows for counted in puzzle.counted]
    labels: list[list[Label]] = [
        [(cost, (rows[0][k],) if opens[0] else (), k, None)] if cost + rest[0][k] < limit else []
        for k, cost in enumerate(nodes[0])
    ]
    tried = 0
    for p in range(1, len(nodes)):
        new: list[list[Label]] = []
        close, keep = closes[p], kept[p]
        for k, (held, into) in enumerate(zip(nodes[p], puzzle.blocks[p], strict=True)):
            room, row, found = limit - rest[p][k] - held, rows[p][k], list[Label]()
            for j, before in enumerate(labels):
                moved = into[j]
                for label in before:
                    cost = label[0] + moved
                    if close is not None and label[1][close] != row:
                        cost += charge
                    if cost < room:
                        memory = tuple([label[1][m] for m in keep])
                        found.append((cost + held, (*memory, row) if opens[p] else memory, k, label))
                tried += len(before)
            new.append(_undominated(found, charge))
        if tried > most:
            return None
        labels = new
    last = [label for column in labels for label in column]
    if not last:
        return LabelPath([], INF, tried)
    best = min(last, key=lambda label: label[0])
    return LabelPath(_path(best), best[0], tried)


def _undominated(found: list[Label], charge: Cost) -> list[Label]:
    """Those labels of one node that no cheaper one beats whatever comes."""
    if len(found) < 2:
        return found
    found.sort(key=lambda label: label[0])
    kept: list[Label] = []
    for label in found:
        cost, memory = label[0], label[1]
        if not any(other[0] + charge * sum(map(int.__ne__, other[1], memory)) <= cost for other in kept):
            kept.append(label)
    return kept


def _path(label: "Label | None") -> list[int]:
    path = []
    while label is not None:
        path.append(label[2])
        label = label[3]
    path.reverse()
    return path


def settled_pairs(
    puzzle: Puzzle, nodes: Sequence[Sequence[Cost]]
) -> tuple[list[Sequence[Cost]], list[tuple[int, int]]]:
    """Node costs with the charges of pairs one side of which has no choice, and the other pairs."""
    settled, open_pairs = list(nodes), list[tuple[int, int]]()
    charge = puzzle.return_milli * STEP
    for a, b in puzzle.returns:
        first, second = puzzle.counted[a].rows, puzzle.counted[b].rows
        for one, (row, *others), its_rows in ((b, first, second), (a, second, first)):
            if not others or set(others) == {row}:
                settled[one] = [
                    cost if own == row else cost + charge
                    for cost, own in zip(settled[one], its_rows, strict=True)
                ]
                break
        else:
            open_pairs.append((a, b))
    return settled, open_pairs


def _memory(
    columns: int, pairs: list[tuple[int, int]]
) -> tuple[list[int | None], list[bool], list[list[int]]]:
    """For every column: which place of the memory its pitch closes, whether it opens one, which stay."""
    closing = {b: a for a, b in pairs}
    opening = {a for a, _ in pairs}
    closes: list[int | None] = [None] * columns
    kept: list[list[int]] = [[] for _ in range(columns)]
    open_now: list[int] = []
    for p in range(columns):
        closes[p] = open_now.index(closing[p]) if p in closing else None
        kept[p] = [m for m in range(len(open_now)) if m != closes[p]]
        open_now = [open_now[m] for m in kept[p]] + ([p] if p in opening else [])
    return closes, [p in opening for p in range(columns)], kept
