"""Grace notes: those without the slur that others have, and those whose place on the beat is to be asked."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.model.passage import Note, Passage, grace_groups
from gripway.score.writing.note_groups import beat_of

STEP = (1, 2)
"""Semitones of a step."""


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
    """The single grace notes (by index) that may be meant on the beat: a step above a longer note on one."""
    return tuple(
        group[0] for group in grace_groups(notes) if len(group) == 2 and _leans(*(notes[at] for at in group))
    )


def _leans(grace: Note, note: Note) -> bool:
    """Whether a grace note leans on its note: from a step above, on a beat, not short."""
    if not note.metre or note.time_through > 1:
        return False
    beat = beat_of(note.metre)
    long = note.length >= beat / 2
    return grace.pitch.number - note.pitch.number in STEP and note.at % beat == 0 and long
