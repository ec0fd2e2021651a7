"""What is hard in a rhythm: dotted figures and snaps, notes against the beat, twos that go over to threes."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bars_held
from gripway.practice.cells.beat_grid import QUARTER, felt_beat, is_in_threes
from gripway.practice.ways.phrase_ends import BREAK_MS
from gripway.practice.ways.way_conditions import EIGHTH_NOTE, SIXTEENTH_NOTE, is_quick_dot
from gripway.practice.ways.whole_passage import goes_on, rest_after
from gripway.score.writing.note_values import is_plain

ODD = 2
"""Where twos go over to threes is so many times as odd as a dotted note (judgement)."""

TURN_MS = 110.0
"""Shorter notes in threes are a turn, no rhythm (judgement)."""

DENSE, DENSE_OF = 6, 16
"""So many of so many notes make a rhythm that is asked for, however little of the whole it is (judgement)."""

LONE_TURNS = 2
"""One triplet goes in and out again: that is no rhythm of the passage (judgement)."""


FIVE, SEVEN = 5, 7
"""Uneven parts of a beat that no player has in the ear as threes."""

LONG_TRIPLET = Fraction(1, 6)
"""Triplets of quarters and longer ones go against the quarters (judgement)."""


def rhythm_marks(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """What is hard in a rhythm: dotted figures, and what goes against the beat; odd ones count more."""
    turns = [_turns(notes, place, figures) for place in range(len(notes))]
    odd = ODD if sum(turns) > LONE_TURNS else 0
    return [
        ODD if is_odd(notes, place, figures) else odd if turn else int(_is_uneven(notes, place, figures))
        for place, turn in enumerate(turns)
    ]


def is_odd(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is a rhythm to be worked out, even once: long triplets, fives, after a tie, a snap."""
    return (
        goes_to_threes(notes, place, figures) or _begins_fives(notes, place) or _snaps(notes, place, figures)
    )


def _begins_fives(notes: Sequence[Note], place: int) -> bool:
    """Whether five or seven notes to a beat begin with a note, after others."""
    before = just_before(notes, place)
    return before is not None and any(
        _is_part_of(notes[place], parts) and not _is_part_of(before, parts) for parts in (FIVE, SEVEN)
    )


def has_fives(notes: Sequence[Note]) -> bool:
    """Whether there are five notes to a beat."""
    return any(_is_part_of(note, FIVE) for note in notes)


def _is_part_of(note: Note, parts: int) -> bool:
    """Whether a beat that is divided in so many parts has a note of this length."""
    return note.length.denominator % parts == 0


def goes_to_threes(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether slow triplets of quarters or longer ones begin with a note, or triplets a note is tied into."""
    note, before = notes[place], just_before(notes, place)
    if is_in_threes(note.metre) or not note.length or is_plain(note.length) or before is None:
        return False
    if rest_after(notes, place - 1) <= BREAK_MS and not is_plain(before.length):
        return _is_tied_into(before, note)
    tied = any(_is_tied_into(note, after) for after in notes[place + 1 : place + 2])
    return not tied and note.length >= LONG_TRIPLET and note.length_ms > figures.study_fast_ms


def _is_tied_into(note: Note, after: Note) -> bool:
    """Whether a note ends with a first one of triplets that it is tied to."""
    return note.length > after.length and is_plain(note.length - after.length) and not is_plain(after.length)


def _snaps(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is dotted after a short one on the beat."""
    note, before = notes[place], just_before(notes, place)
    if before is None or rest_after(notes, place - 1) > BREAK_MS or bars_held(note) > 1:
        return False
    return not before.at % QUARTER and is_quick_dot(note, before, figures)


def is_dense(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether so much in notes that follow each other is hard in their rhythm: a passage of its own."""
    hard = rhythm_marks(notes, figures)
    return any(sum(hard[place : place + DENSE_OF]) >= DENSE for place in range(len(notes)))


def share_against(notes: Sequence[Note], figures: PracticeFigures) -> float:
    """How much of the notes goes against the beat."""
    return sum(_against(notes, place, figures) for place in range(len(notes))) / max(1, len(notes))


def is_between(notes: Sequence[Note], figures: PracticeFigures, *, tied: bool = True) -> bool:
    """Whether a rhythm goes over from twos to threes, or back; `tied`: also by a note tied into them."""
    return any(
        (
            goes_to_threes(notes, place, figures)
            and (tied or not _is_tied_into(notes[place - 1], notes[place]))
        )
        or (_turns(notes, place, figures) and not is_in_threes(notes[place].metre))
        for place in range(len(notes))
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

    In cut time too a note that comes in with a quarter is plain. A last sixteenth comes after longer rests.
    """
    note, before = notes[place], just_before(notes, place)
    if not before:
        return False
    if _turns(notes, place, figures):
        return True
    beat = Fraction(3 if is_in_threes(note.metre) else 1, note.metre[1] if note.metre else 4)
    off, plain = note.at % beat, not (note.at % QUARTER or is_in_threes(note.metre))
    upbeat = note.length <= SIXTEENTH_NOTE and not (
        (note.at + note.length) % EIGHTH_NOTE or is_in_threes(note.metre)
    )
    most_ms = figures.study_rest_ms if upbeat else figures.study_fast_ms
    after_rest = not plain and BREAK_MS < rest_after(notes, place - 1) <= most_ms
    beats = {beat, min(beat, QUARTER)} if is_plain(note.length) else {beat}
    held = any(0 < note.at % each < each < note.at % each + note.length for each in beats)
    return bool(off) and (after_rest or (held and is_quick(before, note, figures.study_slow_ms)))


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
