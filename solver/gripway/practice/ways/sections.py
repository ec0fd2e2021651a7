"""The pieces in which a way of working goes through a passage, and which of them a day takes."""

from collections.abc import Iterable, Sequence

from gripway.model.passage import Note
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

SECTION_BARS = 2
"""Bars of a section: two are what a player keeps in mind (common practice)."""

LONG_REST_MS = 4000.0
"""Sections are not played over a rest as long as this: they begin and end with music (judgement)."""

PHRASE_MORE = 1.5
"""A phrase is not cut that has no more than so many times the pieces there is time for (judgement)."""

LEAST_NOTES = 8
"""A phrase with fewer notes between long rests is no work by itself (judgement)."""

Piece = tuple[int, int]
"""First and last note of a bar."""


def pieces(notes: Sequence[Note]) -> list[Piece]:
    """The bars of a passage, each written bar once."""
    found: list[Piece] = []
    met: set[str] = set()
    place = 0
    while place < len(notes):
        first, last = bar_of(notes, place)
        if notes[first].id not in met:
            found.append((first, last))
        met.update(note.id for note in notes[first : last + 1])
        place = last + 1
    return found


def piece_of(bars: Sequence[Piece], place: int, notes: Sequence[Note]) -> int:
    """Which of the pieces has a note, or the same written note of another time through."""
    written = notes[place].id
    there = (
        number
        for number, (first, last) in enumerate(bars)
        if any(note.id == written for note in notes[first : last + 1])
    )
    return next(there, 0)


def run_of(
    left: Sequence[int],
    wanted: int,
    count: int,
    bars: Sequence[Piece],
    notes: Sequence[Note],
    *,
    backward: bool = False,
) -> tuple[int, ...]:
    """So many neighbours at most among the pieces that are left, that one among them which is wanted.

    They are cut from the first one on, `backward` from the last, so that the days go on from each other;
    where the wanted one is done, it is the first of them, `backward` the last. Pieces that are not played
    one after another, or with a long rest between them, are in no run together, unless one side of the rest
    has too few notes to be a run. No run has fewer than `LEAST_NOTES` where there are more.
    """
    joined = _joined(left, bars, notes)
    if wanted in left:
        run = next(each for each in joined if wanted in each)
    else:
        run = joined[-1] if backward else joined[0]
    parts = _by_phrase(run, bars, notes)
    here = next((at for at, part in enumerate(parts) if wanted in part), len(parts) - 1 if backward else 0)
    if len(parts) > 1 and len(parts[here]) <= PHRASE_MORE * count:
        return _whole_phrases(parts, here, count, backward=backward)
    run = parts[here]
    if backward:
        return _with_notes(run[::-1], count, bars, notes)[::-1]
    begin = run.index(wanted) // count * count if wanted in run else 0
    while begin and not _has_notes(run[begin:], bars, notes):
        begin -= 1
    found = _with_notes(run[begin:], count, bars, notes)
    rest = run[begin + len(found) :]
    return found if _has_notes(rest, bars, notes) or not rest else (*found, *rest)


def _by_phrase(run: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]) -> list[tuple[int, ...]]:
    """The pieces of a run in phrases: from rest to rest, or to another metre; few notes go with others."""
    found: list[list[int]] = []
    for number in run:
        first = bars[number][0]
        if not found or (_begins_phrase(notes, first) and _has_notes(found[-1], bars, notes)):
            found.append([number])
        else:
            found[-1].append(number)
    if len(found) > 1 and not _has_notes(found[-1], bars, notes):
        found[-2:] = [[*found[-2], *found[-1]]]
    return [tuple(part) for part in found]


def _begins_phrase(notes: Sequence[Note], place: int) -> bool:
    """Whether a note comes after a rest of a beat or more, or with another metre."""
    before, note = notes[place - 1], notes[place]
    rest = note.onset - before.onset - before.length
    return rest >= felt_beat(note.metre) / 4 or note.metre != before.metre


def _whole_phrases(
    parts: Sequence[tuple[int, ...]], here: int, count: int, *, backward: bool
) -> tuple[int, ...]:
    """A phrase, with those after it, `backward` before it, that go into so many pieces together."""
    found = parts[here]
    for part in reversed(parts[:here]) if backward else parts[here + 1 :]:
        if len(found) + len(part) > count:
            break
        found = (*part, *found) if backward else (*found, *part)
    return found


def phrases(bars: Sequence[Piece], notes: Sequence[Note]) -> list[tuple[int, ...]]:
    """The pieces between long rests that have notes enough to be worked on by themselves."""
    runs = _parted(range(len(bars)), bars, notes)
    return [tuple(run) for run in runs if _has_notes(run, bars, notes)]


def _with_notes(
    run: Sequence[int], count: int, bars: Sequence[Piece], notes: Sequence[Note]
) -> tuple[int, ...]:
    """So many of the first pieces, and more until they have notes enough."""
    while count < len(run) and not _has_notes(run[:count], bars, notes):
        count += 1
    return tuple(run[:count])


def _has_notes(run: Iterable[int], bars: Sequence[Piece], notes: Sequence[Note]) -> bool:
    """Whether pieces have notes enough, graces not counted."""
    return sum(not note.grace for at in run for note in notes[bars[at][0] : bars[at][1] + 1]) >= LEAST_NOTES


def _joined(left: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]) -> list[tuple[int, ...]]:
    """The pieces in runs that are played one after another; a run of few notes goes with its neighbour."""
    found: list[list[int]] = []
    for run in _parted(left, bars, notes):
        few = found and not (_has_notes(run, bars, notes) and _has_notes(found[-1], bars, notes))
        if few and goes_on(notes, bars[found[-1][-1]][1], bars[run[0]][0]):
            found[-1] += run
        else:
            found.append(run)
    return [tuple(run) for run in found]


def _parted(left: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]) -> list[list[int]]:
    """The pieces in runs that are played one after another, without a long rest."""
    runs: list[list[int]] = []
    for number in sorted(left):
        if runs and runs[-1][-1] == number - 1 and _follows(bars[number - 1], bars[number], notes):
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def _follows(one: Piece, other: Piece, notes: Sequence[Note]) -> bool:
    joined = other[0] == one[1] + 1 and goes_on(notes, one[1], other[0])
    return joined and rest_after(notes, one[1]) < LONG_REST_MS
