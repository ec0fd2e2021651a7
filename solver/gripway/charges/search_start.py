"""Where a search of a network begins: what was looked at of it, or of one under other pins.

The multipliers of a search hold for every network of the same columns and charges, whatever nodes are
there: shares come to a charge at most, leanings to that of a pair. So the next search looks at once under
them, and only where nodes have come or gone.
"""

from dataclasses import dataclass

from gripway.charges.lower_bound import (
    NONE,
    Look,
    Multipliers,
    keyed_columns,
    looked,
    plain_look,
    raised,
)
from gripway.trellis.constrained_network import ConstrainedNetwork

MOST_KEPT = 3_000
"""Columns up to which a look is kept, for the learning curve and for the next search."""


@dataclass(frozen=True, slots=True)
class Start:
    """A network, multipliers for it, and the look at it under these."""

    network: ConstrainedNetwork
    multipliers: Multipliers
    look: Look

    @property
    def plain(self) -> Look | None:
        """The look where it is the one under no multipliers."""
        return self.look if self.multipliers == NONE else None

    def of(self, network: ConstrainedNetwork) -> "Start | None":
        """The same for a network under other pins, its bound raised; None where it is another passage's."""
        if _charging(network) != _charging(self.network):
            return None
        keyed = keyed_columns(network, frozenset())
        here = looked(network, keyed, self.multipliers, self.look.copy())
        if not here.path:
            return None
        tried = looked(network, keyed, raised(network, keyed, here), here.look.copy())
        best = max(here, tried, key=lambda bound: bound.cost)
        return Start(network, best.multipliers, best.look)


def start_of(network: ConstrainedNetwork, last: Start | None = None) -> Start | None:
    """Where the search of a network begins; None where it is too long, or its charges make no difference."""
    if len(network.nodes) > MOST_KEPT or network.same_charges:
        return None
    return (last and last.of(network)) or Start(network, NONE, plain_look(network))


def _charging(network: ConstrainedNetwork) -> tuple[object, ...]:
    return network.places, network.returns, network.charge_milli, network.return_milli
