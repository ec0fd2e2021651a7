"""Dotted figures of the part as a teacher has them practised: even notes first, then as they are written."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.practice.cells.beat_grid import BeatGrid, has_dot
from gripway.practice.cells.short_passages import Laid, together
from gripway.route.result import RouteNote

LEAST_NOTES, MOST_NOTES = 4, 9
"""Notes of the figures with the one they arrive on."""


def is_dotted(notes: Sequence[RouteNote], first: int, last: int) -> bool:
    """Whether a dot stands among some notes, or leads to the first of them."""
    around = notes[max(0, first - 1) : last + 1]
    return any(has_dot(one.note, other.note) for one, other in pairwise(around))


def is_snap(notes: Sequence[RouteNote], first: int, last: int, grid: BeatGrid) -> bool:
    """Whether a short note stands on a beat among some notes, before a dotted one: the dot belongs to it."""
    return any(
        has_dot(other.note, one.note)
        and one.note.length < other.note.length < grid.beat
        and grid.place_of(one.note) % grid.beat == 0
        for one, other in pairwise(notes[first : last + 1])
    )


def figures_around(
    notes: Sequence[RouteNote], first: int, last: int, grid: BeatGrid
) -> tuple[int, int] | None:
    """The notes of whole beats around some, and the note on the next beat; None where these are no few notes.

    There are a few at least, where the part goes on, and no grace among them.
    """
    start, end = first, last

    def off_beat(place: int) -> bool:
        return grid.place_of(notes[place].note) % grid.beat != 0

    while off_beat(start) and together(notes, start - 1):
        start -= 1
    while (off_beat(end) or end - start + 1 < LEAST_NOTES) and together(notes, end):
        end += 1
    if off_beat(start) or off_beat(end) or end - start >= MOST_NOTES:
        return None
    graced = any(each.note.grace for each in notes[start : end + 1])
    return None if graced else (start, end)


def evened(laid: Sequence[Laid]) -> list[Laid]:
    """Notes with each dotted one and its short one alike, and a note alone in place of two of one pitch."""
    even = list(laid)
    for place, (one, other) in enumerate(pairwise(laid)):
        if has_dot(one.note.note, other.note.note) and not one.rest and place < len(laid) - 2:
            half = (one.length + other.length) / 2
            even[place], even[place + 1] = replace(one, length=half), replace(other, length=half)
    return even
