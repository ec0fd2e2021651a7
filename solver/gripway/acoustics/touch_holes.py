"""Which holes each touch moves: hole patterns of many sets of touches by plain bit work.

A hole leaves its rest when any of its touches is pressed, so the holes a grip moves are all the
holes its touches move, put together.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from gripway.model.grip import BIT, Grip
from gripway.model.mechanism import Mechanism


@dataclass(frozen=True, slots=True)
class TouchHoles:
    """Bits of the open holes at rest, and for each touch (by its bit in a grip) the holes it moves."""

    at_rest: int
    moved: Mapping[int, int]

    def moved_by(self, mask: int) -> int:
        """The holes (bits) that a set of touches, given as a grip's mask, moves."""
        holes = 0
        while mask:
            touch = mask & -mask
            holes |= self.moved[touch]
            mask ^= touch
        return holes

    def pattern(self, mask: int) -> int:
        """The hole pattern of a set of touches, whether a hand can hold it or not."""
        return self.at_rest ^ self.moved_by(mask)


@cache
def touch_holes(mechanism: Mechanism) -> TouchHoles:
    """The touches of a mechanism with their holes."""
    at_rest = mechanism.hole_pattern(Grip(0))
    moved = {BIT[touch]: at_rest ^ mechanism.hole_pattern(Grip(BIT[touch])) for touch in mechanism.touches}
    return TouchHoles(at_rest, moved)
