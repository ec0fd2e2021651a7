"""Written pitches of a bar: read from the file, or found a step away under key and accidentals."""

from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from gripway.model.pitch import Pitch
from gripway.score.xml.numerals import decimal, whole
from gripway.score.xml.xml_tree import Element

STEPS = "CDEFGAB"
SHARPS = "FCGDAEB"
"""Order in which a key signature adds sharps (flats in reverse)."""

MOST_KEY_SIGNS = 2 * len(SHARPS)
"""A double sign on every letter."""

ACCIDENTALS = {
    "sharp": 1,
    "natural": 0,
    "flat": -1,
    "double-sharp": 2,
    "sharp-sharp": 2,
    "flat-flat": -2,
    "natural-sharp": 1,
    "natural-flat": -1,
}
"""MusicXML accidental values that name a semitone alteration."""

KNOWN_PITCHES = 1024
"""So many written pitches are kept as one object each."""

_ALTERS = {"": 0, "0": 0, "1": 1, "-1": -1, "2": 2, "-2": -2}


def read_pitch(element: Element) -> tuple[Pitch | None, str]:
    """The pitch of a <pitch> element and, where no grip can play it, the problem in words.

    A microtone is rounded towards the plain letter (half a sharp reads as none), so that the
    note keeps its place; the problem says what was written. None where it is no pitch.
    """
    texts = {child.name: child.text.strip() for child in reversed(element.children)}  # the first of each name
    return _pitch_of(texts.get("step", "").upper(), texts.get("octave", ""), texts.get("alter", ""))


@lru_cache(KNOWN_PITCHES)
def _pitch_of(step: str, octave: str, alter_text: str) -> tuple[Pitch | None, str]:
    """A pitch from its three texts, as of `read_pitch`; one object for equal ones."""
    alter = Fraction(_ALTERS[alter_text]) if alter_text in _ALTERS else decimal(alter_text)
    number = whole(octave)
    if alter is None or number is None or not 0 <= number <= 9:
        return None, ""
    if step not in STEPS or len(step) != 1 or abs(alter) > 12:
        return None, ""
    rounded = int(alter)
    problem = "" if rounded == alter else f"microtone: {step}{float(alter):+g}, octave {octave}"
    if abs(rounded) > 2:
        return Pitch.from_number(Pitch(step, 0, number).number + rounded), problem
    return Pitch(step, rounded, number), problem


def key_alters(key: Element) -> tuple[int, dict[str, int]] | None:
    """A <key> as fifths (-1 = one flat) and the alteration of each letter it changes.

    None for one that no music has: more than two signs a letter, or what is no number of signs.
    """
    text = key.text_of("fifths")
    if text:
        fifths = whole(text)
        return None if fifths is None or abs(fifths) > MOST_KEY_SIGNS else (fifths, fifths_alters(fifths))
    alters = {}
    for step, alter in zip(key.all("key-step"), key.all("key-alter"), strict=False):
        letter, sign = step.text.strip(), _ALTERS.get(alter.text.strip())
        if letter not in tuple(STEPS) or sign is None:
            return None
        alters[letter] = sign
    return sum(alters.values()), alters


def fifths_alters(fifths: int) -> dict[str, int]:
    """Letters altered by a key signature: {"F": 1, "C": 1} for two sharps."""
    alters: dict[str, int] = {}
    order, sign = (SHARPS, 1) if fifths > 0 else (SHARPS[::-1], -1)
    for place in range(abs(fifths)):
        letter = order[place % 7]
        alters[letter] = alters.get(letter, 0) + sign
    return alters


@dataclass(slots=True)
class BarSpelling:
    """Key and the accidentals met so far in one bar."""

    fifths: int = 0
    key: dict[str, int] = field(default_factory=dict)
    met: dict[tuple[str, int], int] = field(default_factory=dict)

    def meet(self, pitch: Pitch) -> None:
        """Remember a note's alteration for the rest of the bar."""
        self.met[pitch.step, pitch.octave] = pitch.alter

    def neighbour(self, pitch: Pitch, direction: int, alter: int | None = None) -> Pitch:
        """The next letter up (+1) or down (-1).

        Its alteration is the one given, else that of an earlier note of the bar on the same
        line or space, else the key's.
        """
        place = STEPS.index(pitch.step) + direction
        step, octave = STEPS[place % 7], pitch.octave + place // 7
        if alter is None:
            alter = self.met.get((step, octave), self.key.get(step, 0))
        return Pitch(step, max(-2, min(2, alter)), octave)
