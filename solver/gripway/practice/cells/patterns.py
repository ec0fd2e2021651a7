"""Scales and patterns as passages: up and down through a range, in the spelling and signature of a key."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.catalog.tables.pattern_table import ANY, NONE, THIRDS, Interval, PatternKind
from gripway.model.key import ALL_KEYS, MAJOR, Key
from gripway.model.passage import Note, Passage
from gripway.model.pitch import STEP_NUMBERS, Pitch
from gripway.units import length_ms

STEPS = "CDEFGAB"
QUARTER = Fraction(1, 4)
C_MAJOR = Key("C")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern in a key through a range; `turn` is the index of the highest note, where it turns back."""

    name: str
    passage: Passage
    turn: int

    def direction(self, to: int) -> str:
        """Whether the change into a note lies on the way up or down."""
        return "up" if to <= self.turn else "down"


def pattern(
    kind: PatternKind, key: Key, lowest: int, highest: int, unit: Fraction, quarters: float
) -> Pattern | None:
    """A pattern from its lowest note in a range (note numbers) to its highest and back.

    All notes are slurred and `unit` long, the last one longer, to the end of a beat. Where the way
    down begins on another note than the way up ends on (melodic minor), there is a rest between.
    None where fewer than two of its notes lie in the range.
    """
    if kind.keys in (ANY, NONE):
        key = plain_key(key) if kind.keys == ANY else C_MAJOR
    up = _in_order(ladder(kind.up, key, lowest, highest), kind.order)
    down = _in_order(ladder(kind.down, key, lowest, highest)[::-1], kind.order)
    if len(up) < 2 or len(down) < 2:
        return None
    halves = [[*up, *down[1:]]] if down[0] == up[-1] else [up, down]
    fifths = 0 if kind.keys in (ANY, NONE) else key.fifths
    name = name_of(kind, key)
    passage = Passage(tuple(_notes(halves, fifths, unit, quarters)), title=name)
    return Pattern(name, passage, len(up) - 1)


def name_of(kind: PatternKind, key: Key) -> str:
    """`A major: arpeggio`; a pattern that belongs to no key by its first note, or by itself."""
    if kind.keys == NONE:
        return kind.title
    return f"{kind.title} on {key.tonic}" if kind.keys == ANY else f"{key.name}: {kind.title}"


def plain_key(key: Key) -> Key:
    """The major key with the fewest signs on the same note: what a pattern without a key is spelt from."""
    number = Pitch(key.step, key.alter, 4).number % 12
    majors = (other for other in ALL_KEYS if other.mode == MAJOR)
    return next(other for other in majors if Pitch(other.step, other.alter, 4).number % 12 == number)


def ladder(intervals: Iterable[Interval], key: Key, lowest: int, highest: int) -> list[Pitch]:
    """All notes of a range at these intervals above the tonic, lowest first.

    >>> from gripway.catalog.tables.pattern_table import Interval
    >>> [p.name for p in ladder([Interval.parse("M7")], Key.parse("G# minor"), 60, 72)]
    ['F##4']
    """
    found = [
        pitch
        for octave in range(-1, 10)
        for interval in intervals
        if lowest <= (pitch := above(key, octave, interval)).number <= highest
    ]
    return sorted(found, key=lambda pitch: (pitch.number, pitch.octave, STEPS.index(pitch.step)))


def above(key: Key, octave: int, interval: Interval) -> Pitch:
    """The note at an interval above a tonic of an octave, spelt by its letter."""
    tonic = Pitch(key.step, key.alter, octave)
    letter = STEPS.index(key.step) + interval.letters
    step, octave = STEPS[letter % 7], octave + letter // 7
    plain = 12 * (octave + 1) + STEP_NUMBERS[step]
    return Pitch(step, tonic.number + interval.semitones - plain, octave)


def _in_order(pitches: Sequence[Pitch], order: str) -> list[Pitch]:
    """The notes one after another, or in broken thirds: first and third, second and fourth, ..."""
    if order != THIRDS:
        return list(pitches)
    return [pitch for pair in zip(pitches, pitches[2:], strict=False) for pitch in pair]


def _notes(lines: Iterable[Sequence[Pitch]], fifths: int, unit: Fraction, quarters: float) -> Iterable[Note]:
    """The notes of slurred lines, each to the end of a beat and after a quarter's rest."""
    onset, number = Fraction(0), 0
    for line in lines:
        for place, pitch in enumerate(line):
            length = unit
            if place == len(line) - 1:
                length += -(onset + unit) % QUARTER
            number += 1
            yield Note(
                id=f"n{number}",
                bar=str(onset // 1 + 1),
                pitch=pitch,
                onset=onset,
                length=length,
                onset_ms=length_ms(onset, quarters),
                length_ms=length_ms(length, quarters),
                slurred=place > 0,
                fifths=fifths,
                at=onset % 1,
            )
            onset += length
        onset += QUARTER
