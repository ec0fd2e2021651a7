"""Figures: what counts as the same few notes coming again.

A **context** is the note before, the note itself, the note after, how long it is written, and its
ornament with the pitches that touches; a figure of several notes comes again where the contexts
of its notes do. Rests, bars, slurs and dynamics make no difference to it: a figure that returns
softly is still that figure. A **figure** of the search is a context in the same surroundings:
dynamic, slurs, and a tempo at most a step away. Those are what a note's grip is judged by, so
that nothing but the wider way speaks for two grips of one figure: an editor wants one. Where the
surroundings differ, two grips of a context can both be right.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.model.passage import Note, Ornament

WHOLE_NOTES_A_MINUTE = 60_000.0

Ornamented = tuple[str, int | None, int | None]


@dataclass(frozen=True, slots=True)
class Context:
    """Note numbers of the notes before, here and after (None at an end), the written length here.

    `ornament` is its kind with the note numbers of the notes above and below it touches.
    """

    before: int | None
    pitch: int
    after: int | None
    length: Fraction
    ornament: Ornamented | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """A context in its surroundings; `tempo` counts in steps, `slurred_on` is the slur to the next note."""

    context: Context
    dynamic: str
    slurred: bool
    slurred_on: bool
    grace: bool
    tempo: int


def contexts(notes: Sequence[Note]) -> tuple[Context, ...]:
    """The context of every note, in played order."""
    pitches = [None, *(note.pitch.number for note in notes), None]
    return tuple(
        Context(
            pitches[place], note.pitch.number, pitches[place + 2], note.length, _ornamented(note.ornament)
        )
        for place, note in enumerate(notes)
    )


def _ornamented(ornament: Ornament | None) -> Ornamented | None:
    if ornament is None:
        return None
    above, below = ornament.upper, ornament.lower
    return ornament.kind, above.number if above else None, below.number if below else None


def figures_of(notes: Sequence[Note], places: Iterable[int]) -> tuple[tuple[int, ...], ...]:
    """Groups of two or more of the places whose notes share a context, in playing order.

    The ends of the passage, with no note before or after them, belong to none.
    """
    about = contexts(notes)
    groups: dict[Context, list[int]] = {}
    for place in places:
        if about[place].before is not None and about[place].after is not None:
            groups.setdefault(about[place], []).append(place)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)


def figures(notes: Sequence[Note], tempo_step: float) -> tuple[Figure, ...]:
    """The figure of every note, in played order; `tempo_step` is figure_tempo of effort/figures.csv."""
    slurs = [*(note.slurred for note in notes[1:]), False]
    return tuple(
        Figure(
            context=context,
            dynamic=note.dynamic,
            slurred=note.slurred,
            slurred_on=slurred_on,
            grace=note.grace,
            tempo=_steps(note, tempo_step),
        )
        for note, context, slurred_on in zip(notes, contexts(notes), slurs, strict=True)
    )


def _steps(note: Note, tempo_step: float) -> int:
    """The tempo at a note in steps; 0 for a grace note, whose time is not written."""
    if note.length <= 0 or note.length_ms <= 0.0:
        return 0
    whole_notes = WHOLE_NOTES_A_MINUTE * float(note.length) / note.length_ms
    return round(math.log(whole_notes, tempo_step))


def first_times(notes: Iterable[Note]) -> tuple[int, ...]:
    """The indices of the notes at which each written note is played for the first time."""
    seen: dict[str, int] = {}
    for place, note in enumerate(notes):
        seen.setdefault(note.id, place)
    return tuple(seen.values())
