"""The exact least path when a pitch that returns with another grip is charged for, by labels.

A label is a path to a node and the rows of the pitches that will return after it. One label of a node
beats another when it costs less even if every row they differ in were charged to it later on.

Reference: Desrochers and Soumis (1988), A generalized permanent labelling algorithm for the shortest
path problem with time windows, INFOR 26(3): labels and their dominance; recalled, not read again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter, ne

from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import INF, Cost, backward


@dataclass(frozen=True, slots=True)
class LabelPath:
    """The least path (empty: none below the limit), its cost without charges for new grips, labels tried."""

    path: list[int]
    cost: Cost
    tried: int


_cost = itemgetter(0)

Label = tuple[Cost, tuple[int, ...], int, "Label | None"]
"""Cost, rows of the pitches that will return, place in its column, the label before."""


def least_labels(
    network: ConstrainedNetwork, nodes: Sequence[Sequence[Cost]], limit: Cost, most: int
) -> LabelPath | None:
    """The least path of cost below `limit` over these node costs, with what returns charge.

    None when more than `most` labels would have to be tried.
    """
    nodes, pairs = settled_pairs(network, nodes)
    rest = backward(nodes, network.blocks)
    closes, opens = _memory(len(nodes), pairs)
    charge = network.return_milli * STEP
    rows = [counted.rows for counted in network.counted]
    labels: list[list[Label]] = [
        [(cost, (rows[0][k],) if opens[0] else (), k, None)] if cost + rest[0][k] < limit else []
        for k, cost in enumerate(nodes[0])
    ]
    tried, memories = 0, int(opens[0])
    for p in range(1, len(nodes)):
        new: list[list[Label]] = []
        tried += len(nodes[p]) * sum(map(len, labels))
        if tried > most:
            return None
        known = _closed(labels, closes[p])
        most_charged = charge * (memories := memories + opens[p] - (closes[p] is not None))
        for k, (held, into) in enumerate(zip(nodes[p], network.blocks[p], strict=True)):
            room, row, found = limit - rest[p][k] - held, rows[p][k], list[Label]()
            opened = (row,) if opens[p] else ()
            for before, moved in zip(known, into, strict=True):
                for cost, was, memory, label in before:
                    cost += moved
                    if cost >= room:  # the labels of a node are sorted
                        break
                    if was is not None and was != row and (cost := cost + charge) >= room:
                        continue
                    if cost + most_charged < room:  # what costs more is beaten by this one
                        room = cost + most_charged
                    found.append((cost + held, memory + opened if opened else memory, k, label))
            new.append(_undominated(found, charge))
        labels = new
    last = [label for column in labels for label in column]
    if not last:
        return LabelPath([], INF, tried)
    best = min(last, key=_cost)
    return LabelPath(_path(best), best[0], tried)


def _closed(
    labels: list[list[Label]], close: int | None
) -> list[list[tuple[Cost, int | None, tuple[int, ...], Label]]]:
    """Of every label its cost, the row of the pitch that now returns, what is remembered after, itself."""
    if close is None:
        return [[(label[0], None, label[1], label) for label in column] for column in labels]
    return [
        [(label[0], (rows := label[1])[close], rows[:close] + rows[close + 1 :], label) for label in column]
        for column in labels
    ]


def _undominated(found: list[Label], charge: Cost) -> list[Label]:
    """Those labels of one node that no cheaper one beats whatever comes, the cheapest first."""
    if len(found) < 2:
        return found
    found.sort(key=_cost)
    least: dict[tuple[int, ...], Label] = {}
    for label in found:  # of one memory only the cheapest counts
        least.setdefault(label[1], label)
    kept: list[Label] = []
    for memory, label in least.items():
        cost = label[0]
        for other in kept:
            more = cost - other[0]
            if more < charge:  # they differ in a row at least, and the next ones cost as much or more
                kept.append(label)
                break
            if charge * sum(map(ne, other[1], memory)) <= more:
                break
        else:
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
    network: ConstrainedNetwork, nodes: Sequence[Sequence[Cost]]
) -> tuple[list[Sequence[Cost]], list[tuple[int, int]]]:
    """Node costs with the charges of pairs one side of which has no choice, and the other pairs."""
    settled, open_pairs = list(nodes), list[tuple[int, int]]()
    charge = network.return_milli * STEP
    for a, b in network.returns:
        first, second = network.counted[a].rows, network.counted[b].rows
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


def _memory(columns: int, pairs: list[tuple[int, int]]) -> tuple[list[int | None], list[bool]]:
    """For every column: which place of the memory its pitch closes, and whether it opens one."""
    closing = {b: a for a, b in pairs}
    opening = {a for a, _ in pairs}
    closes: list[int | None] = [None] * columns
    open_now: list[int] = []
    for p in range(columns):
        if p in closing:
            closes[p] = open_now.index(closing[p])
            open_now.remove(closing[p])
        if p in opening:
            open_now.append(p)
    return closes, [p in opening for p in range(columns)]
