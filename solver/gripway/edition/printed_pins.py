"""Pins from the fingerings already in a score, where they are grips of ours."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, read_sign
from gripway.model.passage import Note, Passage


def with_source_pins(passage: Passage, wishes: Wishes) -> Wishes:
    """The wishes with every fingering of the source that reads as a grip kept as a pin.

    Pins asked for win over the source's.
    """
    by_place = {place: note.id for place, note in enumerate(passage.notes)}
    asked = {by_place.get(pin.note) if isinstance(pin.note, int) else pin.note for pin in wishes.pins}
    found = {note.id: grip for note in passage.notes for grip in source_grips(note) if note.id not in asked}
    return replace(wishes, pins=(*wishes.pins, *(Pin(note, grip) for note, grip in found.items())))


def source_grips(note: Note) -> Iterator[Grip]:
    """The fingerings of a note in the source that read as grips."""
    for text in note.fingering:
        try:
            yield read_mark(text)
        except ValueError:
            continue


def read_mark(text: str) -> Grip:
    """The grip a mark of ours spells: canonical or without the hand letters, bracketed or not.

    Raises ValueError for any other fingering (a finger number, a string name).

    >>> read_mark("[T 2 3 | Eb]").text
    'T L2 L3 | Eb'
    """
    sign = read_sign(text)
    if sign.kind != GRIP:
        raise ValueError(f"{text!r} has no bar between the hands")
    return sign.grip
