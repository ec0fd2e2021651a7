"""Short trills as the figure there is time for: its few notes and its ending, into the note it leads to."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.practice.cells.beat_grid import QUARTER, BeatGrid
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import is_ending
from gripway.practice.cells.short_passages import SHORTEST, Laid, filled, moves_on, spacing
from gripway.route.result import RouteNote

MOST_IN_ENTRY = 4
"""Notes before a trill at most that lead into it."""

STEPS = (*(Fraction(over, 48) for over in (12, 8, 6, 4, 3, 2)), SHORTEST)
"""Values of the notes of a figure, the longest first: a quarter to a 32nd, with those of triplets."""

SLURRED = True


def figures_of(notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid) -> Iterator[list[Laid]]:
    """The figure of a short trill at its place in the beat, in the longest values it has time for first.

    Its first note fills what is left of its time.
    """
    for figure in _figures(notes, cell):
        yield _on_its_beat((), figure, notes[cell.place], grid)


def led_figures_of(notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid) -> Iterator[list[Laid]]:
    """The same from the notes that run into it, as they are written; none where none do."""
    first = entry_of(notes, cell)
    run = [
        Laid(notes[at], spacing(notes, at), None if at > first else not SLURRED)
        for at in range(first, cell.place)
    ]
    if run:
        for figure in _figures(notes, cell):
            yield _on_its_beat(run, figure, notes[cell.place], grid)


def entry_of(notes: Sequence[RouteNote], cell: Cell) -> int:
    """The first of the notes, none long or before a rest, that run into a trill; else the trill itself."""
    first = cell.place
    while cell.place - first < MOST_IN_ENTRY and _runs_on(notes, first - 1):
        first -= 1
    return first


def _figures(notes: Sequence[RouteNote], cell: Cell) -> Iterator[list[Laid]]:
    """The notes of a short trill in as many values as fit into its time."""
    if cell.trill is None or not cell.trill.figure:
        return
    ending, landing = _after(notes, cell.place)
    written = [note for note in ending if not note.note.grace]
    quick = [note for note in ending if note.note.grace]
    count, time = cell.trill.figure + len(quick), notes[cell.place].note.length
    for step in STEPS:
        if count * step > time:
            continue
        first = time - (count - 1) * step
        own = [
            Laid(cell.notes[place % 2], step if place else first, SLURRED if place else None)
            for place in range(cell.trill.figure)
        ]
        laid = [*own, *(Laid(note, step, SLURRED) for note in quick)]
        laid += [Laid(note, note.note.length, SLURRED) for note in written]
        yield [*laid, *(Laid(note, QUARTER, note.note.slurred) for note in landing)]


def _after(notes: Sequence[RouteNote], place: int) -> tuple[list[RouteNote], list[RouteNote]]:
    """The ending of a trill, and the note that it or the trill leads to without a rest, if there is one."""
    written = [each.note for each in notes]
    last = place + 1
    while last < len(notes) and (written[last].grace or is_ending(written, last)):
        last += 1
    ending = [*notes[place + 1 : last]]
    if not all(note.candidate for note in ending):
        return [], []
    if last == len(notes) or not notes[last].candidate:
        return ending, []
    before = next(each for each in reversed(written[place:last]) if not each.grace)
    return ending, [notes[last]] if before.onset + before.length == written[last].onset else []


def _on_its_beat(
    lead: Sequence[Laid], figure: Sequence[Laid], trill: RouteNote, grid: BeatGrid
) -> list[Laid]:
    """A figure and what leads to it, after as much rest as stands before them in their beat."""
    before = sum((each.length for each in lead), Fraction(0))
    head, *rest = (*lead, *figure)
    wait = (grid.place_of(trill.note) - before) % grid.beat
    return filled([Laid(head.note, head.length, head.joined, wait=wait), *rest], grid)


def _runs_on(notes: Sequence[RouteNote], place: int) -> bool:
    """Whether a note goes on to another pitch at once, and is not long (nor a grace)."""
    if place < 0 or notes[place].note.grace or not moves_on(notes, place):
        return False
    return spacing(notes, place) <= notes[place].note.length <= QUARTER
