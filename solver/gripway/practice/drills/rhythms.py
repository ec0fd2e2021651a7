"""Rhythms over a few notes, chosen so that the short step falls on the worst change."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import Rhythm
from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.short_passages import Laid, filled
from gripway.route.result import RouteNote

MOST_RHYTHMS = 3


def rhythms_for(worst: int, notes: int, rhythms: Sequence[Rhythm]) -> tuple[Rhythm, ...]:
    """Up to three rhythms that are short from note `worst` (from 0) of so many to the next.

    Those with a long note just before it come first: it gives time to get ready. Rhythms that
    run alike over so few notes count once; one without a long note before the last is none.
    """
    fitting: dict[tuple[int, ...], Rhythm] = {}
    for rhythm in rhythms:
        steps = steps_over(rhythm, notes)
        if steps[worst] == 1 and max(steps[:-1]) > 1:
            fitting.setdefault(steps[:-1], rhythm)
    ready = sorted(fitting.values(), key=lambda rhythm: steps_over(rhythm, notes)[max(0, worst - 1)] == 1)
    return tuple(ready[:MOST_RHYTHMS])


def steps_over(rhythm: Rhythm, notes: int) -> tuple[int, ...]:
    """The length of each of so many notes, in steps: the rhythm over and over.

    >>> steps_over(Rhythm("LS", (3, 1)), 5)
    (3, 1, 3, 1, 3)
    """
    return tuple(rhythm.steps[place % len(rhythm.steps)] for place in range(notes))


def in_rhythm(notes: Sequence[RouteNote], rhythm: Rhythm, step: Fraction, grid: BeatGrid) -> list[Laid]:
    """The notes in a rhythm, the last one long; where beats fall into three, LS fills three steps."""
    steps = steps_over(rhythm, len(notes))
    if grid.compound and len(rhythm.steps) == 2:
        steps = tuple(min(length, 2) for length in steps)
    laid = [Laid(note, step * length) for note, length in zip(notes, steps, strict=True)]
    return filled(laid, grid)
