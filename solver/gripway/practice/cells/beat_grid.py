"""Beats of a metre, and the note values that divide them so that a player reads them at sight."""

from dataclasses import dataclass
from fractions import Fraction

from gripway.model.passage import Note
from gripway.model.tempo import DOTTED, Metre, written_beat

QUARTER = Fraction(1, 4)

IN_ONE = (3, 8)
"""A metre that is counted in whole bars."""

SIMPLE, COMPOUND = (1, 2, 4, 8), (1, 3, 6, 12)
"""Into how many plain values a beat of a quarter, and one of a dotted quarter, is divided."""

TUPLETS = (3, 5, 6, 7)
"""Into how many others a quarter may be divided, where the part does it."""


@dataclass(frozen=True, slots=True)
class BeatGrid:
    """Bars and beats that values are written over: `beat` and `bar` in whole notes; `metre` None: any.

    The beat is a dotted quarter in 6/8, 9/8, 12/8, the bar in 3/8, else a quarter.
    """

    metre: Metre | None
    beat: Fraction
    bar: Fraction

    @property
    def compound(self) -> bool:
        """Whether the beat falls into three."""
        return self.beat.numerator == 3

    @property
    def half_bar(self) -> Fraction:
        """Half a bar where that is whole beats, else the bar."""
        return self.bar / 2 if (self.bar / 2) % self.beat == 0 else self.bar

    def left_of_beat(self, at: Fraction) -> Fraction:
        """From a place to the end of its beat, or of its bar."""
        in_bar = at % self.bar
        return min(self.beat - in_bar % self.beat, self.bar - in_bar)

    def place_of(self, note: Note) -> Fraction:
        """Where a note stands in its bar."""
        return (note.at if note.bar else note.onset) % self.bar

    def value(self, wanted: Fraction, *, tuplets: bool = False) -> Fraction:
        """The value nearest to a length, as a ratio, of those a beat is divided into; the longer of two.

        With `tuplets` a length that divides a quarter into triplets or the like stays as it is.
        """
        if tuplets and not self.compound and wanted and self.beat / wanted in TUPLETS:
            return wanted
        plain = [self.beat / count for count in (COMPOUND if self.compound else SIMPLE)]
        return min(
            plain, key=lambda each: (max(each / wanted, wanted / each), -each) if wanted else (each, 0)
        )


ANY_METRE = BeatGrid(None, QUARTER, Fraction(1))
"""Quarters in bars of four, or of as many as a drill fills."""

COMMON_TIME = BeatGrid((4, 4), QUARTER, Fraction(1))


def grid_at(note: Note) -> BeatGrid:
    """The beats where a note stands in the part."""
    if note.metre is None:
        return ANY_METRE
    return BeatGrid(
        note.metre, Fraction(3, 8) if is_in_threes(note.metre) else QUARTER, Fraction(*note.metre)
    )


def felt_beat(metre: Metre | None) -> Fraction:
    """The beat of a metre, in quarters: that of tempo words, but the whole bar in 3/8."""
    return DOTTED if metre == IN_ONE else written_beat(metre)


def is_in_threes(metre: Metre | None) -> bool:
    """Whether the beats of a metre are dotted quarters."""
    return felt_beat(metre) == DOTTED


def has_dot(note: Note, after: Note) -> bool:
    """Whether a note is dotted, and the next is the short one that belongs to the dot."""
    return note.length.numerator == 3 and note.length == 3 * after.length
