"""Whether the dynamic that was printed before a note is to be told where its bars stand alone."""

from collections.abc import Sequence
from itertools import takewhile

from gripway.model.passage import CRESCENDO, DIMINUENDO, DYNAMICS, Note
from gripway.score.reading.expression_words import TEMPO, courses_of, is_growing, kind_of


def is_dynamic_told(notes: Sequence[Note], at: int) -> bool:
    """Whether the dynamic of a note is surely that of a mark before, and a help to whoever begins there.

    Not into another key or metre or behind a word of tempo; nor where the music grows on to no more than this
    dynamic, or fades to no less. Over long silence no dynamic is sure.
    """
    return notes[at].dynamic_sure and not _is_another_section(notes, at) and not _is_led_back(notes, at)


def _is_another_section(notes: Sequence[Note], at: int) -> bool:
    """Whether between the last mark before a note and the note the music pauses or begins anew."""
    for place in range(at, 0, -1):
        before, note = notes[place - 1], notes[place]
        if note.dynamic_mark:
            return False
        if (before.fifths, before.metre) != (note.fifths, note.metre):
            return True
        if any(kind_of(word) == TEMPO for word in note.words):
            return True
    return False


def _is_led_back(notes: Sequence[Note], at: int) -> bool:
    """Whether a crescendo leads from a note to no more than its own dynamic, or a diminuendo to no less."""
    after = [*takewhile(lambda note: not note.dynamic_mark, notes[at + 1 :])]
    marked = at + 1 + len(after)
    ways = [way for note in (notes[at], *after) for way in _ways(note)]
    if not ways or marked == len(notes):
        return False
    more = DYNAMICS.index(_level(notes[marked])) - DYNAMICS.index(_level(notes[at]))
    return more <= 0 if ways[0] == CRESCENDO else more >= 0


def _level(note: Note) -> str:
    """The dynamic that holds at a note, whatever mark it has for itself."""
    return note.stress.level if note.stress else note.dynamic


def _ways(note: Note) -> list[str]:
    """How the music grows or fades from a note on: its hairpins that begin there, and its words."""
    said = [word for _, word in courses_of(note)]
    begun = [hairpin.kind for hairpin in note.hairpins if hairpin.begins >= 0]
    return [*begun, *(CRESCENDO if is_growing(word) else DIMINUENDO for word in said)]
