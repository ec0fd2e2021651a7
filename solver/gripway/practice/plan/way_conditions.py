"""For which music a way of working on it is: what tables/practice/ways.csv asks, read from the notes."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import Note

LEAST_RUN = 3
"""Changes of a run at least: a beat of sixteenths."""

UNLIKE = 1.5
"""Neighbours are unlike where one lasts so many times as long as the other."""


def suits(way: Way, notes: Sequence[Note], figures: PracticeFigures, *, hard: bool) -> bool:
    """Whether a way is for these notes; `hard`: a change among them is."""
    if way.fast and not runs(notes, figures):
        return False
    if way.quick and not runs(notes, figures, figures.study_double_ms):
        return False
    return not way.not_over & {*_found(notes, figures), *(() if hard else ("easy",))}


def runs(notes: Sequence[Note], figures: PracticeFigures, most_ms: float | None = None) -> bool:
    """Whether notes follow each other fast: within `study_fast_ms`, or so many milliseconds."""
    gaps = _gaps(notes)
    return len(gaps) >= LEAST_RUN and median(gaps) <= (most_ms or figures.study_fast_ms)


def is_slow(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether notes follow each other slowly."""
    gaps = _gaps(notes)
    return not gaps or median(gaps) > figures.study_slow_ms


def _found(notes: Sequence[Note], figures: PracticeFigures) -> Iterator[str]:
    """What there is in some notes, by the names of the table."""
    if any(note.ornament or note.grace for note in notes):
        yield "ornaments"
    if is_slow(notes, figures):
        yield "slow"
    if notes and sum(note.slurred for note in notes) > figures.study_slurred_share * len(notes):
        yield "slurred"
    if sum(one.pitch.number != other.pitch.number for one, other in pairwise(notes)) < LEAST_RUN:
        yield "still"
    lengths = [(one.length, other.length) for one, other in pairwise(notes) if one.length and other.length]
    unlike = sum(max(both) >= UNLIKE * min(both) for both in lengths)
    if lengths and unlike >= figures.study_uneven_share * len(lengths):
        yield "uneven"


def _gaps(notes: Sequence[Note]) -> list[float]:
    return [after.onset_ms - note.onset_ms for note, after in pairwise(notes)]
