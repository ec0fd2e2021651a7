"""The Boehm mechanism as data: fingers, touches, linkages; from touches held to open holes.

A hole is a name, how it stands at rest, and the touches that move it; every linkage of the
flute is of that kind (a hole changes when any of its touches is pressed), so an instrument
needs no code of its own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from gripway.display import brief
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import BIT, TOUCHES, Grip

FINGERS = ("LT", "L1", "L2", "L3", "L4", "R1", "R2", "R3", "R4")
FINGER_NAMES = {
    "LT": "left thumb",
    "L1": "left index",
    "L2": "left middle finger",
    "L3": "left ring finger",
    "L4": "left little finger",
    "R1": "right index",
    "R2": "right middle finger",
    "R3": "right ring finger",
    "R4": "right little finger",
}


@dataclass(frozen=True, slots=True)
class Reach:
    """Touches one finger can press at once; `first_choice` is false where it is its second."""

    finger: str
    touches: tuple[str, ...]
    first_choice: bool = True

    @property
    def mask(self) -> int:
        """The touches as a Grip bit mask."""
        return Grip.of(self.touches).mask


@dataclass(frozen=True, slots=True)
class Hole:
    """A tone hole: id, the note it sounds when first open, rest position, touches that move it."""

    id: str
    title: str
    open_at_rest: bool
    touches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Hold:
    """A grip with the reach each finger uses for it, in FINGERS order (None: finger up)."""

    grip: Grip
    reaches: tuple[Reach | None, ...]

    @property
    def second_choices(self) -> int:
        """How many fingers press a touch that is their second choice."""
        return sum(1 for reach in self.reaches if reach is not None and not reach.first_choice)


@dataclass(frozen=True)
class Mechanism:
    """Fingers' reaches and holes (head to foot) of one instrument with its parts chosen."""

    reaches: tuple[Reach, ...]
    holes: tuple[Hole, ...]

    @cached_property
    def touches(self) -> tuple[str, ...]:
        """The touches this flute has, in canonical order."""
        present = {touch for reach in self.reaches for touch in reach.touches}
        return tuple(touch for touch in TOUCHES if touch in present)

    @cached_property
    def _reaches_by_finger(self) -> tuple[tuple[tuple[int, Reach], ...], ...]:
        """For each finger its reaches with their masks, in the order of the table."""
        return tuple(
            tuple((reach.mask, reach) for reach in self.reaches if reach.finger == finger)
            for finger in FINGERS
        )

    @cached_property
    def _pressable_from(self) -> tuple[int, ...]:
        """Mask of the touches that the fingers from each place on can press."""
        masks = [0]
        for options in reversed(self._reaches_by_finger):
            masks.append(masks[-1] | sum({mask for mask, _ in options if mask.bit_count() == 1}))
        return tuple(reversed(masks))

    @cached_property
    def _hole_rules(self) -> tuple[tuple[int, bool], ...]:
        """Per hole: the mask of the touches that move it, and whether rest is open.

        A touch the flute lacks moves nothing.
        """
        masks = (sum(BIT[t] for t in hole.touches if t in self.touches) for hole in self.holes)
        return tuple((mask, hole.open_at_rest) for mask, hole in zip(masks, self.holes, strict=True))

    @cached_property
    def _patterns(self) -> dict[Grip, int]:
        """The hole patterns worked out so far."""
        return {}

    @cached_property
    def _holds(self) -> dict[Grip, tuple[Hold, ...]]:
        """The holds worked out so far."""
        return {}

    def hole_pattern(self, grip: Grip) -> int:
        """Which holes are open: bit k is hole k counted from the head (bit 0 nearest the head)."""
        if grip not in self._patterns:
            pattern = 0
            for place, (mask, open_at_rest) in enumerate(self._hole_rules):
                if bool(grip.mask & mask) != open_at_rest:
                    pattern |= 1 << place
            self._patterns[grip] = pattern
        return self._patterns[grip]

    def open_holes(self, grip: Grip) -> tuple[Hole, ...]:
        """The open holes, head to foot."""
        pattern = self.hole_pattern(grip)
        return tuple(hole for place, hole in enumerate(self.holes) if pattern >> place & 1)

    def missing(self, grip: Grip) -> tuple[str, ...]:
        """Touches the grip asks for and this flute lacks."""
        return tuple(touch for touch in grip.touches if touch not in self.touches)

    def holds(self, grip: Grip) -> tuple[Hold, ...]:
        """Every way the nine fingers can press the grip, first choices first.

        Raises ImpossibleHoldError with the reason when there is none.
        """
        if grip not in self._holds:
            self._holds[grip] = self._every_hold(grip)
        return self._holds[grip]

    def _every_hold(self, grip: Grip) -> tuple[Hold, ...]:
        if absent := self.missing(grip):
            raise ImpossibleHoldError(
                f"{grip.text} needs {', '.join(absent)}, which this flute does not have",
                next_step="Name the optional parts your flute has, or choose another grip",
            )
        found = tuple(self._assign(grip.mask, 0))
        if not found:
            raise ImpossibleHoldError(
                f"no hand can hold {grip.text}: {self._conflict(grip)}", next_step="Choose another grip"
            )
        holds = (Hold(grip, reaches) for reaches in found)
        return tuple(sorted(holds, key=lambda hold: hold.second_choices))

    def _assign(self, open_mask: int, finger_place: int) -> Iterator[tuple[Reach | None, ...]]:
        """All ways to press exactly `open_mask` with the fingers from `finger_place` on."""
        if open_mask & ~self._pressable_from[finger_place]:
            return
        if finger_place == len(FINGERS):
            yield ()
            return
        for tail in self._assign(open_mask, finger_place + 1):
            yield (None, *tail)
        for mask, reach in self._reaches_by_finger[finger_place]:
            if mask & ~open_mask == 0:
                for tail in self._assign(open_mask & ~mask, finger_place + 1):
                    yield (reach, *tail)

    def _conflict(self, grip: Grip) -> str:
        """The smallest set of the grip's touches that cannot be pressed together, in words."""
        touches = list(grip.touches)
        for touch in grip.touches:  # drop every touch that is not needed for the conflict
            fewer = [t for t in touches if t != touch]
            if not any(self._assign(Grip.of(fewer).mask, 0)):
                touches = fewer
        fingers = sorted({r.finger for r in self.reaches if set(r.touches) & set(touches)}, key=FINGERS.index)
        names = " and ".join(FINGER_NAMES[finger] for finger in fingers)
        return f"the {names} cannot press {', '.join(touches)} at once"

    def __repr__(self) -> str:
        return brief(self, f"{len(self.touches)} touches", f"{len(self.holes)} holes")
