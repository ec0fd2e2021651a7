"""Hand position: where each of the nine fingers is, down on a touch or resting above one.

A finger's place is a short text: "L1" is down on that touch, "" is up at home, "-Tb" is up
and resting over Tb. Only the thumb (T or Tb) and R1 (plate or side lever) have two resting
places worth remembering; the others come home.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import count, product

from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS, Mechanism

RESTS = {"LT": ("-T", "-Tb"), "R1": ("-R1", "-Sb")}
"""Resting places of the fingers that have two, the usual one first."""

LEFT = slice(0, 5)
RIGHT = slice(5, 9)


@dataclass(frozen=True, slots=True)
class Position:
    """Places of the fingers of the left hand (LT L1 L2 L3 L4) and the right (R1 R2 R3 R4).

    `left_code` and `right_code` are small numbers, one for each way to place a hand: quick
    keys for what is remembered of two hand positions. `places` are those of all nine fingers.
    """

    left: tuple[str, ...]
    right: tuple[str, ...]
    second_choices: int = 0
    left_code: int = field(init=False, compare=False, repr=False)
    right_code: int = field(init=False, compare=False, repr=False)
    places: tuple[str, ...] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "left_code", _code(self.left))
        object.__setattr__(self, "right_code", _code(self.right))
        object.__setattr__(self, "places", self.left + self.right)


@cache
def _code(_places: tuple[str, ...]) -> int:
    """A number of its own for every way to place a hand."""
    return next(_CODES)


_CODES = count()


def is_down(place: str) -> bool:
    """Whether a finger at this place presses a touch."""
    return bool(place) and place[0] != "-"


def positions(
    mechanism: Mechanism, grip: Grip, *, thumb_rests: bool = False, lever_rests: bool = False
) -> Iterator[Position]:
    """Every hand position of a grip, the usual fingers at their usual resting places first.

    With `thumb_rests` (`lever_rests`) a lifted thumb (R1) may rest over either of its places;
    without, it rests at the first. Raises ImpossibleHoldError when no hand can hold the grip.
    """
    wanted = {"LT": thumb_rests, "R1": lever_rests}
    for hold in mechanism.holds(grip):
        choices = [
            (" ".join(reach.touches),) if reach else _rests(finger, wanted.get(finger, False))
            for finger, reach in zip(FINGERS, hold.reaches, strict=True)
        ]
        for places in product(*choices):
            yield Position(places[LEFT], places[RIGHT], hold.second_choices)


def _rests(finger: str, all_of_them: bool) -> tuple[str, ...]:
    rests = RESTS.get(finger, ("",))
    return rests if all_of_them else rests[:1]
