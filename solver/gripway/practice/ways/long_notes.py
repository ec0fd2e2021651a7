"""Which notes of a passage are held one by one: long ones, soft, low or high, and those that enter."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length
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

LOW_NOTE = 71
"""A note up to B4 is low: it does not speak at once (judgement)."""

MOST_BEGIN = 3
"""So many groups of beginnings are enough for a plan (judgement)."""

MIDDLE_NOTE, COLD_MORE = 78, 6
"""Notes about F#5 speak most easily; to come in cold is as much as half an octave (judgement)."""

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


def _far_apart(notes: Sequence[Note], lasting: Sequence[int]) -> tuple[Held, ...]:
    """The longest note of each pitch, where none stand near each other; none of one pitch alone."""
    longest = {notes[each].pitch.number: each for each in sorted(lasting, key=lambda at: notes[at].length_ms)}
    places = sorted(longest.values(), key=lambda each: -notes[each].length_ms)[:MOST_HELD]
    return (Held(places[0], tuple(sorted(places))),) if len(places) > 1 else ()


def _is_worth(notes: Sequence[Note], held: Held) -> bool:
    """Whether there is more than one pitch to hold, or a high note that lasts."""
    note = notes[held.place]
    alone = len({notes[each].pitch.number for each in held.places}) == 1
    return not alone or (note.pitch.number >= ALONE_NOTE and note.length_ms >= ALONE_MS)


def high_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """The highest note, however short, then those from `study_high_note_number` on that last.

    The highest come first, near ones together.
    """
    edge = figures.study_high_note_number
    high = [each for each, note in enumerate(notes) if note.pitch.number >= edge and not _is_decor(note)]
    lasting = [each for each in _lasting(notes, figures) if each in high]
    top = max((notes[each].pitch.number for each in high), default=0)
    left = lasting if any(notes[each].pitch.number == top for each in lasting) else high
    found: list[Held] = []
    named: set[int] = set()
    for place in sorted(left, key=lambda each: (-notes[each].pitch.number, -notes[each].length_ms, each)):
        if notes[place].pitch.number in named or (found and place not in lasting):
            continue
        found.append(_with_near(notes, place, left if not found else lasting))
        there = (each for each in found[-1].places if each in lasting or each == place)
        named |= {notes[each].pitch.number for each in there}
    return tuple(found)


def _is_decor(note: Note) -> bool:
    return note.grace or note.ornament is not None or bool(note.strokes)


def beginnings(notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures) -> tuple[Held, ...]:
    """Notes that enter, then soft high ones after any rest, near ones together: what is feared first.

    Left out are those that are neither high nor low, nor come in cold.
    """
    high = [each for each in range(len(notes)) if _is_soft_attack(notes, each, figures)]
    places = [
        each for each in dict.fromkeys((*entering, *high)) if not notes[each].grace and _is_work(notes, each)
    ]
    found: list[Held] = []
    named: set[tuple[int, bool, bool]] = set()
    lasting = {*_lasting(notes, figures)}
    while places:
        held = _with_near(notes, places[0], places)
        sounds = {
            (notes[each].pitch.number, notes[each].dynamic in QUIET, each in lasting) for each in held.places
        }
        if not sounds <= named:
            found.append(held)
        named |= sounds
        there = {notes[each].pitch.number for each in held.places}
        near = {each for each in places if _is_near(notes, places[0], each)}
        places = [each for each in places if each not in near or notes[each].pitch.number not in there]
    opens = 0 in entering[:1]

    def risk(held: Held) -> tuple[bool, bool, int]:
        return not is_feared(notes, held), not (opens and held.place == 0), -_fear(notes, held.place)

    found.sort(key=risk)
    return tuple(found)


def is_feared(notes: Sequence[Note], held: Held) -> bool:
    """Whether the note a beginning is about comes in softly."""
    return notes[held.place].dynamic in (*QUIET, "mp")


def _fear(notes: Sequence[Note], place: int) -> int:
    """How far a note is from the middle of the flute, more so where it comes in cold (semitones)."""
    return abs(notes[place].pitch.number - MIDDLE_NOTE) + COLD_MORE * is_cold(notes, place)


