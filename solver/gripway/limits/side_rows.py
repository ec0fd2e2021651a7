"""What ties columns of a network far apart, as rows over the nodes that are chosen.

A row is a weighted sum of its nodes (1 where a route passes one, else 0). It is at most a figure
(a sum that is asked for), or at most another variable, which is 1 where something far off is so: a
grip is learnt, a pitch changes its grip, a figure has a grip (whose row is equal to it).
The flow model takes these rows as they are; prices charge for them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from gripway.trellis.constrained_network import ConstrainedNetwork, Key

Named = TypeVar("Named")

FIGURE, NEW, RETURN = "figure", "new", "return"

Owner = tuple[str, int, int | Key]
"""What a variable stands for: FIGURE, its number, the row; NEW, 0, the key; RETURN, its number, the row."""


@dataclass(frozen=True, slots=True)
class SideRow:
    """Terms are (column, node, weight); they add up to `most`, or to what `owner` is, at most."""

    terms: tuple[tuple[int, int, int], ...]
    owner: Owner | None = None
    most: int = 0

    @property
    def equal(self) -> bool:
        """Whether the sum is its owner, and not only at most that."""
        return self.owner is not None and self.owner[0] == FIGURE


def side_rows(network: ConstrainedNetwork) -> Iterator[SideRow]:
    """Every row of a network: its sums, its figures, its new grips, its returns."""
    budgets, counted = network.budgets, network.counted
    if budgets.unusual is not None:
        yield SideRow(_terms([c.unusual for c in counted]), most=budgets.unusual)
    if budgets.tenths is not None:
        yield SideRow(_terms([c.tenths for c in counted]), most=budgets.tenths)
    for number, figure in enumerate(network.figures):
        for p in figure:
            for grip, nodes in _groups(counted[p].rows).items():
                yield SideRow(tuple((p, k, 1) for k in nodes), (FIGURE, number, grip))
    if budgets.learnt is not None or network.charge_milli:
        for p, own in enumerate(counted):
            for new, nodes in _groups(own.new).items():
                if new is not None:
                    yield SideRow(tuple((p, k, 1) for k in nodes), (NEW, 0, new))
    for number, (p, q) in enumerate(network.returns if network.return_milli else ()):
        there = _groups(counted[q].rows)
        for row, nodes in _groups(counted[p].rows).items():
            back = tuple((q, k, -1) for k in there.get(row, ()))
            yield SideRow((*((p, k, 1) for k in nodes), *back), (RETURN, number, row))


def _terms(weights: list[tuple[int, ...]]) -> tuple[tuple[int, int, int], ...]:
    return tuple(
        (p, k, weight) for p, column in enumerate(weights) for k, weight in enumerate(column) if weight
    )


def _groups(names: tuple[Named, ...]) -> dict[Named, list[int]]:
    groups: dict[Named, list[int]] = {}
    for k, name in enumerate(names):
        groups.setdefault(name, []).append(k)
    return groups
