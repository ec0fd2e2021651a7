"""Written notes in played order: repeats unrolled, ties joined, times in milliseconds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from gripway.model.passage import Note
from gripway.score.reading.bar_positions import ZERO
from gripway.score.reading.read_notes import FERMATA, WrittenNote
from gripway.score.reading.tempo_marks import TempoMap

GRACE_MS = 80.0
"""Longest time a grace note is given, in milliseconds (judgement).

Here and not in the tables: it says how a score sounds, which readers of scores decide (DEVELOPERS.md).
"""

GRACE_SHARE = 0.5
"""Largest share of the time before the main note that its grace notes take together (judgement)."""


@dataclass(slots=True)
class PlayedNote:
    """A written note at one of its times through, ties joined.

    `index` is its place among the written notes; `onset` and `length` are whole notes in
    played order; `held` says where from its onset on notes tied to it begin, and their indices.
    """

    index: int
    written: WrittenNote
    time_through: int
    onset: Fraction
    length: Fraction
    onset_ms: float
    length_ms: float
    held: tuple[tuple[Fraction, int], ...] = ()

    @property
    def grace(self) -> bool:
        """Whether it is a grace note."""
        return self.written.grace


Timed = TypeVar("Timed", PlayedNote, Note)


def perform(
    notes: Sequence[WrittenNote], order: Sequence[int], bar_lengths: Sequence[Fraction], tempo: TempoMap
) -> list[PlayedNote]:
    """The notes as played: `order` gives bar indices, `bar_lengths` whole notes by bar index."""
    return time_graces(_join_ties(_unroll(notes, order, bar_lengths, tempo)))


def _unroll(
    notes: Sequence[WrittenNote], order: Sequence[int], bar_lengths: Sequence[Fraction], tempo: TempoMap
) -> list[PlayedNote]:
    by_bar: dict[int, list[tuple[int, WrittenNote]]] = {}
    for index, note in enumerate(notes):
        by_bar.setdefault(note.bar, []).append((index, note))
    through: dict[int, int] = {}
    # in even bars, by the ids of a place and a length: the notes hold both, and few are different
    times: dict[tuple[int, int, float], tuple[float, float]] = {}
    played = []
    start, start_ms = ZERO, 0.0
    for bar in order:
        through[bar] = through.get(bar, 0) + 1
        even = tempo.even_ms(bar)
        for index, note in by_bar.get(bar, ()):
            if note.times and through[bar] not in note.times:
                continue
            key = id(note.at), id(note.length), even
            if not even or key not in times:
                at_ms = tempo.at_ms(bar, note.at)
                times[key] = at_ms, tempo.at_ms(bar, note.at + note.length) - at_ms
            at_ms, length_ms = times[key]
            onset = start if note.at is ZERO else start + note.at
            played.append(
                PlayedNote(index, note, through[bar], onset, note.length, start_ms + at_ms, length_ms)
            )
        start += bar_lengths[bar]
        start_ms += tempo.at_ms(bar, bar_lengths[bar])
    return played


def _join_ties(played: Sequence[PlayedNote]) -> list[PlayedNote]:
    """One note of each chain of ties; a grace note or a gap between breaks the chain."""
    joined: list[PlayedNote] = []
    still_tied = False
    for note in played:
        last = joined[-1] if joined else None
        if (
            still_tied
            and last is not None
            and note.written.tie_stop
            and note.written.pitch.number == last.written.pitch.number
            and note.onset == last.onset + last.length
        ):
            joined[-1] = replace(
                last,
                written=_held_longer(last.written, note.written),
                length=last.length + note.length,
                length_ms=last.length_ms + note.length_ms,
                held=(*last.held, (last.length, note.index)),
            )
        else:
            joined.append(note)
        still_tied = note.written.tie_start
    return joined


def _held_longer(first: WrittenNote, tied: WrittenNote) -> WrittenNote:
    """The first note of a tie, with the fermata of one tied to it."""
    if FERMATA not in tied.articulations or FERMATA in first.articulations:
        return first
    return first._replace(articulations=(*first.articulations, FERMATA))


def time_graces(played: list[Timed]) -> list[Timed]:
    """Grace notes put before the beat, taking their time from the note before (or from a rest).

    At the very start there is nothing before: there they take it from the note they lead to.
    """
    result = list(played)
    first = 0
    while first < len(result):
        if not result[first].grace:
            first += 1
            continue
        after = first
        while after < len(result) and result[after].grace and result[after].onset == result[first].onset:
            after += 1
        _time_group(result, first, after)
        first = after
    return result


def _time_group(notes: list[Timed], first: int, after: int) -> None:
    """Give the grace notes `first` to `after` (exclusive) their times, in place."""
    beat_ms = notes[first].onset_ms
    before = notes[first - 1] if first else None
    room_ms = beat_ms - (before.onset_ms if before is not None else 0.0)
    if room_ms <= 0.0:
        _time_on_beat(notes, first, after)
        return
    each_ms = min(GRACE_MS, GRACE_SHARE * room_ms / (after - first))
    for place in range(first, after):
        notes[place] = replace(notes[place], onset_ms=beat_ms - (after - place) * each_ms, length_ms=each_ms)
    if before is not None and not before.grace:
        left_ms = notes[first].onset_ms - before.onset_ms
        notes[first - 1] = replace(before, length_ms=min(before.length_ms, left_ms))


def _time_on_beat(notes: list[Timed], first: int, after: int) -> None:
    """Grace notes with nothing before them: on the beat, out of the note they lead to."""
    main = notes[after] if after < len(notes) else None
    share_ms = GRACE_SHARE * main.length_ms if main is not None else GRACE_MS
    each_ms = min(GRACE_MS, share_ms / (after - first))
    for place in range(first, after):
        start_ms = notes[place].onset_ms + (place - first) * each_ms
        notes[place] = replace(notes[place], onset_ms=start_ms, length_ms=each_ms)
    if main is not None:
        taken_ms = each_ms * (after - first)
        notes[after] = replace(main, onset_ms=main.onset_ms + taken_ms, length_ms=main.length_ms - taken_ms)


def bar_lengths_of(
    own: Sequence[Fraction], others: Mapping[int, Fraction], metres: Sequence[Fraction]
) -> list[Fraction]:
    """Length of each bar: as far as the part is written, else the other parts, else the metre."""
    return [length or others.get(bar, ZERO) or metres[bar] for bar, length in enumerate(own)]
