"""What differs between two routes, in words."""

from collections.abc import Sequence

from gripway.compare.route_diff import GripDifference
from gripway.display import counted
from gripway.model.passage import Passage
from gripway.route.words.place_words import places_text

MOST_TOLD = 6
"""Differences told one by one."""


def differences_text(passage: Passage, found: Sequence[GripDifference]) -> str:
    """`F#6 T 1 3 | 3 Eb instead of T 1 | Eb (bars 3, 7); ...`, at most a few, the others counted."""
    told = "; ".join(_told(passage, one) for one in found[:MOST_TOLD])
    left = sum(len(one.notes) for one in found[MOST_TOLD:])
    return f"{told}; and {counted(left, 'more note')}" if left else told


def _told(passage: Passage, one: GripDifference) -> str:
    where = places_text([(passage.notes[place].bar, place) for place in one.notes])
    return f"{one.pitch} {one.grip.short} instead of {one.instead_of.short} ({where})"
