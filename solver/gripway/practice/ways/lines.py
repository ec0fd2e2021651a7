"""The lines of a passage that sing: notes that are long or slurred, from rest to rest."""

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.way_conditions import QUIET, SHORT, is_sung
from gripway.practice.ways.whole_passage import bars_of, goes_on, is_apart, rest_after

SOUND_SHARE = 0.6
"""What sounds for less of its time is no line (judgement)."""

SHORT_SHARE = 0.7
"""What has more tongued notes that are quick or staccato is no line (judgement)."""

MOVES_SHARE = 1 / 3
"""Where no more steps go to another note there is no line (judgement)."""

NEAR_FIRST = 0.3
"""A line with less song in it than so much of the first one is left out (judgement)."""

LONG_NOTE = 2
"""A note that lasts so many times as long as most may end a phrase (judgement)."""

TRILL_MS = 800.0
"""A trill as long as this is no part of a line that sings (judgement)."""

Ends = tuple[int, int]
"""First and last note."""

LEAST_NOTES = 4
"""Fewer notes are no line (judgement)."""

LEAST_BARS = 4
"""A long line is not parted so that a part has fewer bars (judgement)."""


def singing_lines(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Ends, ...]:
    """The lines in which notes sing for `line_share` of the time, exposed ones first, then the longest.

    Exposed is what is soft for the most part, or bears a word of song.
    """
    found: list[Ends] = []
    met: set[str] = set()
    for run in _runs(notes, figures):
        written = {note.id for note in notes[run[0] : run[1] + 1]}
        if not written & met:
            found += (part for part in _parted(notes, run, figures) if _sings(notes, part, figures))
        met |= written

    def exposed(ends: Ends) -> tuple[bool, float, int]:
        within = notes[ends[0] : ends[1] + 1]
        soft = 2 * sum(note.dynamic in QUIET for note in within) > len(within)
        return not (soft or is_sung(within)), -sum(_sung(within, figures)), ends[0]

    found.sort(key=exposed)
    return tuple(ends for ends in found if exposed(ends)[1] <= NEAR_FIRST * exposed(found[0])[1])


def _runs(notes: Sequence[Note], figures: PracticeFigures) -> list[Ends]:
    """The notes from long rest to long rest; a long trill parts a line, too."""

    def parts(place: int) -> bool:
        trilled = (each for each in notes[place : place + 2] if each.ornament)
        return is_apart(notes, place, figures) or any(each.length_ms >= TRILL_MS for each in trilled)

    cuts = [place + 1 for place in range(len(notes) - 1) if parts(place)]
    return [(first, last - 1) for first, last in zip((0, *cuts), (*cuts, len(notes)), strict=True) if last]


def _parted(notes: Sequence[Note], ends: Ends, figures: PracticeFigures) -> list[Ends]:
    """A line in parts of `line_most_bars` at most, cut near the middle where a phrase begins.

    That is after a rest for a breath, after a long note, or where a slur begins after another.
    """
    first, last = ends
    if len(bars_of(notes, first, last)) <= figures.line_most_bars:
        return [ends]
    middle = (notes[first].onset + notes[last].onset) / 2
    long_ms = LONG_NOTE * median(note.length_ms for note in notes[first : last + 1])
    cuts = [
        place
        for place in range(first + 1, last + 1)
        if _begins(notes, place, long_ms, figures)
        and min(len(bars_of(notes, first, place - 1)), len(bars_of(notes, place, last))) >= LEAST_BARS
    ]
    if not cuts:
        return [ends]

    def cost(place: int) -> tuple[bool, bool, object]:
        far = abs(notes[place].onset - middle)
        short = notes[place - 1].length_ms < long_ms
        return rest_after(notes, place - 1) < figures.breath_rest_ms, short, far

    cut = min(cuts, key=cost)
    return [*_parted(notes, (first, cut - 1), figures), *_parted(notes, (cut, last), figures)]


def _begins(notes: Sequence[Note], place: int, long_ms: float, figures: PracticeFigures) -> bool:
    """Whether a phrase may begin at a note."""
    before, note = notes[place - 1], notes[place]
    if note.slurred or note.grace or before.grace:
        return False
    slur = before.slurred and place + 1 < len(notes) and notes[place + 1].slurred
    return slur or before.length_ms >= long_ms or rest_after(notes, place - 1) >= figures.breath_rest_ms


def _sings(notes: Sequence[Note], ends: Ends, figures: PracticeFigures) -> bool:
    """Whether there is enough that sings and moves, little else, and no more rest than sound."""
    within = notes[ends[0] : ends[1] + 1]
    played = sum(not note.grace for note in within)
    sounding_ms = sum(note.length_ms for note in within)
    lasts_ms = within[-1].onset_ms + within[-1].length_ms - within[0].onset_ms
    if played < LEAST_NOTES or sounding_ms < SOUND_SHARE * lasts_ms:
        return False
    moves = sum(one.pitch.number != other.pitch.number for one, other in pairwise(within))
    if moves <= MOVES_SHARE * (len(within) - 1):
        return False
    short = sum(_is_short(note, figures) for note in within)
    return (
        short <= SHORT_SHARE * len(within) and sum(_sung(within, figures)) >= figures.line_share * sounding_ms
    )


def _is_short(note: Note, figures: PracticeFigures) -> bool:
    quick = note.length_ms < figures.study_fast_ms
    return not note.slurred and (quick or bool(SHORT & {*note.articulations}))


def _sung(within: Sequence[Note], figures: PracticeFigures) -> list[float]:
    """How long each note sounds (ms) that sings: no quick one, no staccato, or slurred and not very quick."""
    found = []
    for place, note in enumerate(within):
        if note.grace or note.ornament or note.strokes or SHORT & {*note.articulations}:
            continue
        after = within[place + 1] if place + 1 < len(within) and goes_on(within, place, place + 1) else None
        slurred = note.slurred or (after is not None and after.slurred)
        if note.length_ms >= (figures.study_singing_ms if slurred else figures.study_fast_ms):
            found.append(note.length_ms)
    return found
