"""How wide notes and texts are printed, roughly, in staff spaces: enough to see what would stand in the way.

Half the length takes seven tenths of the width, as engravers space notes; a staff is seven millimetres high.
"""

from fractions import Fraction
from math import sqrt

QUARTER_SPACES = 3.5
"""What a quarter note takes of a line (judgement, after common practice of engravers)."""

NARROWEST_SPACES, WIDEST_SPACES = 1.5, 8.0
"""What the quickest note and the longest one take (judgement)."""

BAR_LINE_SPACES = 1.0
"""What a bar line takes (judgement)."""

LETTER_POINTS, POINTS_PER_SPACE = 0.5, 4.96
"""A letter's width, of its size in points, and a staff space of a staff of seven millimetres in points."""

BLANK = 0.5
"""A blank's width, of a letter's."""

MARK_POINTS, WORDS_POINTS = 8.0, 12.0
"""How large marks and other words are where nothing says it (judgement: what notation programs take)."""


def note_spaces(length: Fraction | float) -> float:
    """The width of a note or rest of a length in whole notes; a grace note has none.

    >>> note_spaces(1 / 4), note_spaces(1 / 16)
    (3.5, 1.75)
    """
    wide = QUARTER_SPACES * sqrt(4 * max(float(length), 0.0))
    return min(max(wide, NARROWEST_SPACES), WIDEST_SPACES)


def text_spaces(text: str, points: float = MARK_POINTS) -> float:
    """The width of a text, of its longest line.

    >>> round(text_spaces("T 1 3 | 2 Eb"), 1)
    7.7
    """
    letters = max((len(line) - (1 - BLANK) * line.count(" ") for line in text.splitlines()), default=0.0)
    return letters * points * LETTER_POINTS / POINTS_PER_SPACE
