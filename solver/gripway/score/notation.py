"""The one-line notation of shell, tests and page: `key:D (F#6 G6:1/8) r tr A6 ff {C7} B6`.

Words between blanks: `PITCH[:LENGTH]`, `r[:LENGTH]` a rest, `pp p mp mf f ff` hold until changed,
`(` and `)` around slurred groups, `|` ignored. `key:D` is a key signature (each pitch still has its own
accidentals), `tr`, `mordent` and `turn` an ornament on the next note. Grace notes stand in braces, repeats
between `|:` and `:|` and endings behind `[1` and `[2`, as the ABC standard 2.1 (2011, sections 4.8, 4.9
and 4.12) has them.
"""

import math
from fractions import Fraction

from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.score.notation_values import DEFAULT_TEMPO, DEFAULT_UNIT
from gripway.score.text_line import SIGNS, TextLine


def read_notation(
    text: str, unit: Fraction = DEFAULT_UNIT, tempo: float = DEFAULT_TEMPO, fifths: int = 0
) -> Passage:
    """The passage a line of notation spells.

    `unit` is the length in whole notes of a word without one, `tempo` quarters a minute,
    `fifths` the key signature. Raises NotationError at the word that means nothing.

    >>> [note.pitch.name for note in read_notation("F#6 (G6 A6:1/8)").notes]
    ['F#6', 'G6', 'A6']
    >>> read_notation("key:D |: tr C#6 :|").notes[1].ornament.upper.name
    'D6'
    """
    if unit <= 0 or not 0 < tempo < math.inf:
        raise RequestError("unit and tempo must be above zero", next_step="Give for example 1/16 and 96")
    line = TextLine(unit, tempo, fifths)
    for number, word in enumerate(text.split(), start=1):
        for sign in SIGNS.split(word):
            line.meet(sign, f"word {number}, {word!r}")
    return line.passage()
