"""Multipliers (prices) on the side rows of a network: they bound every route, and every node, from below.

What ties columns far apart is taken out of the problem and charged for instead: so much for an
unusual grip, for a tenth of a cent, for a note that leaves the grip of its figure, for a note that
uses a new grip, for a pitch that comes back in another one. The least path under the prices, less
what they allow for free, is a lower bound of every route that keeps the limits, charges included.
Any prices give a valid bound once they are made whole: those of a figure add up to nothing over its
notes, the others are not negative, that of a return is at most what it is charged.

Reference: Fisher (1981), The Lagrangian relaxation method, Management Science 27(1); recalled, not
read again.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from gripway.limits.side_rows import FIGURE, NEW, RETURN, SideRow
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import Cost


@dataclass(frozen=True, slots=True)
class Priced:
    """The nodes of a network with what prices charge for them, and what is allowed for free."""

    nodes: list[list[Cost]]
    free: int


def priced(network: ConstrainedNetwork, rows: Sequence[SideRow], prices: Sequence[float]) -> Priced:
    """The network's nodes under a price (thousandths) for each of its side rows."""
    charges = _whole(network, rows, prices)
    nodes: list[list[Cost]] = [list(column) for column in network.nodes]
    free = 0
    worth: dict[object, int] = defaultdict(int)
    for row, price in zip(rows, charges, strict=True):
        free += price * row.most
        if row.owner is not None and row.owner[0] == NEW:
            worth[row.owner[2]] += price
        for p, k, weight in row.terms if price else ():
            nodes[p][k] += price * weight
    return Priced(nodes, free + _learning(network, worth))


def _learning(network: ConstrainedNetwork, worth: dict[object, int]) -> int:
    """What the new grips most worth learning bring in, less what they are charged."""
    gains = sorted((max(0, each - network.charge_milli * STEP) for each in worth.values()), reverse=True)
    return sum(gains[: network.budgets.learnt])


def _whole(network: ConstrainedNetwork, rows: Sequence[SideRow], prices: Sequence[float]) -> list[int]:
    """Whole and valid prices near to those given."""
    whole = [round(price * STEP) for price in prices]
    alike: dict[object, list[int]] = defaultdict(list)
    for number, row in enumerate(rows):
        kind = row.owner[0] if row.owner else ""
        if kind == FIGURE:
            alike[row.owner].append(number)
        else:
            most = network.return_milli * STEP if kind == RETURN else whole[number]
            whole[number] = max(0, min(whole[number], most))
    for numbers in alike.values():
        total = sum(whole[number] for number in numbers)
        for number in numbers:
            whole[number] -= total // len(numbers)
        whole[numbers[-1]] -= total - total // len(numbers) * len(numbers)
    return whole
