"""The ledger: effort as named whole-number parts, so that the reasons shown are the numbers added."""

from collections.abc import Iterable
from dataclasses import dataclass

MILLI = 1000
"""The search counts in thousandths of an effort, as integers: sums are exact, ties decidable."""


@dataclass(frozen=True, slots=True)
class Ledger:
    """Parts of a cost by name, in thousandths of an effort; parts of size 0 are left out."""

    parts: tuple[tuple[str, int], ...]

    @property
    def total(self) -> int:
        """The sum of the parts, in thousandths of an effort."""
        return sum(amount for _, amount in self.parts)

    @property
    def effort(self) -> float:
        """The sum in effort."""
        return self.total / MILLI

    def as_efforts(self) -> dict[str, float]:
        """Parts by name in effort, as shown and exported."""
        return {name: amount / MILLI for name, amount in self.parts}


NO_COST = Ledger(())


def ledger(parts: Iterable[tuple[str, float]]) -> Ledger:
    """A ledger from parts in effort, each rounded once to thousandths.

    >>> ledger([("load", 0.3444), ("balance", 0.0)]).parts
    (('load', 344),)
    """
    kept = []
    for name, amount in parts:
        if amount and (rounded := round(amount * MILLI)):
            kept.append((name, rounded))
    return Ledger(tuple(kept))
