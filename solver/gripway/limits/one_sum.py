"""The price of a single sum, without a solver: where two lines of cost against price cross.

The least path under a price is a line: its cost grows with the price by what it uses. A path that uses
too much and one that keeps the sum cross at a price between theirs; the least path at that price
takes the place of one of them, until none lies below the crossing: then it is the best price there is.
"""

from collections.abc import Sequence

from gripway.limits.multipliers import priced
from gripway.limits.side_rows import SideRow
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import Cost, least_path

DEAREST = 1 << 20
"""Thousandths that one unit of a sum is surely not worth: more than a whole passage takes."""

NEAR = 1e-3
"""Thousandths by which a path must lie below the crossing to count."""


def one_sum(network: ConstrainedNetwork, row: SideRow) -> tuple[float, list[int]]:
    """The best price (thousandths) of the only side row of a network, and a path that keeps it.

    Some path must keep it.
    """
    used = {(p, k): weight for p, k, weight in row.terms}

    def at(price: float) -> tuple[Cost, int, list[int]]:
        _, path = least_path(priced(network, [row], [price]).nodes, network.blocks)
        return network.cost(path), sum(used.get(node, 0) for node in enumerate(path)), path

    over, kept = at(0.0), at(float(DEAREST))
    if over[1] <= row.most:
        return 0.0, over[2]
    while True:
        price = (kept[0] - over[0]) / (over[1] - kept[1]) / STEP
        found = at(price)
        if found[1] in (over[1], kept[1]) or _line(found, price) > _line(kept, price) - NEAR:
            return price, kept[2]
        if found[1] > row.most:
            over = found
        else:
            kept = found


def _line(found: tuple[Cost, int, Sequence[int]], price: float) -> float:
    """Cost of a path in thousandths under a price."""
    return found[0] / STEP + price * found[1]
