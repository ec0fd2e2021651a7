"""How little of a sum any path needs, as a plain least path: no effort, no other limit, no figure.

The cost of a node is what it counts for, the cost of a change nothing, or INF where it is forbidden. What
comes out is the least there is for that sum alone; beside other limits it is a bound that decides at once
what is plainly impossible.
"""

from collections.abc import Callable

from gripway.trellis.constrained_network import ConstrainedNetwork, Counted
from gripway.trellis.path import INF, Block, Cost, each_once, least_path

SUMS = ("unusual", "tenths", "learnt")


class LeastSums:
    """The least sums of one network; its forbidden changes are read once."""

    def __init__(self, network: ConstrainedNetwork) -> None:
        self.network = network
        self.blocks = each_once(network.blocks, _forbidden)

    def of(self, name: str) -> int | None:
        """No path has less `unusual`, `tenths` or `learnt` than this; None where no path is allowed.

        Of `learnt` it is only said whether any new grip is needed at all (0 or 1): which are the same is
        no matter of single notes.
        """
        nodes = [_costs(counted, name) for counted in self.network.counted]
        if not all(nodes):
            return None
        cost, path = least_path(nodes, self.blocks)
        if not path:
            return None
        return min(1, int(cost)) if name == "learnt" else int(cost)

    def exact(self, name: str) -> bool:
        """Whether `of` is the least that the network's other limits leave possible too."""
        asked = self.network.budgets
        others = [each for each in SUMS if each != name and getattr(asked, each) is not None]
        return name != "learnt" and not others and not self.network.figures

    def impossible(self) -> bool:
        """Whether some sum that is asked for is plainly too small."""
        for name in SUMS:
            most = getattr(self.network.budgets, name)
            if most is not None:
                least = self.of(name)
                if least is None or least > most:
                    return True
        return False


def _forbidden(block: Block) -> Block:
    return [[INF if cost == INF else 0 for cost in row] for row in block]


def _costs(counted: Counted, name: str) -> tuple[Cost, ...]:
    if name == "learnt":
        return tuple(int(new is not None) for new in counted.new)
    return counted.unusual if name == "unusual" else counted.tenths


def least_worst(network: ConstrainedNetwork, worst: Callable[[int, int], int]) -> int | None:
    """The least lean (tenths of a cent) of the worst note of any path; None where no path is allowed.

    `worst` gives the tenths of a node (column, place in it). Halving over the leans there are.
    """
    leans = [[worst(p, k) for k in range(len(column))] for p, column in enumerate(network.nodes)]
    blocks = LeastSums(network).blocks
    sizes = sorted({lean for column in leans for lean in column})
    low, high = 0, len(sizes)
    while low < high:
        middle = (low + high) // 2
        nodes = [[0 if lean <= sizes[middle] else INF for lean in column] for column in leans]
        if least_path(nodes, blocks)[1]:
            high = middle
        else:
            low = middle + 1
    return sizes[low] if low < len(sizes) else None
