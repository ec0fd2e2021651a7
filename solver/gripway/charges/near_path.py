"""A path near the least one, from a route under other wishes: kept but where a grip is not there any more."""

from collections.abc import Iterator, Sequence

from gripway.trellis.constrained_network import ConstrainedNetwork
from gripway.trellis.path import INF, Cost, least_path

AROUND = 4
"""Columns on either side of a missing grip that are chosen anew (judgement: some notes feel another grip)."""


def near_path(network: ConstrainedNetwork, known: Sequence[int | None]) -> list[int]:
    """A path with the `known` places, those that are None and a few around them at the least cost there.

    Charges are left out of that cost. Empty where the places that stay cannot be joined.
    """
    path = list(known)
    for start, end in _runs(known):
        first, last = max(0, start - 1), min(len(path), end + 1)
        nodes = [
            network.nodes[p] if start <= p < end else _only(network, p, known[p]) for p in range(first, last)
        ]
        cost, chosen = least_path(nodes, ((), *network.blocks[first + 1 : last]))
        if cost == INF:
            return []
        path[first:last] = chosen
    return [k for k in path if k is not None]


def _runs(known: Sequence[int | None]) -> Iterator[tuple[int, int]]:
    """Start and end of every run of columns that are chosen anew."""
    missing = [p for p, k in enumerate(known) if k is None]
    start = end = -1
    for p in missing:
        if start >= 0 and p - AROUND > end:
            yield start, end
            start = -1
        start = max(0, p - AROUND) if start < 0 else start
        end = min(len(known), p + AROUND + 1)
    if start >= 0:
        yield start, end


def _only(network: ConstrainedNetwork, p: int, k: int | None) -> tuple[Cost, ...]:
    """The costs of a column in which only one node may be taken."""
    return tuple([cost if place == k else INF for place, cost in enumerate(network.nodes[p])])
