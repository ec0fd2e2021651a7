"""What words of the one-line notation are worth: lengths, and what holds where nothing is said."""

import re
from fractions import Fraction

from gripway.errors import NotationError

DEFAULT_UNIT = Fraction(1, 16)
DEFAULT_TEMPO = 96.0
DEFAULT_DYNAMIC = "mf"

LONGEST = 64
"""Longest single note or rest, in whole notes (judgement: longer is a slip of the pen)."""

_LENGTH = re.compile(r"[0-9]{1,6}(/[0-9]{1,6})?")


def length_of(text: str, place: str) -> Fraction:
    """A note value such as 1/8 as a fraction of a whole note; NotationError when it is none."""
    try:
        length = Fraction(text) if _LENGTH.fullmatch(text) else Fraction(0)
    except ZeroDivisionError:
        length = Fraction(0)
    if not 0 < length <= LONGEST:
        raise NotationError(
            f"{text!r} is no length",
            place=place,
            next_step="Write a fraction of a whole note, such as 1/8 or 3/16",
        )
    return length
