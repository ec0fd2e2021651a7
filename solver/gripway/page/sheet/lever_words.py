"""Where the thumb must be off the B-flat lever: one line for a player who leaves it there."""

from collections.abc import Sequence

from gripway.display import enumerated
from gripway.route.result import RouteNote
from gripway.route.words.place_words import places_in_words

LEVER = "Tb"
B_NATURAL, HIGH_F_SHARP = 11, 90
"""The pitch class that does not sound with the lever, and the note that does not speak well with it."""


def lever_words(notes: Sequence[RouteNote], first: int, last: int) -> str:
    """`Thumb off the Bb lever before F#6 in bar 51.`; empty where none of some notes follows the lever.

    Of the notes `first` to `last` those are told that come first after it of B natural and F#6.
    """
    found: dict[str, list[tuple[str, int]]] = {}
    for note in _after_lever(notes):
        if first <= note.index <= last and note.note.time_through == 1:
            found.setdefault(note.note.pitch.name, []).append((note.note.bar, note.index))
    told = [f"{name} {places_in_words(places)}" for name, places in found.items()]
    return f"Thumb off the Bb lever before {enumerated(told)}." if told else ""


def _after_lever(notes: Sequence[RouteNote]) -> list[RouteNote]:
    """The first B natural or F#6 after each stretch of notes in which the thumb is on the lever."""
    found = []
    on_lever = False
    for note in notes:
        if note.candidate is None:
            continue
        number = note.note.pitch.number
        on_lever = on_lever or LEVER in note.candidate.grip.touches
        if on_lever and (number % 12 == B_NATURAL or number == HIGH_F_SHARP):
            found.append(note)
            on_lever = False
    return found