def _is_work(notes: Sequence[Note], place: int) -> bool:
    """Whether a note is no easy one to begin: high, low, the first of the passage, or after a long rest."""
    number = notes[place].pitch.number
    return number >= THIRD_OCTAVE or number <= LOW_NOTE or place == 0 or is_cold(notes, place)


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
    bar = bar_length(notes[first])
    if not goes_on(notes, first, last) or notes[last].onset - notes[first].onset > MOST_BARS * bar:
        return False
    return (notes[first].dynamic in QUIET) is (notes[last].dynamic in QUIET)


def _is_soft_attack(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is an attack in p or softer from D6 on, out of a rest."""
    note = notes[place]
    if note.pitch.number < THIRD_OCTAVE or note.dynamic not in QUIET or not note.dynamic_sure:
        return False
    if not place:
        return False
    if note.slurred or _is_decor(note) or note.stress or not goes_on(notes, place - 1, place):
        return False
    return rest_after(notes, place - 1) >= figures.breath_rest_ms


def openings(
    notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[bool, Held], ...]:
    """What days open with, one after another: beginnings (True), high notes, others that are long, in turn.

    First what is feared: the softest beginning, what is highest. A beginning that lasts is held, with what
    is beside it.
    """
    begin = beginnings(notes, entering, figures)[:MOST_BEGIN]
    first = [_as_held(notes, held, figures) for held in begin if is_feared(notes, held)]
    others = [(True, held) for held in begin if not is_feared(notes, held)]
    begun = {notes[held.place].pitch.number for _, held in first}
    lasting = _lasting(notes, figures)
    high = [
        (False, held)
        for held in high_notes(notes, figures)
        if held.place in lasting or notes[held.place].pitch.number not in begun
    ]
    had = {held.places for begins, held in first if not begins}
    long = [(False, held) for held in long_notes(notes, figures) if held.places not in had]
    if not (first or high or long or others):
        long = [(False, held) for held in _far_apart(notes, lasting)]
    kinds = (first[1:], long, others, high[2:])
    turns = max(map(len, kinds))
    found = (kind[turn] for turn in range(turns) for kind in kinds if turn < len(kind))
    return (*first[:1], *high[:2], *found)


def _as_held(notes: Sequence[Note], held: Held, figures: PracticeFigures) -> tuple[bool, Held]:
    """A beginning; where its note lasts, that note with the long ones beside it."""
    lasting = _lasting(notes, figures)
    if held.place not in lasting:
        return True, held
    around = _around(notes, held.place, lasting, figures)
    return (True, held) if len(around.places) < len(held.places) else (False, around)


def _lasting(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that last."""
    return [
        place
        for place, note in enumerate(notes)
        if note.length_ms >= figures.study_long_ms and not (_is_decor(note) or SHORT & {*note.articulations})
    ]


def _around(notes: Sequence[Note], place: int, lasting: Sequence[int], figures: PracticeFigures) -> Held:
    """A note with others beside it that last, after it and before it, as soft or as loud as it is."""
    chosen = {place}
    at = [*lasting].index(place)
    for side in (lasting[at + 1 :], [*lasting[:at]][::-1]):
        beside = place
        for each in side:
            ends = min(*chosen, each), max(*chosen, each)
            far = _longest_rest_ms(notes, beside, each) > figures.rest_most_s * 1000
            if far or not _is_near(notes, *ends) or not _is_near(notes, place, each):
                break
            beside = each
            sounds = {notes[one].pitch.number for one in chosen}
            if notes[each].pitch.number not in sounds and len(sounds) < MOST_HELD:
                chosen.add(each)
    return Held(place, tuple(sorted(chosen)))


def _longest_rest_ms(notes: Sequence[Note], one: int, other: int) -> float:
    """The longest rest (ms) between two notes."""
    first, last = min(one, other), max(one, other)
    return max((rest_after(notes, place) for place in range(first, last)), default=0.0)
