"""Where a search of a network begins: what was looked at of it, or of one under other pins.

The multipliers of a search hold for every network of the same columns and charges, whatever nodes are
there: shares come to a charge at most, leanings to that of a pair. So the next search looks at once under
them, and only where nodes have come or gone.
"""

from collections.abc import Sequence
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
from gripway.charges.near_path import near_path
from gripway.trellis.constrained_network import ConstrainedNetwork

MOST_KEPT = 3_000
"""Columns up to which a look is kept, for the learning curve and for the next search."""


@dataclass(frozen=True, slots=True)
class Start:
    """A network, multipliers for it, the look at it under these; a path near its least, where known."""

    network: ConstrainedNetwork
    multipliers: Multipliers
    look: Look
    path: Sequence[int] = ()

    @property
    def plain(self) -> Look | None:
        """The look where it is the one under no multipliers."""
        return self.look if self.multipliers == NONE else None

    def of(self, network: ConstrainedNetwork) -> "Start | None":
        """The same for a network under other pins; None where it is another passage's.

        The bound is raised once where it does not prove the path already.
        """
        if _charging(network) != _charging(self.network):
            return None
        keyed = keyed_columns(network, frozenset())
        best = looked(network, keyed, self.multipliers, self.look.copy())
        if not best.path:
            return None
        path = min(self._near(network) or best.path, best.path, key=network.charged_cost)
        if best.cost < network.charged_cost(path):
            tried = looked(network, keyed, raised(network, keyed, best), best.look.copy())
            best = max(best, tried, key=lambda bound: bound.cost)
        return Start(network, best.multipliers, best.look, path)

    def _near(self, network: ConstrainedNetwork) -> list[int]:
        """The path in another network, chosen anew around grips that are not there; empty where it breaks."""
        columns = zip(self.network.columns, self.path, network.columns, strict=True) if self.path else ()
        places = (
            next((place for place, each in enumerate(after) if each is before[k]), None)
            for before, k, after in columns
        )
        return near_path(network, list(places))


def start_of(network: ConstrainedNetwork, last: Start | None = None) -> Start | None:
    """Where the search of a network begins; None where it is too long, or its charges make no difference."""
    if len(network.nodes) > MOST_KEPT or network.same_charges:
        return None
    return (last and last.of(network)) or Start(network, NONE, plain_look(network))


def _charging(network: ConstrainedNetwork) -> tuple[object, ...]:
    return network.places, network.returns, network.charge_milli, network.return_milli
