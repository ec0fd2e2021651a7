"""Which notes of a passage are held one by one: long ones, soft, low or high, and those that enter."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.way_conditions import QUIET, SHORT
from gripway.practice.ways.whole_passage import bars_of, goes_on, rest_after

MOST_HELD = 4
"""Notes that are held on one day (judgement)."""

MOST_BARS = 4
"""They stand within so many bars (judgement)."""

MOST_TURNS = 6
"""After so many days with long notes the first of them come again (judgement)."""


TOP = 93
"""From A6 on a note that is held is what tires first (judgement)."""


@dataclass(frozen=True, slots=True)
class Held:
    """Notes that are held one by one (indices, in their order), and the one they were chosen for."""

    place: int
    places: tuple[int, ...]


def long_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """What is held on the days: about the longest soft note, the lowest, the longest, the highest.

    The highest comes second where it is `TOP` or above. Then about the longest ones that have not been. None
    is a grace, an ornament, staccato, or one of a run where the passage has other notes.
    """
    lasting = _lasting(notes, figures)
    found: list[Held] = []
    named: set[int] = set()

    def length(place: int) -> tuple[float, int]:
        return notes[place].length_ms, -place

    def is_long(sound: int, place: int) -> bool:
        """Whether a note is among the long ones of its pitch."""
        most = max(notes[each].length_ms for each in lasting if notes[each].pitch.number == sound)
        return 2 * notes[place].length_ms >= most

    def take(place: int | None) -> None:
        if place is not None and notes[place].pitch.number not in named:
            found.append(_around(notes, place, lasting, figures))
            named.update(
                sound for each in found[-1].places if is_long((sound := notes[each].pitch.number), each)
            )

    def longest() -> int | None:
        return max(
            (each for each in lasting if notes[each].pitch.number not in named), key=length, default=None
        )

    take(max((each for each in lasting if notes[each].dynamic in QUIET), key=length, default=None))
    highest = max(
        lasting,
        key=lambda each: (notes[each].pitch.number, notes[each].dynamic in QUIET, *length(each)),
        default=None,
    )
    if highest is not None and notes[highest].pitch.number >= TOP:
        take(highest)
    take(
        min(lasting, key=lambda each: (notes[each].pitch.number, -notes[each].length_ms, each), default=None)
    )
    take(longest())
    take(highest)
    while len(found) < MOST_TURNS and (place := longest()) is not None:
        take(place)
    return tuple(found)


def beginnings(notes: Sequence[Note], entering: Iterable[int], figures: PracticeFigures) -> tuple[Held, ...]:
    """Of notes that enter each with the tongued ones after it that are not quick."""
    return tuple(
        _around(notes, place, [place, *_tongued_after(notes, place, figures)], figures)
        for place in entering
        if not notes[place].grace
    )


def soft_high(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """Attacks in p or softer from D6 on that do not run, near ones together, the highest first."""
    found: list[list[int]] = []
    for place in range(len(notes)):
        if not _is_soft_attack(notes, place, figures):
            continue
        near = found and len(bars_of(notes, found[-1][0], place)) <= MOST_BARS
        sounds = {notes[each].pitch.number for each in (*(found[-1] if found else ()), place)}
        if near and len(sounds) <= MOST_HELD and goes_on(notes, found[-1][0], place):
            found[-1].append(place)
        else:
            found.append([place])

    def highest(places: Sequence[int]) -> tuple[int, int]:
        return -max(notes[each].pitch.number for each in places), places[0]

    made: dict[frozenset[int], Held] = {}
    for places in sorted(found, key=highest):
        top = max(places, key=lambda each: (notes[each].pitch.number, -each))
        named = frozenset(notes[each].pitch.number for each in places)
        made.setdefault(named, Held(top, tuple(places)))
    return tuple(made.values())


def _is_soft_attack(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    note = notes[place]
    if note.pitch.number < THIRD_OCTAVE or note.dynamic not in QUIET:
        return False
    if note.slurred or note.grace or note.ornament or note.stress:
        return False
    before, after = notes[max(0, place - 1)], notes[min(place + 1, len(notes) - 1)]
    gaps_ms = note.onset_ms - before.onset_ms, after.onset_ms - note.onset_ms
    return max(gaps_ms) > figures.study_tongue_ms or place in (0, len(notes) - 1)


def _tongued_after(notes: Sequence[Note], place: int, figures: PracticeFigures) -> list[int]:
    return [
        each
        for each in range(place + 1, min(len(notes), place + 2 * MOST_HELD))
        if notes[each].length_ms >= figures.study_fast_ms
        and not (notes[each].slurred or notes[each].grace or notes[each].ornament)
    ]


def _lasting(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that last; in fast music those that are no shorter than most, and none of a run."""
    sounding = [place for place, note in enumerate(notes) if not note.grace] or [*range(len(notes))]
    plain = [
        place
        for place in sounding
        if not (notes[place].ornament or notes[place].strokes or SHORT & {*notes[place].articulations})
    ]
    long = [place for place in plain if notes[place].length_ms >= figures.study_long_ms]
    if len({notes[place].pitch.number for place in long}) >= MOST_HELD:
        return long
    middle = median(notes[place].length_ms for place in sounding) if sounding else 0.0
    least = max(middle, figures.study_singing_ms)
    return [place for place in plain if notes[place].length_ms >= least] or long or sounding


def _around(notes: Sequence[Note], place: int, lasting: Sequence[int], figures: PracticeFigures) -> Held:
    """A note with others beside it that last, after it and before it, as soft or as loud as it is.

    A note that is itself quick stands alone.
    """
    quiet = notes[place].dynamic in QUIET
    chosen = {place}
    if notes[place].length_ms >= figures.study_singing_ms:
        at = [*lasting].index(place)
        for side in (lasting[at + 1 :], [*lasting[:at]][::-1]):
            beside = place
            for each in side:
                if _rest_between(notes, beside, each) > figures.rest_most_s * 1000:
                    break
                beside = each
                ends = (min(*chosen, each), max(*chosen, each))
                if len(bars_of(notes, *ends)) > MOST_BARS or not goes_on(notes, *ends):
                    break
                if (notes[each].dynamic in QUIET) is not quiet:
                    break
                sounds = {notes[one].pitch.number for one in (*chosen, each)}
                if len(sounds) <= MOST_HELD and len(sounds) > len(
                    {notes[one].pitch.number for one in chosen}
                ):
                    chosen.add(each)
    return Held(place, tuple(sorted(chosen)))


def _rest_between(notes: Sequence[Note], one: int, other: int) -> float:
    """The longest rest (ms) between two notes."""
    first, last = min(one, other), max(one, other)
    return max((rest_after(notes, place) for place in range(first, last)), default=0.0)
