"""One way to hold the flute: the touches that are pressed, in canonical order."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Self

LEFT_TOUCHES = ("T", "Tb", "L1", "L2", "L3", "L4")
RIGHT_TOUCHES = ("R1", "R2", "R3", "Sb", "Kd", "Kds", "Kcs", "Eb", "Cs", "C", "B", "Hc")
TOUCHES = LEFT_TOUCHES + RIGHT_TOUCHES
"""Every touch of the Boehm flute family, in the order a grip is written."""

PLATES = ("1", "2", "3", "4")
FOOT_TOUCHES = ("Eb", "Cs", "C", "B", "Hc")

BIT = {touch: 1 << place for place, touch in enumerate(TOUCHES)}
_BY_LOWER = {touch.lower(): touch for touch in TOUCHES}


@dataclass(frozen=True, slots=True)
class Grip:
    """A set of pressed touches, kept as a bit mask over TOUCHES.

    Two grips are equal when the same touches are pressed, whichever finger presses them.
    """

    mask: int

    @classmethod
    def of(cls, touches: Iterable[str]) -> Self:
        """The grip with these touches pressed; ValueError names a touch that is none."""
        mask = 0
        for touch in touches:
            if touch not in BIT:
                raise ValueError(f"{touch!r} is not a touch; the touches are {' '.join(TOUCHES)}")
            mask |= BIT[touch]
        return cls(mask)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a grip in any order and letter case, with or without the bar, or as it is printed.

        Beside a bar the fingers' own plates may be bare numbers. ValueError for anything else.

        >>> import gripway
        >>> gripway.Grip.parse("eb l3 t L2").text, gripway.Grip.parse("T 2 3 | Eb").text
        ('T L2 L3 | Eb', 'T L2 L3 | Eb')
        """
        left, bar, right = text.strip().partition("|")
        words = _words(left, "L" if bar else "") + _words(right, "R" if bar else "")
        return cls.of(_BY_LOWER.get(word.lower(), word) for word in words)

    @property
    def touches(self) -> tuple[str, ...]:
        """The pressed touches in canonical order."""
        return _touches(self.mask)

    @property
    def text(self) -> str:
        """Canonical text: left hand, bar, right hand: `T L2 L3 | Eb`."""
        return _text(self.mask)

    @property
    def short(self) -> str:
        """The text a player reads, without the hand letters: `T 2 3 | Eb`."""
        return re.sub(r"\b[LR](?=[1-4])", "", self.text)

    def has(self, touch: str) -> bool:
        """Whether this touch is pressed."""
        return bool(self.mask & BIT[touch])

    def with_touches(self, *touches: str) -> "Grip":
        """The grip with more touches pressed."""
        return Grip(self.mask | Grip.of(touches).mask)

    def without(self, *touches: str) -> "Grip":
        """The grip with some touches released."""
        return Grip(self.mask & ~Grip.of(touches).mask)

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"Grip.parse({self.text!r})"


def _words(text: str, hand: str) -> list[str]:
    """The touches of one side of the bar; a bare number is the plate of that hand's finger."""
    words = [word for word in re.split(r"[\s|+,]+", text.strip()) if word]
    return [hand + word if hand and word in PLATES else word for word in words]


@cache
def _touches(mask: int) -> tuple[str, ...]:
    return tuple(touch for touch in TOUCHES if mask & BIT[touch])


@cache
def _text(mask: int) -> str:
    left = " ".join(touch for touch in LEFT_TOUCHES if mask & BIT[touch])
    right = " ".join(touch for touch in RIGHT_TOUCHES if mask & BIT[touch])
    return f"{left} | {right}".strip()
