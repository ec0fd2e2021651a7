"""Random short passages for properties, and short ones spelt by hand."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from gripway.model.passage import DYNAMICS, Note, Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.score.notation import read_notation

LENGTHS = (Fraction(1, 32), Fraction(1, 16), Fraction(1, 8), Fraction(1, 2))
WHOLE_MS = 2000.0
"""A whole note at 120 quarters a minute."""


def played(text: str, tempo: float = 120.0, unit: str = "1/16", fifths: int = 0) -> Passage:
    """A passage from the one-line notation."""
    return read_notation(text, Fraction(unit), tempo, fifths)


def with_ornament(passage: Passage, place: int, kind: str, other: str) -> Passage:
    """The passage with an ornament on one note, its other pitch above or below."""
    notes = list(passage.notes)
    pitch = Pitch.parse(other)
    above = pitch.number > notes[place].pitch.number
    ornament = Ornament(kind, upper=pitch if above else None, lower=None if above else pitch)
    notes[place] = replace(notes[place], ornament=ornament)
    return replace(passage, notes=tuple(notes))


@st.composite
def passages(
    draw: st.DrawFn, *, least: int = 1, most: int = 5, lowest: int = 60, highest: int = 98
) -> Passage:
    """Notes over the range, some alternating, some after rests, with dynamics, slurs and a key."""
    fifths = draw(st.integers(-6, 6))
    pitches = draw(st.lists(st.integers(lowest, highest), min_size=least, max_size=most))
    if len(pitches) >= 4 and draw(st.booleans()):
        pitches[2:4] = pitches[0:2]
    notes, onset = [], Fraction(0)
    for place, pitch in enumerate(pitches):
        length = draw(st.sampled_from(LENGTHS))
        rest = draw(st.sampled_from((Fraction(0), Fraction(0), Fraction(0), Fraction(1, 8))))
        notes.append(
            Note(
                id=f"n{place + 1}",
                bar="1",
                pitch=_spelt(pitch, draw(st.booleans())),
                onset=onset,
                length=length,
                onset_ms=float(onset) * WHOLE_MS,
                length_ms=float(length) * WHOLE_MS,
                dynamic=draw(st.sampled_from(DYNAMICS)),
                slurred=bool(place) and draw(st.booleans()),
                fifths=fifths,
            )
        )
        onset += length + rest
    return Passage(tuple(notes))


def _spelt(pitch: int, flat: bool) -> Pitch:
    """A pitch in sharps, or its B-flat as such."""
    plain = Pitch.from_number(pitch)
    return Pitch("B", -1, plain.octave) if flat and plain.plain[:2] == "A#" else plain


def barred(text: str, tempo: float, value: str = "1/16") -> Passage:
    """A line of notes with a bar a whole note, from 1."""
    line = played(text, tempo, value)
    notes = (replace(note, bar=str(note.onset // 1 + 1), at=note.onset % 1) for note in line.notes)
    return replace(line, notes=tuple(notes))
