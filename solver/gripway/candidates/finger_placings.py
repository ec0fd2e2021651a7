"""Placings: every way to set the nine fingers, from which each hole pattern gets its easiest grip."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product

from gripway.acoustics.touch_holes import touch_holes
from gripway.asked.found_wishes import FoundWishes
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS, Mechanism

Fingers = tuple[int, ...]
"""The touches each of FINGERS presses, as masks of a grip."""


@dataclass(frozen=True, slots=True)
class Placing:
    """One way to place the fingers: all touches as a mask, those of each finger, the holes open.

    `second_choices` counts the fingers on a touch that is not their usual one.
    """

    mask: int
    fingers: Fingers
    second_choices: int
    pattern: int


def easiest(mechanism: Mechanism, patterns: Collection[int], wishes: FoundWishes) -> Iterator[Placing]:
    """For each hole pattern the easiest placing that keeps to the wishes, if there is one.

    Easiest is the one with the fewest touches, then with the usual fingers.
    """
    waiting = set(patterns)
    origin = ways(mechanism, wishes.origin) if wishes.origin is not None else ()
    keep, without = wishes.keep.mask, wishes.without.mask
    for placing in _placings(mechanism):
        if placing.pattern not in waiting or placing.mask & keep != keep or placing.mask & without:
            continue
        if origin and fingers_apart(placing.fingers, origin) > wishes.fingers:
            continue
        waiting.discard(placing.pattern)
        yield placing


@cache
def _placings(mechanism: Mechanism) -> tuple[Placing, ...]:
    """Every placing of the fingers, easiest first."""
    holes = touch_holes(mechanism)
    choices = [
        [(0, 0, 0)]
        + [
            (r.mask, not r.first_choice, holes.moved_by(r.mask))
            for r in mechanism.reaches
            if r.finger == finger
        ]
        for finger in FINGERS
    ]
    found = []
    for combination in product(*choices):
        mask = moved = second_choices = 0
        for touches, second, holes_moved in combination:
            mask, moved, second_choices = mask | touches, moved | holes_moved, second_choices + second
        fingers = tuple(touches for touches, _, _ in combination)
        found.append(Placing(mask, fingers, second_choices, holes.at_rest ^ moved))
    return tuple(sorted(found, key=lambda p: (p.mask.bit_count(), p.second_choices, p.mask, p.fingers)))


@cache
def ways(mechanism: Mechanism, grip: Grip) -> tuple[Fingers, ...]:
    """Every way the fingers can press a grip; ImpossibleHoldError when there is none."""
    return tuple(
        tuple(reach.mask if reach else 0 for reach in hold.reaches) for hold in mechanism.holds(grip)
    )


def fingers_apart(fingers: Sequence[int], others: Iterable[Sequence[int]]) -> int:
    """How many fingers press something else than in the nearest of some placings."""
    return min(sum(a != b for a, b in zip(fingers, other, strict=True)) for other in others)
