"""Every way ten fingers can stand on a flute."""

from collections.abc import Iterator
from itertools import product

from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS, Mechanism


def finger_states(mechanism: Mechanism) -> Iterator[Grip]:
    """Every combination of finger positions, one grip each (grips can repeat)."""
    choices = [
        [0, *(reach.mask for reach in mechanism.reaches if reach.finger == finger)] for finger in FINGERS
    ]
    for combination in product(*choices):
        mask = 0
        for part in combination:
            mask |= part
        yield Grip(mask)
