"""The run a hard change stands in: its fast notes, and the note they arrive on."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.short_passages import spacing, together
from gripway.route.result import RouteNote

LEAST_NOTES, MOST_NOTES = 6, 9
"""Notes of a run with the one it arrives on: fewer are met with the change itself, more are two runs."""

AS_FAST = Fraction(3, 2)
"""What comes no later than so many times the time of the hard change belongs to its run (judgement)."""

ENDINGS = (2, 3, 5, MOST_NOTES)
"""Of how many of its last notes a run is built up."""


def run_around(notes: Sequence[RouteNote], place: int, grid: BeatGrid) -> tuple[int, int] | None:
    """First and last note of the run in which the change to a note stands; None where it stands in none.

    It ends on the first note after the change that is on a beat, or where the run itself ends.
    """
    longest = AS_FAST * spacing(notes, place - 1)

    def goes_on(at: int) -> bool:
        plain = not any(each.note.grace or each.note.ornament for each in notes[at : at + 2])
        moves = together(notes, at) and notes[at].note.pitch.number != notes[at + 1].note.pitch.number
        return plain and moves and spacing(notes, at) <= longest

    last = place
    while goes_on(last) and grid.place_of(notes[last].note) % grid.beat:
        last += 1
    first = place
    while last - first < MOST_NOTES - 1 and first and goes_on(first - 1):
        first -= 1
    return (first, last) if last - first >= LEAST_NOTES - 1 and first < place else None


def endings(first: int, last: int) -> list[tuple[int, int]]:
    """The last notes of a run, more each time, up to all.

    >>> endings(10, 15)
    [(14, 15), (13, 15), (11, 15), (10, 15)]
    """
    whole = last - first + 1
    return [(last + 1 - size, last) for size in (*(size for size in ENDINGS if size < whole), whole)]
