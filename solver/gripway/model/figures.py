"""Figures: what counts as the same few notes coming again.

A **context** is the note before, the note itself, the note after, how long it is written, and its
ornament with the pitches that touches; a figure of several notes comes again where the contexts
of its notes do. Rests, bars, slurs and dynamics make no difference to it: a figure that returns
softly is still that figure. A **figure** of the search is a context in the same surroundings:
dynamic, slurs, and a tempo at most a step away. Those are what a note's grip is judged by, so
that nothing but the wider way speaks for two grips of one figure: an editor wants one. Where the
surroundings differ, two grips of a context can both be right.

The tempos at which a context comes in one part are grouped from the slowest up: one that is more
than a step above the slowest of its group begins the next. So the figures of a part depend on
nothing but its notes. Of two parts, `Nearest` says which figure of one is that of the other.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.model.passage import Note, Ornament

MOVING_ORNAMENTS = ("trill", "tremolo")

QUARTERS_A_MINUTE = 240_000.0
SAME = 1e-6
"""Share by which a tempo reckoned from milliseconds can be off."""

Ornamented = tuple[str, int | None, int | None]


@dataclass(frozen=True, slots=True)
class FigureBounds:
    """What tells figures apart, and long notes: figure_tempo_factor, sustained_ms of effort/figures.csv."""

    tempo_step: float
    sustained_ms: float


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
    """A context in its surroundings.

    `tempo` is the slowest of its group in quarters a minute (0 for grace notes, whose time is
    not written), `slurred_on` the slur to the next note.
    """

    context: Context
    dynamic: str
    slurred: bool
    slurred_on: bool
    grace: bool
    tempo: float


Surroundings = tuple[Context, str, bool, bool, bool]
"""All of a figure but its tempo, in the order of its fields."""


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


def figures(notes: Sequence[Note], tempo_step: float) -> tuple[Figure, ...]:
    """The figure of every note as played; `tempo_step` is figure_tempo_factor of effort/figures.csv."""
    slurs = [*(note.slurred for note in notes[1:]), False]
    surroundings = [
        (context, note.dynamic, note.slurred, slurred_on, note.grace)
        for note, context, slurred_on in zip(notes, contexts(notes), slurs, strict=True)
    ]
    tempos = [_tempo(note) for note in notes]
    by_surroundings: dict[Surroundings, set[float]] = {}
    for each, tempo in zip(surroundings, tempos, strict=True):
        by_surroundings.setdefault(each, set()).add(tempo)
    found = {each: _by_tempo(each, sorted(some), tempo_step) for each, some in by_surroundings.items()}
    return tuple(found[each][tempo] for each, tempo in zip(surroundings, tempos, strict=True))


def _by_tempo(surroundings: Surroundings, tempos: Sequence[float], tempo_step: float) -> dict[float, Figure]:
    """The figure at each of these tempos, from the slowest up: that of the slowest of its group."""
    context, dynamic, slurred, slurred_on, grace = surroundings
    found: dict[float, Figure] = {}
    first: Figure | None = None
    for tempo in tempos:
        if first is None or not _is_one(first.tempo, tempo, tempo_step):
            first = Figure(context, dynamic, slurred, slurred_on, grace, tempo)
        found[tempo] = first
    return found


def _tempo(note: Note) -> float:
    """Quarters a minute at a note; 0 for a grace note."""
    if note.length <= 0 or note.length_ms <= 0.0:
        return 0.0
    return round(QUARTERS_A_MINUTE * float(note.length) / note.length_ms, 3)


def _surroundings(figure: Figure) -> Figure:
    return replace(figure, tempo=0.0)


def _is_one(one: float, other: float, tempo_step: float) -> bool:
    slow, fast = sorted((one, other))
    return fast <= slow * tempo_step * (1.0 + SAME)


class Nearest:
    """Finds the figure of other parts that a figure is, by the tempos of both groups.

    It is the same surroundings at most a step in tempo away, the nearest of several, of two as
    near the slower.
    """

    def __init__(self, others: Collection[Figure], tempo_step: float) -> None:
        self.tempo_step = tempo_step
        self.tempos: dict[Figure, set[float]] = {}
        for other in others:
            self.tempos.setdefault(_surroundings(other), set()).add(other.tempo)

    def of(self, figure: Figure) -> Figure | None:
        """The other parts' figure, None where they have none."""
        near = nearest_tempo(self.tempos.get(_surroundings(figure), ()), figure.tempo, self.tempo_step)
        return None if near is None else replace(figure, tempo=near)


def nearest_tempo(tempos: Iterable[float], tempo: float, tempo_step: float) -> float | None:
    """Of the tempos at most a step away the nearest, of two as near the slower; None where there is none."""
    near = (each for each in tempos if _is_one(each, tempo, tempo_step))
    return min(near, key=lambda each: (_apart(each, tempo), each), default=None)


def _apart(one: float, other: float) -> float:
    """How many times the slower tempo the faster one is."""
    slow, fast = sorted((one, other))
    return fast / slow if slow else 1.0


def first_times(notes: Iterable[Note]) -> tuple[int, ...]:
    """The indices of the notes at which each written note is played for the first time."""
    seen: dict[str, int] = {}
    for place, note in enumerate(notes):
        seen.setdefault(note.id, place)
    return tuple(seen.values())


def written_notes(notes: Sequence[Note]) -> list[Note]:
    """The notes as written: each once, as it is played the first time."""
    return [notes[place] for place in first_times(notes)]


def figures_by_id(notes: Sequence[Note], tempo_step: float) -> dict[str, Figure]:
    """The figure of every written note, at its first time."""
    known = figures(notes, tempo_step)
    return {notes[place].id: known[place] for place in first_times(notes)}


def figure_places(
    notes: Sequence[Note], tempo_step: float, whole: Sequence[Note] | None = None
) -> Mapping[Figure, tuple[int, ...]]:
    """The indices of the notes of each figure, with every time a repeat plays them.

    `whole` are the notes of the complete part where the notes are only some bars of it, so that the
    figures at its ends and their tempos are known.
    """
    about = figures_by_id(whole or notes, tempo_step)
    places: dict[Figure, list[int]] = {}
    for place, note in enumerate(notes):
        places.setdefault(about[note.id], []).append(place)
    return {figure: tuple(found) for figure, found in places.items()}


def no_place_for_trills(note: Note, sustained_ms: float) -> bool:
    """Whether a grip meant for trills would be out of place on a note: long, and no trill."""
    moving = note.ornament is not None and note.ornament.kind in MOVING_ORNAMENTS
    return note.length_ms >= sustained_ms and not moving
