"""The note a drone holds under a passage, and the bars in which it may: those over the tonic chord.

Only a sure tonic is held: a wrong drone teaches wrong tuning.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.practice.ways.whole_passage import bar_of, goes_on

MAJOR, MINOR = (0, 4, 7), (0, 3, 7)
"""Semitones of a chord over its root."""

TONICS = ((0, MAJOR), (9, MINOR))
"""Semitones over the major tonic of a signature, and the chord there: its major key, the relative minor."""

FIFTH = 7
"""Semitones by which a signature with one sharp more lies higher."""

TWELVE = 12

SCALE = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the notes of a signature over its major tonic."""

RAISED = (6, 8)
"""The raised sixth and seventh of its minor key."""

LOUD = ("f", "ff")
"""Over what is so loud nobody hears a drone (judgement)."""

LEADING = RAISED[-1]
"""Without it a minor key is not sure."""


@dataclass(frozen=True, slots=True)
class Drone:
    """A note without octave, as it sounds, and the first and last note of the passage it lies under."""

    name: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Bar:
    """First and last note of a bar, and how long each note of the octave sounds in it (ms)."""

    first: int
    last: int
    lengths: Counter[int]

    def holds(self, chord: frozenset[int], figures: PracticeFigures) -> bool:
        """Whether enough of the bar is notes of a chord."""
        return _time_of(self.lengths, chord) >= figures.drone_share * self.lengths.total() > 0


def drone_of(notes: Sequence[Note], figures: PracticeFigures, sounds_semitones: int = 0) -> Drone | None:
    """The tonic, with the bars over its chord that last longest; None where it is not sure.

    A bar is over the chord where at least `drone_share` of its time is notes of it; there are `drone_bars` of
    them or more. The tonic is that of the signature or of its relative minor. It is sure where its chord has
    `drone_margin_share` of their time more than that of the other of the two, in all of the passage no less;
    where the first or the last long note of the bars is it; and where no more than `drone_strange_share` of
    them is beyond the signature. A minor key has its leading note; its raised notes are not strange to it.
    """
    found: list[tuple[int, Drone]] = []
    bars = _bars_of(notes)
    everything = sum((bar.lengths for bar in bars), Counter[int]())
    major = Counter(note.fifths for note in notes).most_common(1)[0][0] * FIFTH
    for (degree, steps), (other, others) in (TONICS, TONICS[::-1]):
        root, rival = (major + degree) % TWELVE, (major + other) % TWELVE
        chord = frozenset((root + step) % TWELVE for step in steps)
        against = frozenset((rival + step) % TWELVE for step in others)
        scale = frozenset((major + step) % TWELVE for step in (*SCALE, *(RAISED if degree else ())))
        led = not degree or everything[(major + LEADING) % TWELVE]
        if not led or _time_of(everything, chord) < _time_of(everything, against):
            continue
        for run in _runs(bars, chord, notes, figures):
            lengths = sum((bar.lengths for bar in run), Counter[int]())
            total = lengths.total()
            margin = _time_of(lengths, chord) - _time_of(lengths, against)
            if (
                len(run) >= figures.drone_bars
                and margin >= figures.drone_margin_share * total
                and total - _time_of(lengths, scale) <= figures.drone_strange_share * total
                and _is_sustained(notes[run[0].first : run[-1].last + 1], figures)
                and root in _ends_of(notes[run[0].first : run[-1].last + 1])
            ):
                found.append((total, Drone(_name(notes, root, sounds_semitones), run[0].first, run[-1].last)))
    return max(found, key=lambda each: each[0])[-1] if found else None


def _is_sustained(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether notes are a line to tune: not loud, enough long ones of several pitches, hardly any rests."""
    long = [note for note in notes if note.length_ms >= figures.drone_note_ms]
    lasts = notes[-1].onset_ms + notes[-1].length_ms - notes[0].onset_ms
    sounds = sum(note.length_ms for note in notes if not note.grace)
    return (
        not any(note.dynamic in LOUD for note in notes)
        and len(long) >= figures.drone_notes
        and len({note.pitch.number for note in long}) > 1
        and sounds >= figures.drone_sound_share * lasts
    )


def _ends_of(notes: Sequence[Note]) -> set[int]:
    """The first and the last of the longer half of some notes, within the octave."""
    middle = median(note.length_ms for note in notes)
    long = [note.pitch.number % TWELVE for note in notes if note.length_ms >= middle]
    return {long[0], long[-1]}


def _runs(
    bars: Sequence[_Bar], chord: frozenset[int], notes: Sequence[Note], figures: PracticeFigures
) -> Iterator[Sequence[_Bar]]:
    """Bars over a chord, as many as follow each other."""
    place = 0
    while place < len(bars):
        end = place
        while end < len(bars) and bars[end].holds(chord, figures):
            if end > place and not goes_on(notes, bars[end - 1].last, bars[end].first):
                break
            end += 1
        if end > place:
            yield bars[place:end]
        place = max(end, place + 1)


def _bars_of(notes: Sequence[Note]) -> list[_Bar]:
    bars: list[_Bar] = []
    place = 0
    while place < len(notes):
        first, last = bar_of(notes, place)
        lengths = Counter[int]()
        for note in notes[first : last + 1]:
            lengths[note.pitch.number % TWELVE] += round(note.length_ms)
        bars.append(_Bar(first, last, lengths))
        place = last + 1
    return bars


def _time_of(lengths: Counter[int], chord: frozenset[int]) -> int:
    return sum(lengths[each] for each in chord)


def _name(notes: Sequence[Note], root: int, sounds_semitones: int) -> str:
    """The root as the part spells it; where the flute sounds other names, as it sounds."""
    if sounds_semitones % TWELVE:
        return Pitch.from_number(60 + (root + sounds_semitones) % TWELVE).name[:-1]
    return next(note.pitch.name[:-1] for note in notes if note.pitch.number % TWELVE == root)
