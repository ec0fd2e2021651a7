"""Which notes of a passage are held one by one: long ones, soft, low or high, and those that enter."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.way_conditions import QUIET, SHORT
from gripway.practice.ways.whole_passage import goes_on, rest_after

MOST_HELD = 4
"""Notes that are held on one day (judgement)."""

MOST_BARS = 4
"""They stand no more bars than this apart (judgement)."""

MOST_TURNS = 6
"""So many groups of long notes are enough for a plan (judgement)."""

MOST_ROUNDS = 2
"""So often long notes come round (judgement)."""

MOST_BEGIN = 3
"""On so many days notes are begun (judgement)."""

ALONE_MS, ALONE_NOTE = 1000.0, 89
"""A note from F6 on that lasts so long is worth holding alone; other ones stand with others (judgement)."""


@dataclass(frozen=True, slots=True)
class Held:
    """Notes that are held one by one (indices, in their order), and the one they were chosen for."""

    place: int
    places: tuple[int, ...]


def long_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """What is held on the days: about the longest soft note, the longest, the lowest, the highest.

    Then about the longest ones that have not been. None is a grace, an ornament or staccato, and none short;
    no note stands alone but a high one that lasts. Those from `study_high_note_number` on are apart.
    """
    edge = figures.study_high_note_number
    lasting = [each for each in _lasting(notes, figures) if notes[each].pitch.number < edge]
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

    def low(place: int) -> tuple[int, float, int]:
        return notes[place].pitch.number, -notes[place].length_ms, place

    take(max((each for each in lasting if notes[each].dynamic in QUIET), key=length, default=None))
    take(longest())
    take(min(lasting, key=low, default=None))
    take(max(lasting, key=lambda each: (notes[each].pitch.number, *length(each)), default=None))
    while len(found) < MOST_TURNS and (place := longest()) is not None:
        take(place)
    return tuple(held for held in found if _is_worth(notes, held))


def _is_worth(notes: Sequence[Note], held: Held) -> bool:
    """Whether there is more than one pitch to hold, or a high note that lasts."""
    note = notes[held.place]
    alone = len({notes[each].pitch.number for each in held.places}) == 1
    return not alone or (note.pitch.number >= ALONE_NOTE and note.length_ms >= ALONE_MS)


def high_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """The notes from `study_high_note_number` on that last: the highest, then others, near ones together."""
    edge = figures.study_high_note_number
    left = [each for each in _lasting(notes, figures) if notes[each].pitch.number >= edge]
    found: list[Held] = []
    named: set[int] = set()
    for place in sorted(left, key=lambda each: (-notes[each].pitch.number, -notes[each].length_ms, each)):
        if notes[place].pitch.number in named:
            continue
        found.append(_with_near(notes, place, left))
        named |= {notes[each].pitch.number for each in found[-1].places}
    return tuple(found)


def beginnings(notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures) -> tuple[Held, ...]:
    """Notes that enter, then soft high ones after any rest, near ones together: those that are several first.

    What is exposed most comes last, as it is worked on as an entrance. One easy note alone is left out but
    where it comes in cold.
    """
    high = [each for each in range(len(notes)) if _is_soft_attack(notes, each, figures)]
    places = [each for each in dict.fromkeys((*entering, *high)) if not notes[each].grace]
    found: list[Held] = []
    named: set[tuple[int, bool]] = set()
    while places:
        held = _with_near(notes, places[0], places)
        sounds = {(notes[each].pitch.number, notes[each].dynamic in QUIET) for each in held.places}
        if not sounds <= named:
            found.append(held)
        named |= sounds
        there = {notes[each].pitch.number for each in held.places}
        near = {each for each in places if _is_near(notes, places[0], each)}
        places = [each for each in places if each not in near or notes[each].pitch.number not in there]
    found.sort(key=lambda held: (held.place in entering[:1], len(held.places) == 1))
    return tuple(held for held in found if not _is_easy(notes, held) or is_cold(notes, held.place))


def _is_easy(notes: Sequence[Note], held: Held) -> bool:
    """Whether there is one note alone that is neither high nor soft."""
    note = notes[held.place]
    return len(held.places) == 1 and note.pitch.number < THIRD_OCTAVE and note.dynamic not in QUIET


def _with_near(notes: Sequence[Note], place: int, others: Sequence[int]) -> Held:
    """A note with others near it, one of each pitch, `MOST_HELD` at most."""
    chosen = {notes[place].pitch.number: place}
    for each in sorted(others, key=lambda each: abs(each - place)):
        if _is_near(notes, place, each) and len(chosen) < MOST_HELD:
            chosen.setdefault(notes[each].pitch.number, each)
    return Held(place, tuple(sorted(chosen.values())))


def _is_near(notes: Sequence[Note], place: int, other: int) -> bool:
    """Whether two notes stand within `MOST_BARS`, both soft or neither."""
    first, last = sorted((place, other))
    bar = Fraction(*(notes[first].metre or (1, 1)))
    if not goes_on(notes, first, last) or notes[last].onset - notes[first].onset > MOST_BARS * bar:
        return False
    return (notes[first].dynamic in QUIET) is (notes[last].dynamic in QUIET)


def _is_soft_attack(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is an attack in p or softer from D6 on, out of a rest."""
    note = notes[place]
    if note.pitch.number < THIRD_OCTAVE or note.dynamic not in QUIET:
        return False
    if not 0 < place < len(notes) - 1:
        return False
    if note.slurred or note.grace or note.ornament or note.stress or not goes_on(notes, place - 1, place):
        return False
    return rest_after(notes, place - 1) >= figures.breath_rest_ms


def openings(
    notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[bool, Held], ...]:
    """What days open with, one after another: high notes, others that are long, beginnings (True), in turn.

    The highest come twice before others, and what is long comes round again; beginnings do not.
    """
    high, long = high_notes(notes, figures), long_notes(notes, figures)
    begin = beginnings(notes, entering, figures)
    high = (*high[:1], *high)
    kinds = (False, MOST_ROUNDS * high), (False, MOST_ROUNDS * long), (True, begin[:MOST_BEGIN])
    turns = max(len(helds) for _, helds in kinds)
    return tuple(
        (begins, helds[turn]) for turn in range(turns) for begins, helds in kinds if turn < len(helds)
    )


def _lasting(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that last."""
    return [
        place
        for place, note in enumerate(notes)
        if note.length_ms >= figures.study_long_ms
        and not (note.grace or note.ornament or note.strokes or SHORT & {*note.articulations})
    ]


def _around(notes: Sequence[Note], place: int, lasting: Sequence[int], figures: PracticeFigures) -> Held:
    """A note with others beside it that last, after it and before it, as soft or as loud as it is."""
    chosen = {place}
    at = [*lasting].index(place)
    for side in (lasting[at + 1 :], [*lasting[:at]][::-1]):
        beside = place
        for each in side:
            ends = min(*chosen, each), max(*chosen, each)
            far = _rest_between(notes, beside, each) > figures.rest_most_s * 1000
            if far or not _is_near(notes, *ends) or not _is_near(notes, place, each):
                break
            beside = each
            sounds = {notes[one].pitch.number for one in chosen}
            if notes[each].pitch.number not in sounds and len(sounds) < MOST_HELD:
                chosen.add(each)
    return Held(place, tuple(sorted(chosen)))


def _rest_between(notes: Sequence[Note], one: int, other: int) -> float:
    """The longest rest (ms) between two notes."""
    first, last = min(one, other), max(one, other)
    return max((rest_after(notes, place) for place in range(first, last)), default=0.0)
