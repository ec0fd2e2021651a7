"""Written pitch: a letter, an alteration and an octave, spelt as the composer spelt it."""

import re
from dataclasses import dataclass, field
from operator import index
from typing import Self, SupportsIndex

from gripway.errors import RequestError, check_kind
from gripway.model.pitch_names import english_name

STEP_NUMBERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
"""Semitones of each letter above C."""

ALTER_TEXT = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}

PLAIN_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
"""One name a semitone: the names the grip tables are keyed by."""

_PITCH = re.compile(r"([A-Ga-g])(##|#|x|bb|b|♮|)(-?[0-9])")
_ALTERS = {"": 0, "♮": 0, "#": 1, "##": 2, "x": 2, "b": -1, "bb": -2}
_PRINTED = str.maketrans({"♯": "#", "♭": "b", "𝄪": "##", "𝄫": "bb"})
"""Signs as music prints them, and as they are typed."""


class NotAPitchError(ValueError):
    """A text that is no pitch: `what` is wrong and the `next_step`, as an error of ours tells them.

    `english` is what it is in English where it is a German, Helmholtz or solfege name, else empty.
    """

    def __init__(self, text: str) -> None:
        self.english = english = english_name(text)
        self.what = f"{text!r} is not a pitch"
        self.next_step = (
            f"In English it is {english}" if english else "Write a letter, # or b, and an octave: F#6, Bb5"
        )
        super().__init__(f"{self.what}; {self.next_step[0].lower()}{self.next_step[1:]}")


@dataclass(frozen=True, slots=True)
class Pitch:
    """A written pitch, for example Pitch("B", -1, 5) for Bb5.

    `step` is a letter A..G, `alter` semitones (-2..2), `octave` counts as in C4 = middle C.
    """

    step: str
    alter: int
    octave: int
    number: int = field(init=False, compare=False, repr=False)
    """Note number, C4 = 60: what the fingers need, whatever the spelling."""

    def __post_init__(self) -> None:
        if self.step not in STEP_NUMBERS or self.alter not in ALTER_TEXT:
            raise ValueError(f"no such pitch: {self.step!r} altered by {self.alter!r}")
        number = 12 * (self.octave + 1) + STEP_NUMBERS[self.step] + self.alter
        object.__setattr__(self, "number", number)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a pitch such as F#6, Bb5, Fx6 or Ebb4, with printed signs too; NotAPitchError when it is none.

        >>> import gripway
        >>> gripway.Pitch.parse("B♭5").plain
        'A#5'
        """
        match = _PITCH.fullmatch(text.strip().translate(_PRINTED))
        if match is None:
            raise NotAPitchError(text)
        return cls(match[1].upper(), _ALTERS[match[2]], int(match[3]))

    @classmethod
    def from_number(cls, number: int) -> Self:
        """The plain (sharp) spelling of a note number, C4 = 60.

        >>> import gripway
        >>> gripway.Pitch.from_number(82).name
        'A#5'
        """
        name = PLAIN_NAMES[number % 12]
        return cls(name[0], len(name) - 1, number // 12 - 1)

    @property
    def name(self) -> str:
        """The pitch as spelt: Bb5, F#6."""
        return f"{self.step}{ALTER_TEXT[self.alter]}{self.octave}"

    @property
    def plain(self) -> str:
        """The name the grip tables use: sharps only, A#5 for Bb5."""
        return plain_name(self.number)

    def __str__(self) -> str:
        return self.name

    def __repr__(self) -> str:
        return f"Pitch.parse({self.name!r})"


def plain_name(number: int) -> str:
    """Table name of a note number: 82 is A#5."""
    return f"{PLAIN_NAMES[number % 12]}{number // 12 - 1}"


MOST = 127
"""The highest note number there is (MIDI)."""


def asked_pitch(given: Pitch | str | SupportsIndex, place: str = "") -> Pitch:
    """The pitch of a text or a note number (C4 is 60), or itself.

    RequestError, with the English name of a German one, for no pitch.
    """
    if isinstance(given, Pitch):
        return given
    if isinstance(given, SupportsIndex):
        if not 0 <= (number := index(given)) <= MOST:
            raise RequestError(
                f"{number} is no note number", place=place, next_step=f"Give 0 to {MOST}: C4 is 60"
            )
        return Pitch.from_number(number)
    check_kind(given, str, "pitch", 'Give a name or a note number: "F#6", 90')
    try:
        return Pitch.parse(given)
    except NotAPitchError as problem:
        raise RequestError(problem.what, place=place, next_step=problem.next_step) from None
