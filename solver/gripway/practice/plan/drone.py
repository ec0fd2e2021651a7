"""The note a drone holds under a passage, and the bars in which it may: those over one chord."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.practice.plan.whole_passage import bar_of, goes_on

MAJOR, MINOR = (0, 4, 7), (0, 3, 7)
"""Semitones of a chord over its root."""

CHORDS = ((0, MAJOR), (9, MINOR), (7, MAJOR), (5, MAJOR), (2, MINOR), (4, MAJOR))
"""Semitones over the major tonic of a signature, and the chord there: those a melody rests on in its major
and minor key, the tonics first (judgement)."""

FIFTH = 7
"""Semitones by which a signature with one sharp more lies higher."""

TWELVE = 12


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
    """The root of the chord that holds longest, with its bars; None where none holds `drone_bars` bars.

    A bar is over a chord where at least `drone_share` of its time is notes of it; the root is among them. Of
    the same bars the chord with most of their time counts, of these the nearest to the key.
    """
    found: list[tuple[int, int, int, Drone]] = []
    bars = _bars_of(notes)
    tonic = Counter(note.fifths for note in notes).most_common(1)[0][0] * FIFTH
    for rank, (degree, steps) in enumerate(CHORDS):
        root = (tonic + degree) % TWELVE
        chord = frozenset((root + step) % TWELVE for step in steps)
        for run in _runs(bars, chord, notes, figures):
            lengths = sum((bar.lengths for bar in run), Counter[int]())
            if len(run) >= figures.drone_bars and lengths[root]:
                drone = Drone(_name(notes, root, sounds_semitones), run[0].first, run[-1].last)
                found.append((lengths.total(), _time_of(lengths, chord), -rank, drone))
    return max(found, key=lambda each: each[:3])[-1] if found else None


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
