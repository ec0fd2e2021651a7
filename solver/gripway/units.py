"""Hertz, cents, note numbers and milliseconds: the few conversions everybody needs.

Note numbers are those of the MIDI standard: C4 = 60, one a semitone.
"""

from fractions import Fraction

A4_NUMBER = 69
A4_HZ = 440.0
"""Tuning of A4 after ISO 16:1975, in hertz."""

CENTS_PER_OCTAVE = 1200.0

MS_PER_MINUTE = 60_000.0


def frequency_hz(number: float, a4_hz: float = A4_HZ) -> float:
    """Frequency in hertz of an equal-tempered note number.

    >>> round(frequency_hz(60), 2)
    261.63
    """
    return float(a4_hz * 2.0 ** ((number - A4_NUMBER) / 12.0))


def quarter_ms(quarters_per_minute: float) -> float:
    """Length of a quarter note in milliseconds at a tempo in quarters per minute.

    >>> quarter_ms(120)
    500.0
    """
    return MS_PER_MINUTE / quarters_per_minute


def length_ms(whole_notes: Fraction, quarters_per_minute: float) -> float:
    """Length in milliseconds of a note value given as a fraction of a whole note.

    >>> length_ms(Fraction(1, 16), 120)
    125.0
    """
    return float(whole_notes) * 4.0 * quarter_ms(quarters_per_minute)
