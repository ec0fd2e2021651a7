"""Leaps up that the air has to carry: large ones that come again and again, soft slurs that go far up."""

from collections.abc import Sequence
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.phrase_ends import BREAK_MS
from gripway.practice.ways.uneven import just_before
from gripway.practice.ways.way_conditions import QUIET
from gripway.practice.ways.whole_passage import rest_after

LEAPS = "leaps"

LARGE_SEMITONES = 9
"""A leap up is large from a sixth on (judgement)."""

STEP_SEMITONES, FAR_SEMITONES = 5, 12
"""A soft slur that goes up by fourths and more for an octave and more is a large leap, too (judgement)."""

SOFT = 3
"""Such a slur is so many times as much work: it is work where it comes once (judgement)."""


def leap_marks(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """How much work a leap up to each note is, with no rest before it."""
    found = [0] * min(1, len(notes))
    lowest = notes[0].pitch.number if notes else 0
    for place, (before, note) in enumerate(pairwise(notes), 1):
        semitones = note.pitch.number - before.pitch.number
        if not note.slurred or semitones < STEP_SEMITONES:
            lowest = before.pitch.number if note.slurred and semitones > 0 else note.pitch.number
        joined = just_before(notes, place) is not None and rest_after(notes, place - 1) <= BREAK_MS
        up = joined and note.slurred and note.dynamic in QUIET and semitones >= STEP_SEMITONES
        if up and note.pitch.number - lowest >= FAR_SEMITONES:
            found.append(SOFT)
        else:
            found.append(int(joined and semitones >= LARGE_SEMITONES))
    return found
