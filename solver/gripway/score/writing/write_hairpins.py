"""Hairpins of a passage as directions, each end at its own time."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.model.passage import Note

NUMBERS = 2
"""Hairpins that touch have different numbers, so that none closes the other."""


@dataclass(frozen=True, slots=True)
class HairpinEnd:
    """Where a hairpin begins or stops (`kind`), in whole notes from the beginning of its passage on."""

    at: Fraction
    kind: str
    number: int


def hairpin_ends(notes: Sequence[Note]) -> list[HairpinEnd]:
    """The ends of all hairpins in order, stops before what begins there.

    A hairpin begins with its first note and stops with its last one here at the latest; where that has a mark
    of its own, as it begins: no hairpin is drawn through the dynamic it leads to. One that began earlier and
    ends with the first note here is left out.
    """
    found = []
    for place, (kind, begins, ends) in enumerate(_spans(notes)):
        number = place % NUMBERS + 1
        found += [HairpinEnd(begins, kind, number), HairpinEnd(ends, "stop", number)]
    return sorted(found, key=lambda each: (each.at, each.kind != "stop"))


def _spans(notes: Sequence[Note]) -> Iterator[tuple[str, Fraction, Fraction]]:
    """Kind, beginning and end of each hairpin over its notes, which have it one after another."""
    open_: dict[tuple[str, Fraction, Fraction], tuple[Fraction, Fraction]] = {}
    played = notes[0].onset if notes else Fraction(0)
    for note in (each for each in notes if not each.grace):
        there = {(each.kind, note.onset + each.begins, note.onset + each.ends) for each in note.hairpins}
        for key in [key for key in open_ if key not in there]:
            yield key[0], *open_.pop(key)
        for key in sorted(there):
            _, begins, ends = key
            since = open_[key][0] if key in open_ else max(begins, note.onset)
            end = note.onset + note.length
            if key not in open_ and begins < played and ends <= end:
                continue  # the last of one that began before the passage: a stub
            reached = note.dynamic_mark and since < note.onset and ends <= end
            open_[key] = since, note.onset if reached else min(ends, end)
        played = note.onset + note.length
    for key, span in open_.items():
        yield key[0], *span
