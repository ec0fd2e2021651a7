"""What speaks against a pair of grips for a written trill: the points `gripway trill` ranks it by."""

from functools import cache

from gripway.catalog.grips import allowed
from gripway.effort.candidate import Candidate
from gripway.effort.model import EffortModel
from gripway.model.grip import Grip
from gripway.route.candidates import Shelf
from gripway.trills.pair import Pair
from gripway.trills.pairing import Printed, pair_of, printed_pairs

Key = tuple[int, Grip, int, int, int, Grip, int, int]


class TrillPoints:
    """Pairs of candidates with their points, remembered."""

    def __init__(self, shelf: Shelf, model: EffortModel) -> None:
        self.shelf = shelf
        self.model = model
        self.printed = cache(self._printed)
        self._pairs: dict[Key, Pair] = {}

    def points(self, candidate: Candidate, other: Candidate) -> float:
        """Points of the pair of a written note's grip and the other note's."""
        return self.pair(candidate, other).points

    def pair(self, candidate: Candidate, other: Candidate) -> Pair:
        """The pair, its lower note first."""
        key = (*_key(candidate), *_key(other))
        if key not in self._pairs:
            low, high = sorted((candidate, other), key=lambda c: c.pitch)
            self._pairs[key] = pair_of(low, high, self.model, self.printed(low.pitch, high.pitch))
        return self._pairs[key]

    def _printed(self, lower: int, upper: int) -> Printed:
        rows = self.shelf.trills.get((lower, upper), ())
        instrument = self.shelf.instrument
        return printed_pairs((row for row in rows if allowed(row, instrument)), instrument.mechanism)


def _key(candidate: Candidate) -> tuple[int, Grip, int, int]:
    position = candidate.position
    return candidate.pitch, candidate.grip, position.left_code, position.right_code
