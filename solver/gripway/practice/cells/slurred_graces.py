"""Grace notes: those without the slur that others have, and those whose place on the beat is to be asked."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.model.passage import Note, Passage, grace_groups
from gripway.score.writing.note_groups import beat_of

STEP = (1, 2)
"""Semitones of a step."""

MANY = 4
"""Of so many groups of grace notes it is asked for all where they go (judgement)."""

TRILL = "trill"
"""The ornament that may end with grace notes: these are before the beat."""


def with_slurred_graces(passage: Passage) -> Passage:
    """A passage, its unslurred grace notes slurred into their note where more of its groups are so than not.

    A slur that one of many misses is the file's slip.
    """
    notes = list(passage.notes)
    groups = list(grace_groups(notes))
    slurred = [all(notes[at].slurred for at in each[1:]) for each in groups]
    bare = [each for each in groups if not any(notes[at].slurred for at in each[1:])]
    if not bare or sum(slurred) <= len(bare):
        return passage
    for at in (at for each in bare for at in each[1:]):
        notes[at] = replace(notes[at], slurred=True)
    return replace(passage, notes=tuple(notes))


def graces_to_ask(notes: Sequence[Note]) -> tuple[int, ...]:
    """The grace notes (by index of the first of a group) that may be meant on the beat.

    Of many groups all but the endings of trills; of fewer a single one a step above a longer note on a beat.
    """
    groups = [each for each in grace_groups(notes) if notes[each[0]].time_through == 1]
    open_ones = [each for each in groups if not (each[0] and _is_trilled(notes[each[0] - 1]))]
    if len(open_ones) >= MANY:
        return tuple(each[0] for each in open_ones)
    return tuple(each[0] for each in groups if len(each) == 2 and _leans(*(notes[at] for at in each)))


def _is_trilled(note: Note) -> bool:
    return note.ornament is not None and note.ornament.kind == TRILL


def _leans(grace: Note, note: Note) -> bool:
    """Whether a grace note leans on its note: from a step above, on a beat, not short."""
    if not note.metre:
        return False
    beat = beat_of(note.metre)
    long = note.length >= beat / 2
    return grace.pitch.number - note.pitch.number in STEP and note.at % beat == 0 and long
