"""A key: a tonic as spelt, major or minor, and its signature."""

import re
from dataclasses import dataclass
from typing import Self

from gripway.model.pitch import ALTER_TEXT

MAJOR, MINOR = "major", "minor"
FIFTHS_OF_LETTERS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
"""Sharps of the major key on each plain letter; each alteration adds or takes seven."""

MINOR_BELOW = 3
"""A minor key has three sharps fewer than the major key on the same note."""

MOST_SIGNS = 7
_NAME = re.compile(r"([A-Ga-g])(#|b|♯|♭|)\s*(major|maj|minor|min|m|)")


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic (letter, alteration in semitones) and a mode; ValueError for one without a signature.

    >>> import gripway
    >>> gripway.Key.parse("F# minor").fifths
    3
    """

    step: str
    alter: int = 0
    mode: str = MAJOR

    def __post_init__(self) -> None:
        if self.step not in FIFTHS_OF_LETTERS or self.mode not in (MAJOR, MINOR):
            raise ValueError(f"no such key: {self.step!r} {self.mode!r}")
        if abs(self.fifths) > MOST_SIGNS:
            raise ValueError(f"{self.name} has no key signature: it would need {abs(self.fifths)} signs")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a key such as A, Eb, "F# minor" or Bbm; ValueError when it is none."""
        found = _NAME.fullmatch(text.strip())
        if found is None:
            raise ValueError(f"{text!r} is no key; write A, Eb, F# minor")
        minor = found[3] in ("minor", "min", "m")
        return cls(
            found[1].upper(), {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}[found[2]], MINOR if minor else MAJOR
        )

    @property
    def fifths(self) -> int:
        """Sharps of the key signature, flats negative."""
        return fifths_of(self.step, self.alter, self.mode)

    @property
    def tonic(self) -> str:
        """The tonic as spelt: F#."""
        return f"{self.step}{ALTER_TEXT[self.alter]}"

    @property
    def name(self) -> str:
        """The key in words: F# minor."""
        return f"{self.tonic} {self.mode}"


def keys_in_fifths(lowest: int, highest: int) -> tuple[Key, ...]:
    """The major and minor keys whose signatures have so many sharps, in the order of fifths, major first."""
    known = [
        Key(step, alter, mode)
        for mode in (MAJOR, MINOR)
        for alter in (-1, 0, 1)
        for step in FIFTHS_OF_LETTERS
        if lowest <= fifths_of(step, alter, mode) <= highest
    ]
    return tuple(sorted(known, key=lambda key: (key.mode, key.fifths)))


def fifths_of(step: str, alter: int, mode: str) -> int:
    """Sharps a key on a note would have, whether or not there is such a signature."""
    return FIFTHS_OF_LETTERS[step] + 7 * alter - (MINOR_BELOW if mode == MINOR else 0)


ALL_KEYS = keys_in_fifths(-5, 6)
"""One spelling of each of the twelve major and twelve minor keys, the one with fewer signs (F# for six)."""
