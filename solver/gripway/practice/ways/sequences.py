"""Figures that come again from bar to bar: the same rhythm, up and down in the same way."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.model.passage import Note
from gripway.practice.ways.whole_passage import bar_of, goes_on

LEAST_FIGURE = 4
"""A bar of fewer notes is no figure (judgement)."""

Shape = tuple[tuple[Fraction, int], ...]
"""Of the notes of a bar how long each is, and which way it goes to the next (-1, 0, 1)."""


def comes_again(notes: Sequence[Note], place: int) -> bool:
    """Whether a note begins a bar with the figure of the bar before it."""
    if not place or notes[place].at or not goes_on(notes, place - 1, place):
        return False
    shape = _shape(notes, place)
    return len(shape) >= LEAST_FIGURE and shape == _shape(notes, place - 1)


def is_seam(notes: Sequence[Note], place: int) -> bool:
    """Whether after a note a figure comes again, or ends after it came again."""
    after = place + 1
    if notes[after].at or notes[after].bar == notes[place].bar:
        return False
    return comes_again(notes, after) or comes_again(notes, bar_of(notes, place)[0])


def _shape(notes: Sequence[Note], place: int) -> Shape:
    first, last = bar_of(notes, place)
    within = [note for note in notes[first : last + 1] if not note.grace]
    return tuple(
        (note.length, 0 if after is None else _way(after.pitch.number - note.pitch.number))
        for note, after in zip(within, (*within[1:], None), strict=True)
    )


def _way(steps: int) -> int:
    return (steps > 0) - (steps < 0)
