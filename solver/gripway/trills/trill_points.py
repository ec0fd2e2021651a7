"""What speaks against a pair of grips for a written trill: as `gripway trill` ranks them."""

from functools import cache

from gripway.candidates.candidates import FluteKnowledge
from gripway.catalog.flute.grips import allowed
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.model.grip import Grip
from gripway.trills.pair import Pair
from gripway.trills.pairing import PrintedRows, pair_of, printed_pairs

Key = tuple[int, Grip, int, int, int, Grip, int, int]


class TrillPoints:
    """Pairs of candidates with their points, remembered."""

    def __init__(self, knowledge: FluteKnowledge, model: EffortModel) -> None:
        self.knowledge = knowledge
        self.model = model
        self.printed = cache(self._printed)
        self.has_printed = cache(self._has_printed)
        self._pairs: dict[Key, Pair] = {}

    def points(self, candidate: Candidate, other: Candidate) -> float:
        """Points of the pair of a written note's grip and the other note's.

        Where a printed pair can be used, a pair that is none has points for that besides.
        """
        pair = self.pair(candidate, other)
        if pair.usable or not self.has_printed(candidate.pitch, other.pitch):
            return pair.points
        return pair.points + pair_figures().not_printed_points

    def pair(self, candidate: Candidate, other: Candidate) -> Pair:
        """The pair, its lower note first."""
        key = (*_key(candidate), *_key(other))
        if key not in self._pairs:
            low, high = sorted((candidate, other), key=lambda c: c.pitch)
            self._pairs[key] = pair_of(low, high, self.model, self.printed(low.pitch, high.pitch))
        return self._pairs[key]

    def _has_printed(self, pitch: int, other: int) -> bool:
        """Whether a printed pair can be used for a trill on the first pitch; it is not overblown there."""
        printed = self.printed(min(pitch, other), max(pitch, other))
        mains = [c for c in self.model.grips_of(pitch) if c.kind != "harmonic"]
        others = self.model.grips_of(other)
        pairs = [(a, b) if pitch < other else (b, a) for a in mains for b in others]
        return any(self.pair(*pair).usable for pair in pairs if printed.row(*pair) is not None)

    def _printed(self, lower: int, upper: int) -> PrintedRows:
        rows = self.knowledge.trills.get((lower, upper), ())
        instrument = self.knowledge.instrument
        return printed_pairs((row for row in rows if allowed(row, instrument)), instrument.mechanism)


def _key(candidate: Candidate) -> tuple[int, Grip, int, int]:
    position = candidate.position
    return candidate.pitch, candidate.grip, position.left_code, position.right_code
