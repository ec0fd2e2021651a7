"""Which notes of a passage are held one by one: long ones of each register, and risky beginnings."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.swells import grown
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

MIDDLE_NOTE, COLD_MORE, SOFTEST_MORE = 78, 6, 3
"""Notes about F#5 speak best; to come in cold is as much as half an octave, pp a little (judgement)."""

HIGH_ATTACK = 88
"""From E6 on a soft note is risky to begin; D6 and Eb6 where they are pp or cold (judgement)."""

SOFTEST = QUIET[1:]
"""As soft as the softest."""

ALONE_MS, ALONE_NOTE = 1000.0, 89
"""A note that lasts so long is worth holding alone where it is low, or high: F6 and above (judgement)."""

LONG_ALONE_MS, SOFT_ALONE_MS = 1800.0, 1500.0
"""So is any other one that lasts so long, or a soft one (judgement)."""


@dataclass(frozen=True, slots=True)
class Held:
    """Notes that are held one by one (indices, in their order), and the one they were chosen for."""

    place: int
    places: tuple[int, ...]


def soft_places(notes: Sequence[Note]) -> frozenset[int]:
    """The notes that are p or softer and have not grown since their mark; none before any level is told."""
    louder = grown(notes)
    told = next((place for place, note in enumerate(notes) if note.dynamic_sure), len(notes))
    return frozenset(
        place
        for place, note in enumerate(notes)
        if place >= told and note.dynamic in QUIET and not louder[place]
    )


def long_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """What is held on the days: about the longest soft note, then the longest of a register that had least.

    The registers are low, middle and third octave. No note comes twice; none is a grace, an ornament or
    staccato, and none short. One stands alone where it lasts long, a loud one after all others.
    Those from `study_high_note_number` on are apart.
    """
    soft = soft_places(notes)
    edge = figures.study_high_note_number
    left = [each for each in _lasting(notes, figures) if notes[each].pitch.number < edge]
    found: list[Held] = []
    had: list[int] = []

    def turn(place: int) -> tuple[bool, int, float, int, int]:
        note, first_soft = notes[place], not had and place in soft
        return not first_soft, had.count(_register(note)), -note.length_ms, -_far(note), place

    while left and len(found) < MOST_TURNS:
        held = _around(notes, min(left, key=turn), left, soft, figures)
        named = {notes[each].pitch.number for each in held.places}
        if _is_worth(notes, held, soft):
            found.append(held)
            had += [_register(notes[each]) for each in held.places]
        left = [each for each in left if notes[each].pitch.number not in named]
    return tuple(sorted(found, key=lambda held: len(held.places) == 1 and held.place not in soft))


def _far(note: Note) -> int:
    """How far a note is from those that speak best (semitones)."""
    return abs(note.pitch.number - MIDDLE_NOTE)


def _register(note: Note) -> int:
    """Low, middle, or third octave."""
    return (note.pitch.number > LOW_NOTE) + (note.pitch.number >= THIRD_OCTAVE)


def _is_worth(notes: Sequence[Note], held: Held, soft: Collection[int]) -> bool:
    """Whether there is more than one note to hold, or one that lasts, longer where it is not low or high."""
    note = notes[held.place]
    exposed = note.pitch.number >= ALONE_NOTE or note.pitch.number <= LOW_NOTE
    least_ms = ALONE_MS if exposed else SOFT_ALONE_MS if held.place in soft else LONG_ALONE_MS
    return len(held.places) > 1 or note.length_ms >= least_ms


def high_notes(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Held, ...]:
    """The highest note, however short, then those from `study_high_note_number` on that last.

    The highest come first, near ones together; none comes twice.
    """
    edge = figures.study_high_note_number
    soft = soft_places(notes)
    high = [each for each, note in enumerate(notes) if note.pitch.number >= edge and not _is_decor(note)]
    lasting = [each for each in _lasting(notes, figures) if each in high]
    top = max((notes[each].pitch.number for each in high), default=0)
    left = lasting if any(notes[each].pitch.number == top for each in lasting) else high
    found: list[Held] = []
    while left:
        place = min(left, key=lambda each: (-notes[each].pitch.number, -notes[each].length_ms, each))
        found.append(_with_near(notes, place, left, soft))
        named = {notes[each].pitch.number for each in found[-1].places}
        left = [each for each in left if notes[each].pitch.number not in named and each in lasting]
    return tuple(found)


