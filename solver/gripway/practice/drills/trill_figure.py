"""Short trills as the figure there is time for: few even notes with the ending, into the note after it."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.beat_grid import QUARTER, BeatGrid
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import is_ending
from gripway.practice.cells.short_passages import SHORTEST, Laid, filled, moves_on, spacing
from gripway.route.result import RouteNote
from gripway.score.writing.note_values import tuplet_of
from gripway.units import length_ms

MOST_IN_ENTRY = 4
"""Notes before a trill at most that lead into it."""

STEPS = (*(Fraction(over, 48) for over in (12, 8, 6, 4, 3, 2)), SHORTEST)
"""Values of the notes of a figure, the longest first: a quarter to a 32nd, with those of triplets."""

TUPLETS = (1, 3, 5, 7)
"""Even notes of a figure are plain ones, or triplets, quintuplets, septuplets of plain ones."""

LEAST_NOTES = 3
"""Notes of the shake at least: its own, the upper one, its own."""

SLURRED = True


def figures_of(
    notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid, figures: PracticeFigures
) -> Iterator[list[Laid]]:
    """The figure of a short trill at its place in the beat, even with its ending over its time first.

    Then in the longest values it has time for, where its first note fills what is left. None is faster than
    `trill_most_notes_a_second`: there are fewer shakes then, at last no ending, but one shake always.
    """
    for figure in _figures(notes, cell, figures):
        yield _on_its_beat((), figure, notes[cell.place], grid)


def led_figures_of(
    notes: Sequence[RouteNote], cell: Cell, grid: BeatGrid, figures: PracticeFigures
) -> Iterator[list[Laid]]:
    """The same from the notes that run into it, as they are written; none where none do."""
    first = entry_of(notes, cell)
    run = [
        Laid(notes[at], spacing(notes, at), None if at > first else not SLURRED)
        for at in range(first, cell.place)
    ]
    if run:
        for figure in _figures(notes, cell, figures):
            yield _on_its_beat(run, figure, notes[cell.place], grid)


def entry_of(notes: Sequence[RouteNote], cell: Cell) -> int:
    """The first of the notes, none long or before a rest, that run into a trill; else the trill itself."""
    first = cell.place
    while cell.place - first < MOST_IN_ENTRY and _runs_on(notes, first - 1):
        first -= 1
    return first


def _figures(notes: Sequence[RouteNote], cell: Cell, figures: PracticeFigures) -> Iterator[list[Laid]]:
    """The notes of a short trill in as many values as fit into its time, and into the note it leads to."""
    if cell.trill is None or not cell.trill.figure:
        return
    least_ms = 1000 / figures.trill_most_notes_a_second
    ending, landing = _after(notes, cell.place)
    written = [note for note in ending if not note.note.grace]
    kept = [note for note in written if length_ms(note.note.length, cell.quarters) >= least_ms]
    if len(kept) < len(written):
        kept = []  # too fast as written: even with the shake
    quick = [note for note in ending if note not in kept]
    for line, steps in _shaken(cell, quick, _time_of([notes[cell.place], *quick]), least_ms):
        laid = [
            Laid(note, step, SLURRED if place else None)
            for place, (note, step) in enumerate(zip(line, steps, strict=True))
        ]
        laid += [Laid(note, note.note.length, SLURRED) for note in kept]
        yield [*laid, *(Laid(note, QUARTER, note.note.slurred) for note in landing)]


def _shaken(
    cell: Cell, quick: Sequence[RouteNote], time: Fraction, least_ms: float
) -> Iterator[tuple[list[RouteNote], list[Fraction]]]:
    """The notes of a shake with the `quick` ones of its ending, and their lengths: the most notes first."""
    most = cell.trill.figure if cell.trill else LEAST_NOTES
    shapes = [*((count, quick) for count in range(most, LEAST_NOTES - 1, -2)), (LEAST_NOTES, ())]
    ways = [
        ([*(cell.notes[place % 2] for place in range(count)), *tail], steps)
        for count, tail in shapes
        for steps in _steps(count + len(tail), time)
    ]
    slow = [way for way in ways if length_ms(min(way[1]), cell.quarters) >= least_ms]
    yield from slow or ways[-len([*_steps(LEAST_NOTES, time)]) :]


def _time_of(notes: Sequence[RouteNote]) -> Fraction:
    """What notes last together, grace notes nothing."""
    return sum((note.note.length for note in notes if not note.note.grace), Fraction(0))


def _steps(count: int, time: Fraction) -> Iterator[list[Fraction]]:
    """Lengths of so many notes in a time: even where that is written, then the first the longest."""
    even = time / count
    if even.numerator == 1 and tuplet_of(even) in TUPLETS:
        yield [even] * count
    for step in STEPS:
        if count * step < time:
            yield [time - (count - 1) * step] + [step] * (count - 1)


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
