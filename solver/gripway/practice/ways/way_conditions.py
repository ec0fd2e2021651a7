"""For which music a way of working on it is: what tables/practice/ways.csv asks, read from the notes."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import Note
from gripway.practice.cells.beat_grid import felt_beat, is_in_threes

QUIET = ("p", "pp", "ppp")
"""Dynamics of a quiet line."""

EXPRESSIVE = ("espr", "dolce", "dolciss", "cant")
"""How words of a singing line begin: espressivo, dolce, cantabile."""

SHORT = frozenset({"staccato", "staccatissimo", "spiccato"})
"""Marks of short notes."""

EIGHTH_NOTE, SIXTEENTH_NOTE = Fraction(1, 8), Fraction(1, 16)

LEAST_RUN = 3
"""Changes of a run at least: a beat of sixteenths."""


def suits(way: Way, notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether a way is for these notes."""
    if way.fast and not runs(notes, figures):
        return False
    if way.quick and not runs(notes, figures, figures.study_double_ms):
        return False
    if way.triplets and not is_triplets(notes, figures):
        return False
    return not way.not_over & {*_found(notes, figures)}


def runs(notes: Sequence[Note], figures: PracticeFigures, most_ms: float | None = None) -> bool:
    """Whether notes follow each other fast: within `study_fast_ms`, or so many milliseconds."""
    gaps = _gaps(notes)
    return len(gaps) >= LEAST_RUN and median(gaps) <= (most_ms or figures.study_fast_ms)


def is_slow(notes: Sequence[Note], figures: PracticeFigures, least_ms: float | None = None) -> bool:
    """Whether notes follow each other slowly: later than `study_slow_ms`, or so many milliseconds."""
    gaps = _gaps(notes)
    return not gaps or median(gaps) > (least_ms or figures.study_slow_ms)


def is_singing(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether notes are a quiet line: p or softer, most of them slurred, and not quick."""
    if not notes or not is_slurred(notes, figures):
        return False
    gaps = _gaps(notes)
    quick = bool(gaps) and median(gaps) < figures.study_singing_ms
    return not quick and is_quiet(notes)


def is_slurred(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether most of the notes are slurred to the one before."""
    return sum(note.slurred for note in notes) > figures.study_slurred_share * len(notes)


def is_triplets(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether most of the notes stand in threes: triplets, or the eighths of 6/8 and its like."""
    threes = sum(
        note.length.denominator % 3 == 0 or (note.length == EIGHTH_NOTE and is_in_threes(note.metre))
        for note in notes
    )
    return threes > figures.study_slurred_share * len(notes)


def is_detached(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether quick tongued notes are much of the music."""
    quick = sum(
        not after.slurred and after.onset_ms - note.onset_ms <= figures.study_tongue_ms
        for note, after in pairwise(notes)
    )
    return quick >= LEAST_RUN and quick > figures.study_tongued_share * len(notes)


def is_quiet(notes: Sequence[Note]) -> bool:
    """Whether all notes are p or softer."""
    return bool(notes) and all(note.dynamic in QUIET for note in notes)


def is_held(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether most of the time of some notes is long notes or rests.

    The others are notes after which the next comes soon, with no longer rest than the note itself.
    """
    moving = 0.0
    for note, after in pairwise(notes):
        gap = after.onset_ms - note.onset_ms
        if gap <= min(figures.study_slow_ms, 2 * note.length_ms):
            moving += gap
    return len(notes) > 1 and moving < figures.study_moving_share * (notes[-1].onset_ms - notes[0].onset_ms)


def is_expressive(notes: Sequence[Note]) -> bool:
    """Whether notes are soft, or a word of song holds over them."""
    return is_sung(notes) or any(note.dynamic in QUIET for note in notes)


def is_sung(notes: Sequence[Note]) -> bool:
    """Whether a word of song holds over some notes."""
    words = (word.lower() for note in notes for word in (*note.manner, *note.words))
    return any(word.startswith(EXPRESSIVE) for text in words for word in text.split())


def is_dotted(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether dotted notes with quick short ones after them are the rhythm of many notes."""
    pairs = [(one, other) for one, other in pairwise(notes) if one.length and other.length]
    dotted = sum(is_quick_dot(one, other, figures) for one, other in pairs)
    return bool(pairs) and dotted >= figures.study_dotted_share * len(pairs)


def is_quick_dot(note: Note, short: Note, figures: PracticeFigures) -> bool:
    """Whether a note, or what is tied to it, is dotted, and the short one quick: a sixteenth at most."""
    beat = felt_beat(note.metre) / 4
    dotted = 3 * short.length in (note.length, note.length % beat) and short.length > 0
    quick = short.length_ms <= figures.study_fast_ms
    return dotted and quick and short.length <= min(beat / 4, SIXTEENTH_NOTE)


def _found(notes: Sequence[Note], figures: PracticeFigures) -> Iterator[str]:
    """What there is in some notes, by the names of the table."""
    if any(note.ornament or note.grace for note in notes):
        yield "ornaments"
    if notes and is_slurred(notes, figures):
        yield "slurred"
    if is_triplets(notes, figures):
        yield "triplets"
    if is_held(notes, figures):
        yield "held"
    moves = sum(one.pitch.number != other.pitch.number for one, other in pairwise(notes))
    if moves < LEAST_RUN:
        yield "still"
    if moves <= figures.study_moves_share * (len(notes) - 1):
        yield "repeats"


def _gaps(notes: Sequence[Note]) -> list[float]:
    return [after.onset_ms - note.onset_ms for note, after in pairwise(notes)]
