"""The note a drone holds under a passage: the tonic of its key, as it sounds."""

from collections import Counter
from collections.abc import Sequence

from gripway.model.key import ALL_KEYS, Key, keys_in_fifths
from gripway.model.passage import Note
from gripway.model.pitch import STEP_NUMBERS, Pitch

FIFTH = 7
"""Semitones of a fifth."""


def key_note(notes: Sequence[Note], sounds_semitones: int = 0) -> str:
    """The tonic of the signature's major or minor key, whichever note with its fifth lasts longer; as heard.

    Signatures change; the one most notes have counts.
    """
    fifths = Counter(note.fifths for note in notes).most_common(1)[0][0]
    lengths = Counter[int]()
    for note in notes:
        lengths[note.pitch.number % 12] += round(note.length_ms)

    def lasting(key: Key) -> int:
        tonic = STEP_NUMBERS[key.step] + key.alter
        return lengths[tonic % 12] + lengths[(tonic + FIFTH) % 12]

    key = max(keys_in_fifths(fifths, fifths), key=lasting, default=ALL_KEYS[0])
    if sounds_semitones % 12:
        return Pitch.from_number(60 + (STEP_NUMBERS[key.step] + key.alter + sounds_semitones) % 12).name[:-1]
    return key.tonic
