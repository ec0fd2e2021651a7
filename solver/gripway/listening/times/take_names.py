"""What a recording holds, from its name: `G4-A4.wav`, `G4-A4 2.wav` a trill, `scale G4-G5 96.wav` a scale."""

import re
from dataclasses import dataclass

from gripway.errors import ArgumentError, RequestError
from gripway.model.pitch import Pitch, asked_pitch, plain_name
from gripway.units import quarter_ms

_NOTE = r"[A-Ga-g](?:##|#|bb|b|s)?[0-9]"
_PAIR = re.compile(rf"({_NOTE})[-_ ]+({_NOTE})(?:[-_ .(].*)?")
_SCALE = re.compile(rf"scale[-_ ]+({_NOTE})[-_ ]+({_NOTE})[-_ ]+([0-9]{{2,3}})(?:[-_ .(].*)?", re.IGNORECASE)
MAJOR = (0, 2, 4, 5, 7, 9, 11)
NOTES_A_QUARTER = 4
HOW = 'Name it after its notes: "G4-A4.wav", "G4-A4 2.wav", or "scale G4-G5 96.wav"; or say pair="G4 A4"'


@dataclass(frozen=True, slots=True)
class TrillTake:
    """A trill between two written note numbers, lower first."""

    low: int
    high: int

    @property
    def name(self) -> str:
        """`G4-A4`."""
        return f"{plain_name(self.low)}-{plain_name(self.high)}"


@dataclass(frozen=True, slots=True)
class ScaleRun:
    """A major scale up and down, four notes to a click, between two written note numbers."""

    low: int
    high: int
    quarters_per_minute: int

    @property
    def name(self) -> str:
        """`scale G4-G5`."""
        return f"scale {plain_name(self.low)}-{plain_name(self.high)}"

    @property
    def note_ms(self) -> float:
        """Time a note."""
        return quarter_ms(self.quarters_per_minute) / NOTES_A_QUARTER

    @property
    def pitches(self) -> tuple[int, ...]:
        """Written note numbers, up and down again."""
        up = [n for n in range(self.low, self.high + 1) if (n - self.low) % 12 in MAJOR]
        return (*up, *reversed(up[:-1]))


def take_named(name: str, pair: str | None = None) -> TrillTake | ScaleRun:
    """What the file of this name (without its folder) holds; `pair` says it for a name that does not.

    Raises RequestError for a name that says nothing, ArgumentError for a pair that is none.

    >>> take_named("G4-A4 2.wav").name, take_named("scale G4-G5 96.wav").note_ms
    ('G4-A4', 156.25)
    """
    if pair is not None:
        words = pair.replace("-", " ").split()
        if len(words) != 2:
            raise ArgumentError(f"{pair!r} is no pair of notes", place="pair", next_step='Write "G4 A4"')
        return _trill(_of_pair(words[0]), _of_pair(words[1]), name)
    if found := _SCALE.fullmatch(name):
        low, high = (_number(text) for text in found.groups()[:2])
        if not 4 <= high - low <= 36:
            raise RequestError("a scale goes up 4 to 36 semitones", place=name, next_step=HOW)
        tempo = int(found[3])
        if not 20 <= tempo <= 400:
            raise RequestError(f"quarter = {tempo} is no tempo", place=name, next_step=HOW)
        return ScaleRun(low, high, tempo)
    if found := _PAIR.fullmatch(name):
        return _trill(_number(found[1]), _number(found[2]), name)
    raise RequestError("the name does not say which notes are played", place=name, next_step=HOW)


def _trill(one: int, other: int, name: str) -> TrillTake:
    low, high = sorted((one, other))
    if not 0 < high - low <= 12:
        raise RequestError(
            f"{plain_name(low)} and {plain_name(high)} are no trill",
            place=name,
            next_step="Name two different notes up to an octave apart",
        )
    return TrillTake(low, high)


def _of_pair(word: str) -> int:
    """The number of a note of the pair; ArgumentError for no pitch."""
    try:
        return asked_pitch(word).number
    except RequestError as problem:
        raise ArgumentError(problem.what, place="pair", next_step=problem.next_step) from None


def _number(text: str) -> int:
    return Pitch.parse(text[0].upper() + text[1:].replace("s", "#")).number
