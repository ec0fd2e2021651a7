"""Where the thumb must be off the B-flat lever: one line for a player who leaves it there."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from gripway.model.passage import Note, rest_between
from gripway.route.result import RouteNote
from gripway.route.words.place_words import places_text

LEVER, RIGHT_INDEX = "Tb", "R1"
BY_THE_INDEX = " Bb (A#) right before B natural has the right index: the thumb has no time to move there."
B_FLAT, B_NATURAL, HIGH_F_SHARP, LEVER_BELOW = 10, 11, 90, 84
"""Pitch classes with the lever and without it, the note that does not speak well with it, and the first
that has no use for it."""


def lever_words(notes: Sequence[RouteNote], ranges: Sequence[tuple[int, int]]) -> str:
    """`Thumb off the Bb lever, if it is there, before B5 or F#6: bars 26, 44.`; empty where nobody has it.

    Of the notes in some ranges those are told that come first after a B flat of B natural and F#6. Of a
    route that has no B flat with the lever only B natural, however it is spelt, right after B flat. Why that
    B flat is with the right index is told as well.
    """
    there = [
        note
        for note in _after_b_flat(notes)
        if note.note.time_through == 1 and any(first <= note.index <= last for first, last in ranges)
    ]
    *most, last = dict.fromkeys(note.note.pitch.name for note in there) or [""]
    names = f"{', '.join(most)} or {last}" if most else last
    places = places_text([(note.note.bar, note.index) for note in there]) if there else ""
    why = BY_THE_INDEX * any(note.index and _is_by_the_index(notes[note.index - 1], note) for note in there)
    return f"Thumb off the Bb lever, if it is there, before {names}: {places}.{why}" if there else ""


def _after_b_flat(notes: Sequence[RouteNote]) -> Iterator[RouteNote]:
    """The first B natural or F#6 after each B flat, which a player may take with the lever and stay."""
    on_lever, anywhere = False, any(_has_lever(note) for note in notes)
    for note, after in zip_longest(notes, notes[1:]):
        number = note.note.pitch.number
        if number < LEVER_BELOW and number % 12 == B_FLAT:
            leads = after is not None and _is_right_before(note.note, after.note)
            flat = note.note.pitch.step == "B" or _has_lever(note)
            on_lever = (anywhere and (on_lever or flat)) or leads
        elif on_lever and (number % 12 == B_NATURAL or number == HIGH_F_SHARP):
            yield note
            on_lever = False


def _is_right_before(note: Note, after: Note) -> bool:
    """Whether a note a half step higher follows one without a rest."""
    return rest_between(note, after) <= 0 and after.pitch.number == note.pitch.number + 1


def _is_by_the_index(note: RouteNote, after: RouteNote) -> bool:
    """Whether a B flat right before B natural is taken with the right index in place of the lever."""
    touches = note.candidate.grip.touches if note.candidate else ()
    return _is_right_before(note.note, after.note) and RIGHT_INDEX in touches and LEVER not in touches


def _has_lever(note: RouteNote) -> bool:
    """Whether a B flat is taken with the lever: on other notes the thumb is only left there."""
    number = note.note.pitch.number
    is_b_flat = number < LEVER_BELOW and number % 12 == B_FLAT
    return is_b_flat and note.candidate is not None and LEVER in note.candidate.grip.touches
