"""Ornaments in the one-line notation: the word that stands before their note, such as `tr#` or `turn/#`."""

from dataclasses import dataclass
from typing import Self

from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.score.reading.ornaments import make_ornament
from gripway.score.spelling import BarSpelling, fifths_alters

WORDS = {
    "tr": "trill", "mordent": "mordent", "inverted-mordent": "inverted-mordent",
    "turn": "turn", "inverted-turn": "inverted-turn",
}  # fmt: skip
"""Words of the notation, and what each is in MusicXML, where a mordent touches the lower note."""

ALTERS = {
    "": None, "#": 1, "♯": 1, "b": -1, "♭": -1, "n": 0, "♮": 0, "##": 2, "𝄪": 2, "bb": -2, "𝄫": -2,
}  # fmt: skip
"""What stands behind a word: the alteration of the note the ornament touches; nothing: as the key has it."""

_SIGNS = {alter: sign for sign, alter in reversed(ALTERS.items())}
_KINDS = {short + sign: (kind, alter) for short, kind in WORDS.items() for sign, alter in ALTERS.items()}


@dataclass(frozen=True, slots=True)
class OrnamentWord:
    """An ornament whose note has not come, with the alterations of what it touches where they are said."""

    kind: str
    above: int | None = None
    below: int | None = None

    @classmethod
    def parse(cls, word: str) -> Self | None:
        """What a word says; None where it is no ornament's.

        >>> OrnamentWord.parse("turn/#")
        OrnamentWord(kind='turn', above=None, below=1)
        """
        head, slash, lower = word.partition("/")
        kind, alter = _KINDS.get(head, ("", None))
        if not kind or lower not in ALTERS or (slash and not kind.endswith("turn")):
            return None
        return cls(kind, None, alter) if kind == "mordent" else cls(kind, alter, ALTERS[lower])

    def on(self, pitch: Pitch, fifths: int) -> Ornament:
        """The ornament on its note, in this key signature."""
        spelling = BarSpelling(fifths, fifths_alters(fifths))
        return make_ornament(self.kind, pitch, spelling, self.above, self.below)


def ornament_word(ornament: Ornament, pitch: Pitch, fifths: int) -> str:
    """The word that reads as this ornament on this pitch in this key; empty for a tremolo."""
    short = next((short for short, kind in WORDS.items() if kind == ornament.kind), "")
    if not short:
        return ""
    plain = OrnamentWord(ornament.kind).on(pitch, fifths)
    above, below = (
        "" if touched is None or touched == by_key else _SIGNS[touched.alter]
        for touched, by_key in ((ornament.upper, plain.upper), (ornament.lower, plain.lower))
    )
    return f"{short}{below}" if ornament.kind == "mordent" else f"{short}{above}{below and f'/{below}'}"
