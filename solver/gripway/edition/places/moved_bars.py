"""Places said by bar, beat and pitch alone, also after bars were put in or taken out.

One such place proves nothing: the same pitch may well stand in that bar by chance. All of them are laid
against the part together, and bars that moved are believed only where several places agree on it.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from gripway.model.decision import DecisionPlace
from gripway.model.passage import Note

QUARTERS = 4
BEAT_ROUNDING = Fraction(1, 100)
"""Beats that differ by less are the same: 3.67 is written for 3 2/3."""

MOST_MOVED = 32
"""Bars are looked for so far from their number at most."""

MOVING, MISSING, LEAVING_KNOWN = 5, 2, 6
"""Against another distance in bars; against a place that has no note, of which three outweigh the first; and
against another distance than that of a place found by the notes around it."""

LEAST_AGREEING, MOST_MISSING = 3, 0.25
"""So many places have to agree on a distance, and so large a part of theirs may have no note there."""

There = Callable[[int, int], int]
"""How many notes a place, by its number, has at a distance in bars."""

LEAST_OFF = 3
"""Where so many places, and most of those around, are off, the others fit their bars by chance only."""


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A place without its note: `several` are as good, or the places `around` are off."""

    several: bool = False
    around: bool = False


def number_of(bar: str) -> int:
    """The number in a bar's name: bar X12 is 12."""
    digits = "".join(sign for sign in bar if sign in "0123456789")[:9]
    return int(digits) if digits else 0


def beat_of(note: Note) -> Fraction:
    """The beat of a note in its bar: quarters, from 1."""
    return 1 + note.at * QUARTERS


def is_beat(said: Fraction | None, note: Note) -> bool:
    """Whether a note stands on a beat that is said, as far as it is rounded; any does where none is said."""
    return said is None or abs(said - beat_of(note)) < BEAT_ROUNDING


class BarsAndNotes:
    """The notes of a part by bar and pitch."""

    def __init__(self, notes: Sequence[Note]) -> None:
        self.notes = notes
        self.by_bar: dict[tuple[int, str, int], list[int]] = {}
        for index, note in enumerate(notes):
            self.by_bar.setdefault((*_named(note.bar), note.pitch.number), []).append(index)

    def at(self, place: DecisionPlace, moved: int) -> list[int]:
        """The notes a place may be about, with its bar so many later."""
        number, rest = _named(place.bar)
        there = self.by_bar.get((number + moved, rest, place.pitch.number), ())
        return [index for index in there if is_beat(place.beat, self.notes[index])]


def _named(bar: str) -> tuple[int, str]:
    return number_of(bar), "".join(sign for sign in bar if sign not in "0123456789")


def by_bars(
    places: Mapping[int, DecisionPlace], known: Mapping[int, tuple[DecisionPlace, int]], notes: Sequence[Note]
) -> dict[int, int | Unplaced]:
    """The index of the note of each place, by its number, or why there is none.

    `known` are places that were found by the notes around them, with the bars they moved: they count as
    those that agree. Bars have every number once.
    """
    part = BarsAndNotes(notes)
    both = {**places} | {number: place for number, (place, _) in known.items()}
    order = sorted(both, key=lambda number: (number_of(both[number].bar), both[number].beat or 1, number))

    def there(number: int, moved: int) -> int:
        """How many notes a place has at a distance in bars."""
        if number in known:
            return int(known[number][1] == moved)
        return len(part.at(places[number], moved))

    found: dict[int, int | Unplaced] = {}
    against = {number: LEAVING_KNOWN if number in known else MISSING for number in order}
    for moved, some in _distances(order, against, there):
        fitting = sum(there(number, moved) > 0 for number in some)
        off = len(some) - fitting
        chance = off >= LEAST_OFF and off > fitting if moved == 0 else not _is_proven(some, moved, there)
        for number in some:
            if number in places:
                found[number] = _found(part.at(places[number], 0 if chance else moved), chance)
    return found


def distance_of_all(places: Sequence[DecisionPlace], notes: Sequence[Note]) -> int:
    """By how many bars all of these places, LEAST_AGREEING or more, are off alike; 0 where they are not."""
    part = BarsAndNotes(notes)
    if len(places) < LEAST_AGREEING:
        return 0
    found = (each for each in _DISTANCES if each and all(len(part.at(place, each)) == 1 for place in places))
    return next(found, 0)


def _found(there: Sequence[int], chance: bool) -> int | Unplaced:
    if not chance and len(there) == 1:
        return there[0]
    return Unplaced(several=bool(there) and not chance, around=bool(there) and chance)


def _is_proven(some: Sequence[int], moved: int, there: There) -> bool:
    """Whether enough places agree on a distance, and on no other as well."""

    def agreeing(distance: int) -> int:
        return sum(there(number, distance) == 1 for number in some)

    mine = agreeing(moved)
    missing = sum(there(number, moved) == 0 for number in some)
    others = (agreeing(other) for other in _DISTANCES if other != moved)
    return mine >= LEAST_AGREEING and missing <= MOST_MISSING * len(some) and 2 * max(others) <= mine


_DISTANCES = sorted(range(-MOST_MOVED, MOST_MOVED + 1), key=abs)


def _distances(
    order: Sequence[int], against: Mapping[int, int], there: There
) -> Iterator[tuple[int, list[int]]]:
    """The cheapest distances in bars for places in their order, neighbours of the same distance together."""
    costs = {moved: 0 if moved == 0 else MOVING for moved in _DISTANCES}
    before: list[dict[int, int]] = []
    for number in order:
        best = min(_DISTANCES, key=lambda moved: costs[moved])
        came = {moved: moved if costs[moved] <= costs[best] + MOVING else best for moved in _DISTANCES}
        costs = {
            moved: min(costs[moved], costs[best] + MOVING) + (0 if there(number, moved) else against[number])
            for moved in _DISTANCES
        }
        before.append(came)
    if not order:
        return
    at = min(_DISTANCES, key=lambda moved: costs[moved])
    chosen: list[int] = []
    for came in reversed(before):
        chosen.append(at)
        at = came[at]
    paired = zip(reversed(chosen), order, strict=True)
    for moved, some in groupby(paired, key=lambda pair: pair[0]):
        yield moved, [number for _, number in some]