def _is_decor(note: Note) -> bool:
    return note.grace or note.ornament is not None or bool(note.strokes)


def beginnings(notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures) -> tuple[Held, ...]:
    """Notes that are risky to begin, out of a rest, near ones together: what is feared first."""
    soft = soft_places(notes)
    attacks = (place for place in range(len(notes)) if _is_attack(notes, place, entering, figures))
    places = [place for place in attacks if place in soft and _is_risky(notes, place)]

    def risk(place: int) -> tuple[int, int]:
        note = notes[place]
        more = COLD_MORE * is_cold(notes, place) + SOFTEST_MORE * (note.dynamic in SOFTEST)
        return -_far(note) - more, place

    found: list[Held] = []
    while places and len(found) < MOST_BEGIN:
        found.append(_with_near(notes, min(places, key=risk), places, soft))
        named = {notes[each].pitch.number for each in found[-1].places}
        places = [each for each in places if notes[each].pitch.number not in named]
    return tuple(found)


def _is_attack(notes: Sequence[Note], place: int, entering: Sequence[int], figures: PracticeFigures) -> bool:
    """Whether a note is tongued out of a rest, no grace note before it, and its level is told."""
    note = notes[place]
    if note.slurred or note.held_over or _is_decor(note) or note.stress:
        return False
    if not (note.dynamic_sure or note.dynamic_mark):
        return False
    if place in entering:
        return True
    after = place > 0 and goes_on(notes, place - 1, place) and not notes[place - 1].grace
    return after and rest_after(notes, place - 1) >= figures.breath_rest_ms


def _is_risky(notes: Sequence[Note], place: int) -> bool:
    """Whether a soft beginning is high or low: of the third octave below E6 in pp, or after a long rest."""
    number = notes[place].pitch.number
    cold = is_cold(notes, place) or notes[place].dynamic in SOFTEST
    return number <= LOW_NOTE or number >= HIGH_ATTACK or (number >= THIRD_OCTAVE and cold)


def openings(
    notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[bool, Held], ...]:
    """What days open with, one after another: a beginning (True), long notes, high notes, in turn.

    What is held comes once, and not where the same notes are begun, which ends with long ones.
    """
    begin = beginnings(notes, entering, figures)
    begun = {each for held in begin for each in held.places}
    long = [held for held in long_notes(notes, figures) if not {*held.places} <= begun]
    kinds: tuple[Iterator[tuple[bool, Held]], ...] = (
        ((True, held) for held in begin),
        ((False, held) for held in long),
        ((False, held) for held in high_notes(notes, figures)),
    )
    return tuple(each for turn in zip_longest(*kinds) for each in turn if each)


def _lasting(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that last."""
    return [
        place
        for place, note in enumerate(notes)
        if note.length_ms >= figures.study_long_ms and not (_is_decor(note) or SHORT & {*note.articulations})
    ]


def _with_near(notes: Sequence[Note], place: int, others: Sequence[int], soft: Collection[int]) -> Held:
    """A note with others near it, one of each pitch, `MOST_HELD` at most."""
    chosen = {notes[place].pitch.number: place}
    for each in sorted(others, key=lambda each: abs(each - place)):
        if _is_near(notes, place, each, soft) and len(chosen) < MOST_HELD:
            chosen.setdefault(notes[each].pitch.number, each)
    return Held(place, tuple(sorted(chosen.values())))


def _is_near(notes: Sequence[Note], place: int, other: int, soft: Collection[int]) -> bool:
    """Whether two notes stand within `MOST_BARS`, both soft or neither."""
    first, last = sorted((place, other))
    bar = bar_length(notes[first])
    if not goes_on(notes, first, last) or notes[last].onset - notes[first].onset > MOST_BARS * bar:
        return False
    return (first in soft) is (last in soft)


def _around(
    notes: Sequence[Note],
    place: int,
    lasting: Sequence[int],
    soft: Collection[int],
    figures: PracticeFigures,
) -> Held:
    """A note with others beside it that last, after it and before it, as soft or as loud as it is."""
    chosen = {place}
    at = [*lasting].index(place)
    for side in (lasting[at + 1 :], [*lasting[:at]][::-1]):
        beside = place
        for each in side:
            ends = min(*chosen, each), max(*chosen, each)
            far = _longest_rest_ms(notes, beside, each) > figures.rest_most_s * 1000
            if far or not _is_near(notes, *ends, soft) or not _is_near(notes, place, each, soft):
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
