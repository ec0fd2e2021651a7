"""Note values: which printed notes, tied together, last a given time at a given place of a bar."""

from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from gripway.errors import RequestError

TYPES = {
    Fraction(2) ** power: name
    for power, name in zip(
        range(3, -11, -1),
        ("maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th",
         "256th", "512th", "1024th"),
        strict=True,
    )
}  # fmt: skip
"""Note types of MusicXML by their length in whole notes, longest first."""

SHORTEST = min(TYPES)
DOTS = {0: Fraction(1), 1: Fraction(3, 2), 2: Fraction(7, 4)}
"""By how much dots lengthen a note."""

MOST_IN_TUPLET = 63
"""Largest tuplet written (judgement: beyond it no player counts)."""


@dataclass(frozen=True, slots=True)
class NoteValue:
    """One printed value: its type, dots, and the tuplet it is in (`actual` in the time of `normal`).

    `length` is how long it lasts and `base` how long its type lasts undotted outside of a
    tuplet, in whole notes.
    """

    base: Fraction
    dots: int = 0
    actual: int = 1
    normal: int = 1

    @property
    def length(self) -> Fraction:
        """Length in whole notes."""
        return self.base * DOTS[self.dots] * self.normal / self.actual

    @property
    def type(self) -> str:
        """The type's name in MusicXML."""
        return TYPES[self.base]

    @property
    def flags(self) -> int:
        """How many flags or beams it has."""
        flags = 0
        while self.base * 2**flags < Fraction(1, 4):
            flags += 1
        return flags


def values_of(at: Fraction, length: Fraction) -> list[NoteValue]:
    """Values that, tied, last `length` from the place `at` of a bar (both in whole notes).

    A value starts at a multiple of half its type, else it is cut at the strongest place inside
    it, so that beats stay visible; inside tuplets one value is taken wherever there is one.
    Raises RequestError for a length that no notes of up to MOST_IN_TUPLET in a group can write.

    >>> [value.type for value in values_of(Fraction(1, 16), Fraction(1, 4))]
    ['eighth', '16th']
    """
    actual = tuplet_of(length)
    on_the_beat = actual == 1 and is_plain(at)
    values = _cut(at, length) if on_the_beat else _in_order(length, actual)
    if actual > MOST_IN_TUPLET or sum(value.length for value in values) != length:
        raise RequestError(
            f"a length of {length} of a whole note cannot be written in notes",
            next_step="Use lengths such as 1/8, 3/16, 1/12 or 1/20, and few kinds of tuplets in a bar",
        )
    return values


def rest_values_of(at: Fraction, length: Fraction, in_threes: bool) -> list[NoteValue]:
    """Values of the rests that fill a stretch of a bar: undotted, each at a multiple of itself.

    In bars counted `in_threes`, of dotted quarters, none goes over a beat, and a dotted one fills it. Inside
    tuplets rests are as notes.

    >>> [value.type for value in rest_values_of(Fraction(1, 4), Fraction(3, 4), False)]
    ['quarter', 'half']
    """
    if not is_plain(length) or not is_plain(at):
        return values_of(at, length)
    beat = NoteValue(Fraction(1, 4), 1)
    values = []
    while length:
        start, most = at, length
        if in_threes:
            start = at % beat.length
            most = min(length, beat.length - start)
        value = beat if in_threes and most == beat.length else _longest(start, most)
        values.append(value)
        at, length = at + value.length, length - value.length
    return values


def _longest(at: Fraction, most: Fraction) -> NoteValue:
    """The longest undotted value of a time at most, at a multiple of itself."""
    return NoteValue(next(base for base in TYPES if base <= most and at % base == 0))


def _cut(at: Fraction, length: Fraction) -> list[NoteValue]:
    """Plain values, cut where the metre is strongest; fewer where a piece is too short for a note."""
    value = _exact(length)
    if value is not None and at % (value.base / 2) == 0:
        return [value]
    step = SHORTEST
    place = None
    while (found := (at // step + 1) * step) < at + length:
        place, step = found, step * 2
    if place is None:
        return []
    return _cut(at, place - at) + _cut(place, at + length - place)


def _exact(length: Fraction) -> NoteValue | None:
    """The one plain value of just this length."""
    values = (NoteValue(length / factor, dots) for dots, factor in DOTS.items())
    return next((value for value in values if value.base in TYPES), None)


def _in_order(length: Fraction, actual: int) -> list[NoteValue]:
    """Values of one tuplet (or plain ones, for `actual` 1), the longest first."""
    normal = 1 << (actual.bit_length() - 1)
    values = []
    for base, dots in product(TYPES, sorted(DOTS, reverse=True)):
        value = NoteValue(base, dots, actual, normal)
        if value.length <= length:
            values.append(value)
            length -= value.length
    return values


def tuplet_of(length: Fraction) -> int:
    """How many in a tuplet a length belongs to: 3 for a triplet, 1 for a plain length.

    >>> tuplet_of(Fraction(1, 12)), tuplet_of(Fraction(3, 8))
    (3, 1)
    """
    return length.denominator // (length.denominator & -length.denominator)


def is_plain(length: Fraction) -> bool:
    """Whether a length, or a place, needs no tuplet."""
    return tuplet_of(length) == 1
