"""What is hard in a rhythm: dotted figures, notes against the beat, twos that go over to threes."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bars_held
from gripway.practice.cells.beat_grid import QUARTER, felt_beat, is_in_threes
from gripway.practice.ways.phrase_ends import BREAK_MS
from gripway.practice.ways.way_conditions import is_quick_dot
from gripway.practice.ways.whole_passage import goes_on, rest_after
from gripway.score.writing.note_values import is_plain

ODD = 2
"""Where twos go over to threes is so many times as odd as a dotted note (judgement)."""

TURN_MS = 110.0
"""Shorter notes in threes are a turn, no rhythm (judgement)."""

DENSE, DENSE_OF = 8, 16
"""So many of so many notes make a rhythm that is asked for, however little of the whole it is (judgement)."""

LONE_TURNS = 2
"""One triplet goes in and out again: that is no rhythm of the passage (judgement)."""


def rhythm_marks(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """What is hard in a rhythm: dotted figures, and what goes against the beat."""
    turns = [_turns(notes, place, figures) for place in range(len(notes))]
    odd = ODD if sum(turns) > LONE_TURNS else 0
    return [odd if turn else int(_is_uneven(notes, place, figures)) for place, turn in enumerate(turns)]


def is_dense(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether so many of some notes that follow each other are hard in their rhythm: a passage of its own."""
    hard = [bool(mark) for mark in rhythm_marks(notes, figures)]
    return any(sum(hard[place : place + DENSE_OF]) >= DENSE for place in range(len(notes)))


def share_against(notes: Sequence[Note], figures: PracticeFigures) -> float:
    """How much of the notes goes against the beat."""
    return sum(_against(notes, place, figures) for place in range(len(notes))) / max(1, len(notes))


def is_between(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether a rhythm goes over from twos to threes, or back."""
    return any(
        _turns(notes, place, figures) and not is_in_threes(notes[place].metre) for place in range(len(notes))
    )


def just_before(notes: Sequence[Note], place: int) -> Note | None:
    """The note before one, the same time through; grace notes have no part in it."""
    if not place or notes[place].grace or not goes_on(notes, place - 1, place):
        return None
    before = notes[place - 1]
    return None if before.grace else before


def is_quick(before: Note, note: Note, most_ms: float) -> bool:
    """Whether a note comes so soon after the one before."""
    return note.onset_ms - before.onset_ms <= most_ms


def _is_uneven(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is dotted, or against the beat: not one that is only tied over a bar line."""
    tied = bars_held(notes[place]) > 1
    return _dotted(notes, place, figures) or (not tied and _against(notes, place, figures))


def _against(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note goes against the beat: after a short rest off it, held over it, triplet after duple.

    In cut time too a note that comes in with a quarter is plain.
    """
    note, before = notes[place], just_before(notes, place)
    if not before:
        return False
    if _turns(notes, place, figures):
        return True
    beat = Fraction(3 if is_in_threes(note.metre) else 1, note.metre[1] if note.metre else 4)
    off = note.at % beat
    plain = not (note.at % QUARTER or is_in_threes(note.metre))
    after_rest = not plain and BREAK_MS < rest_after(notes, place - 1) <= figures.study_fast_ms
    held = off + note.length > beat and is_quick(before, note, figures.study_slow_ms)
    return bool(off) and (after_rest or held)


def _turns(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether the beat goes over from twos to threes with a note, or back."""
    note, before = notes[place], just_before(notes, place)
    if not before:
        return False
    short, long = sorted((before.length, note.length))
    two = next((each for each in (before, note) if is_plain(each.length)), note)
    other = is_plain(short) is not is_plain(long) and long < 4 * short
    rests = rest_after(notes, place - 1) > BREAK_MS or (two is note and _is_alone(notes, place))
    turn = min(before.length_ms, note.length_ms) < TURN_MS
    quick = is_quick(before, note, figures.study_slow_ms)
    return other and not (rests or turn) and _divides(two) and quick


def _is_alone(notes: Sequence[Note], place: int) -> bool:
    """Whether a note on the beat is all there is of it: a rest follows."""
    note = notes[place]
    on = not note.at % (felt_beat(note.metre) / 4)
    return on and (place + 1 == len(notes) or rest_after(notes, place) > BREAK_MS)


def _divides(note: Note) -> bool:
    """Whether a note divides its beat in two or four: it is shorter, or stands within it."""
    beat = felt_beat(note.metre) / 4
    return 0 < note.length < beat or (note.length == beat and bool(note.at % beat))


def _dotted(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is of a dotted figure, with no rest in it: none that a tie over a bar line makes."""
    note, before = notes[place], just_before(notes, place)
    if not before or rest_after(notes, place - 1) > BREAK_MS:
        return False
    tied = bars_held(before) > 1 and note.at < 3 * note.length
    after = is_quick_dot(before, note, figures) and not tied
    return after or (bars_held(note) == 1 and is_quick_dot(note, before, figures))
