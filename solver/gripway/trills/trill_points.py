"""What speaks against a pair of grips for a written trill: as `gripway trill` ranks them."""

from functools import cache
from typing import TYPE_CHECKING

from gripway.candidates.candidates import FluteKnowledge
from gripway.catalog.flute.grips import allowed
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.model.grip import Grip

if TYPE_CHECKING:  # what ranks pairs is loaded where a trill is written
    from gripway.trills.pair import Pair
    from gripway.trills.pairing import PrintedRows

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

        Where a printed pair can be used, a pair that is none has points for that besides; and so has one
        of which a note is grossly false.
        """
        from gripway.catalog.tables.trill_pairs import pair_figures

        pair, figures = self.pair(candidate, other), pair_figures()
        points = pair.points + figures.gross_points * is_gross(pair)
        if pair.usable or not self.has_printed(candidate.pitch, other.pitch):
            return points
        return points + figures.not_printed_points

    def pair(self, candidate: Candidate, other: Candidate) -> "Pair":
        """The pair, its lower note first."""
        from gripway.trills.pairing import pair_of

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

    def _printed(self, lower: int, upper: int) -> "PrintedRows":
        from gripway.trills.pairing import printed_pairs

        rows = self.knowledge.trills.get((lower, upper), ())
        instrument = self.knowledge.instrument
        return printed_pairs((row for row in rows if allowed(row, instrument)), instrument.mechanism)


def is_gross(pair: "Pair") -> bool:
    """Whether a note of a pair leans farther than any lip brings back in a trill."""
    from gripway.catalog.tables.trill_pairs import pair_figures
    from gripway.trills.ranking import lean_of

    return any(abs(lean_of(each) or 0.0) > pair_figures().gross_cents for each in (pair.lower, pair.upper))


def _key(candidate: Candidate) -> tuple[int, Grip, int, int]:
    position = candidate.position
    return candidate.pitch, candidate.grip, position.left_code, position.right_code
