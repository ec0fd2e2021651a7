"""Where the thumb must be off the B-flat lever: one line for a player who leaves it there."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, zip_longest

from gripway.model.passage import Note, rest_between
from gripway.route.result import RouteNote
from gripway.route.words.place_words import places_text

LEVER, RIGHT_INDEX = "Tb", "R1"
BY_THE_INDEX = (
    " Finger Bb (A#) right before or after B natural with the right index: "
    "the thumb has no time to move there."
)
B_FLAT, B_NATURAL, HIGH_F_SHARP, LEVER_BELOW = 10, 11, 90, 84
"""Pitch classes with the lever and without it, the note that does not speak well with it, and the first
that has no use for it."""


def lever_words(notes: Sequence[RouteNote], ranges: Sequence[tuple[int, int]]) -> str:
    """`Thumb off the Bb lever, if it is there, before B5 or F#6: bars 26, 44.`; empty where nobody has it.

    Of the notes in some ranges those are told that come first after a B flat of B natural, however it is
    spelt, and F#6: most players have the lever for B flats that are spelt so (common practice, no source),
    whatever the route has; for A# only where the route has it or B natural is next. Why a B flat beside
    B natural is with the right index is told as well.
    """
    there = [
        note
        for note in _after_b_flat(notes)
        if note.note.time_through == 1 and any(first <= note.index <= last for first, last in ranges)
    ]
    *most, last = dict.fromkeys(note.note.pitch.name for note in there) or [""]
    names = f"{', '.join(most)} or {last}" if most else last
    places = places_text([(note.note.bar, note.index) for note in there]) if there else ""
    inside = [pair for pair in pairwise(notes) if any(a <= pair[0].index < b for a, b in ranges)]
    why = BY_THE_INDEX * any(_are_by_the_index(*pair) for pair in inside)
    return f"Thumb off the Bb lever, if it is there, before {names}: {places}.{why}" if there else ""


def _after_b_flat(notes: Sequence[RouteNote]) -> Iterator[RouteNote]:
    """The first B natural or F#6 after each B flat, which a player may take with the lever and stay."""
    on_lever = False
    for note, after in zip_longest(notes, notes[1:]):
        number = note.note.pitch.number
        if number < LEVER_BELOW and number % 12 == B_FLAT:
            leads = after is not None and _is_right_before(note.note, after.note)
            on_lever = on_lever or leads or note.note.pitch.step == "B" or _has_lever(note)
        elif on_lever and (number % 12 == B_NATURAL or number == HIGH_F_SHARP):
            yield note
            on_lever = False


def _is_right_before(note: Note, after: Note) -> bool:
    """Whether a note a half step higher follows one without a rest."""
    return rest_between(note, after) <= 0 and after.pitch.number == note.pitch.number + 1


def _are_by_the_index(note: RouteNote, after: RouteNote) -> bool:
    """Whether of B flat and B natural side by side the first has the right index in place of the lever."""
    flat, natural = sorted((note, after), key=lambda each: each.note.pitch.number)
    is_pair = (
        flat.note.pitch.number % 12 == B_FLAT and natural.note.pitch.number == flat.note.pitch.number + 1
    )
    touches = flat.candidate.grip.touches if flat.candidate else ()
    joined = rest_between(note.note, after.note) <= 0
    return is_pair and joined and RIGHT_INDEX in touches and LEVER not in touches


def _has_lever(note: RouteNote) -> bool:
    """Whether a B flat is taken with the lever: on other notes the thumb is only left there."""
    number = note.note.pitch.number
    is_b_flat = number < LEVER_BELOW and number % 12 == B_FLAT
    return is_b_flat and note.candidate is not None and LEVER in note.candidate.grip.touches
