"""Rhythms over a few notes, chosen so that the short step falls on the worst change."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import Rhythm
from gripway.practice.cells.beat_grid import BeatGrid
from gripway.practice.cells.short_passages import Laid, filled
from gripway.route.result import RouteNote

EIGHTH = Fraction(1, 8)

LEAST_TAIL = Fraction(3, 16)
"""A last note with less than this to the end of its beat goes on for another one (judgement)."""

SHORTER_LONG = 2
"""Steps of a long note where three go over a beat."""


def rhythms_for(worst: int, notes: int, rhythms: Sequence[Rhythm]) -> tuple[Rhythm, ...]:
    """The rhythms that are short from note `worst` (from 0) of so many to the next.

    Those with a long note just before it come first: it gives time to get ready. Rhythms that
    run alike over so few notes count once; one without a long note before the last is none.
    """
    fitting: dict[tuple[int, ...], Rhythm] = {}
    for rhythm in rhythms:
        steps = steps_over(rhythm, notes)
        if steps[worst] == 1 and max(steps[:-1]) > 1:
            fitting.setdefault(steps[:-1], rhythm)
    ready = sorted(fitting.values(), key=lambda rhythm: steps_over(rhythm, notes)[max(0, worst - 1)] == 1)
    return tuple(ready)


def steps_over(rhythm: Rhythm, notes: int) -> tuple[int, ...]:
    """The length of each of so many notes, in steps: the rhythm over and over.

    >>> steps_over(Rhythm("LS", (3, 1)), 5)
    (3, 1, 3, 1, 3)
    """
    return tuple(rhythm.steps[place % len(rhythm.steps)] for place in range(notes))


def in_rhythm(
    notes: Sequence[RouteNote], rhythm: Rhythm, step: Fraction, grid: BeatGrid
) -> Iterator[list[Laid]]:
    """The notes in a rhythm, the last one long, in the ways that keep to the beat.

    A long note is as many steps as the rhythm says, or two; where beats fall into three, LS fills three
    eighths or more, and others fill beats.
    """
    whole = (grid.beat / (step * sum(rhythm.steps))).denominator == 1
    if grid.compound and not (step >= EIGHTH if len(rhythm.steps) == 2 else whole):
        return
    steps = steps_over(rhythm, len(notes))
    shorter = tuple(min(length, SHORTER_LONG) for length in steps)
    ways = (shorter,) if grid.compound and len(rhythm.steps) == 2 else (steps, shorter)
    for way in dict.fromkeys(ways):
        laid = [Laid(note, step * length) for note, length in zip(notes, way, strict=True)]
        if _keeps_to_beat(laid, grid):
            yield filled(laid, grid, EIGHTH if grid.compound else LEAST_TAIL)


def _keeps_to_beat(laid: Sequence[Laid], grid: BeatGrid) -> bool:
    """Whether no note but the last goes over a beat (in threes: over an eighth) it does not begin on."""
    pulse = EIGHTH if grid.compound else grid.beat
    at = Fraction(0)
    for item in laid[:-1]:
        if at % pulse and at % pulse + item.length > pulse:
            return False
        at += item.length
    return True
