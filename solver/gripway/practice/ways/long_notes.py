"""Which notes of a passage are held one by one: long ones of each register, and risky beginnings."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from math import inf

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.ways.entrances import is_cold
from gripway.practice.ways.sections import THIRD_OCTAVE
from gripway.practice.ways.swells import grown, grows
from gripway.practice.ways.way_conditions import QUIET, SHORT
from gripway.practice.ways.whole_passage import goes_on, rest_after

MOST_HELD = 4
"""Notes that are held on one day (judgement)."""

MOST_BARS = 4
"""They stand no more bars than this apart (judgement)."""

LEAST_TURNS, MOST_TURNS = 2, 6
"""A plan has so many groups of long notes where it can; so many are enough (judgement)."""

LOW_NOTE = 71
"""A note up to B4 is low: it does not speak at once (judgement)."""

MOST_BEGIN = 3
"""So many groups of beginnings are enough for a plan (judgement)."""

MIDDLE_NOTE, COLD_MORE, SOFTEST_MORE = 78, 6, 3
"""Notes about F#5 speak best; to come in cold is as much as half an octave, pp a little (judgement)."""

HIGH_ATTACK = 88
"""From E6 on a soft note is risky to begin; D6 and Eb6 where they are pp or cold (judgement)."""

BEGIN_REST_MS = 500.0
"""Below it a note begins after such a rest: a shorter one is within its phrase (judgement)."""

OCTAVE = 12
"""Semitones."""

SOFTEST = QUIET[1:]
"""As soft as the softest."""

SOFT_TIMES = 2
"""A soft note is exposed as a louder one of twice its length is (judgement)."""

LEAST_EXPOSED_S = 1.75
"""A note is held where it is as exposed as an F#5, not soft, of so many seconds (judgement)."""

BESIDE_SHARE = 0.4
"""Others are held with it that are so exposed themselves, or so much as it is (judgement)."""

LEAST_ROWS, FEW_SHARE = 2, 0.5
"""Where a plan would have fewer groups, others are held that are so much less exposed (judgement)."""

LOUD_HIGH_NOTE, LOUD_HIGH_MS = 89, 1000.0
"""From F6 on a note that is not soft is held where it lasts so long (judgement)."""

EASY_SEMITONES, EASY_MS = 1, 3000.0
"""F5 to G5, not soft and shorter than this, speak by themselves beside others (judgement)."""

SHORT_HIGH_MS = 200.0
"""A high note that goes by sooner is held only where it comes after a rest (judgement)."""


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


def held_softly(notes: Sequence[Note]) -> frozenset[int]:
    """The notes that are soft to their end: no cresc. stands under them."""
    return frozenset(place for place in soft_places(notes) if not grows(notes[place]))


def exposure_s(note: Note, *, soft: bool) -> float:
    """How much a note is heard by itself: how long it lasts, more where it is soft, high or low (s)."""
    return note.length_ms / 1000 * (1 + _far(note) / OCTAVE) * (SOFT_TIMES if soft else 1)


def long_notes(
    notes: Sequence[Note],
    figures: PracticeFigures,
    begun: Collection[int] = (),
    share: float = 1.0,
    high: Collection[int] = (),
) -> tuple[Held, ...]:
    """What is held on the days: the most exposed of the notes that last, near ones together.

    A soft line comes on one day before it goes on with other notes. No note comes twice, nor softly
    one that is `begun` on another day (note numbers), nor loudly one that comes with `high` ones; none is
    a grace, an ornament or staccato. Those from `study_high_note_number` on are apart. None where nothing
    lasts. `share` is how much of what is usual they last.
    """
    least_s = share * LEAST_EXPOSED_S
    soft = held_softly(notes)
    lasts_ms = _with_repeats(notes, figures)
    exposed = {
        place: exposure_s(replace(note, length_ms=lasts_ms[place]), soft=place in soft)
        for place, note in enumerate(notes)
    }

    def is_held(place: int) -> bool:
        number = notes[place].pitch.number
        passes = number >= LOUD_HIGH_NOTE and lasts_ms[place] < share * LOUD_HIGH_MS
        free = number not in begun if place in soft else not (passes or number in high)
        return number < figures.study_high_note_number and free

    left = [place for place in _lasting(notes, figures) if is_held(place)]
    found: list[Held] = []
    while left:
        place = max(left, key=lambda each: (exposed[each], -each))
        if exposed[place] < least_s:
            break
        least = min(least_s, BESIDE_SHARE * exposed[place])
        beside = [each for each in left if exposed[each] >= least]
        found.append(_around(notes, place, beside, soft, figures))
        named = {notes[each].pitch.number for each in found[-1].places}
        left = [each for each in left if notes[each].pitch.number not in named]
    found.sort(key=lambda held: -sum(exposed[place] for place in held.places))
    risky = [held for held in found if not _is_easy(notes, held, soft)]
    found = risky if len(risky) >= LEAST_TURNS else found
    found = sorted(found, key=lambda held: _is_of_line(notes, held, found, soft))
    return tuple(found[:MOST_TURNS])


def _is_easy(notes: Sequence[Note], held: Held, soft: frozenset[int]) -> bool:
    """Whether some notes speak by themselves: about F#5, not soft, not held for very long."""
    named = [notes[place] for place in held.places]
    easy = all(_far(note) <= EASY_SEMITONES and note.length_ms < EASY_MS for note in named)
    return easy and not soft & {*held.places}


def _is_of_line(notes: Sequence[Note], held: Held, found: Sequence[Held], soft: frozenset[int]) -> bool:
    """Whether soft notes go on with the line of others that come before them: no more than a bar after."""
    first, before = held.places[0], found[: found.index(held)]
    lines = [range(each.places[-1], first + 1) for each in before if each.places[-1] < first]
    return any(
        soft.issuperset(line)
        and goes_on(notes, line[0], first)
        and notes[first].onset - notes[line[0]].onset <= bar_length(notes[first])
        for line in lines
    )


def _far(note: Note) -> int:
    """How far a note is from those that speak best (semitones)."""
    return abs(note.pitch.number - MIDDLE_NOTE)


def high_notes(
    notes: Sequence[Note], figures: PracticeFigures, begun: Collection[int] = ()
) -> tuple[Held, ...]:
    """From `study_high_note_number` on: the highest, all of them together, then what is soft or lasts.

    The highest are those from `high_change_note_number` on, however short they are. Others come with those
    near them, loud ones from F6 on among them. None comes twice, none that only passes or is `begun` softly.
    """
    edge, top = figures.study_high_note_number, _top(figures)
    soft, lasting = held_softly(notes), {*_lasting(notes, figures)}

    def is_held(place: int) -> bool:
        note = notes[place]
        rests = place > 0 and goes_on(notes, place - 1, place) and rest_between(notes[place - 1], note) > 0
        is_begun = place in soft and note.pitch.number in begun
        lasts = note.length_ms >= SHORT_HIGH_MS and not (place in soft and SHORT & {*note.articulations})
        return not (_is_decor(note) or is_begun) and (rests or lasts or note.pitch.number >= top)

    high = [each for each, note in enumerate(notes) if note.pitch.number >= edge and is_held(each)]
    longest = _longest_of_each(notes, high)
    last = max(longest, default=0)
    left = [
        each
        for each in high
        if each in lasting
        or notes[each].pitch.number >= (figures.high_change_note_number if each in soft else top)
        or (notes[each].pitch.number == last and not SHORT & {*notes[each].articulations})
    ]
    lasts_ms = _with_repeats(notes, figures)
    loud = [
        each
        for each in lasting - soft
        if LOUD_HIGH_NOTE <= notes[each].pitch.number < edge and lasts_ms[each] >= LOUD_HIGH_MS
    ]

    def is_as_its_longest(place: int) -> bool:
        number = notes[place].pitch.number
        return number >= top or (place in soft) is (longest[number] in soft)

    def turn(place: int) -> tuple[bool, bool, int, float, int]:
        note = notes[place]
        softly = place in soft and longest[note.pitch.number] == place
        high_enough = note.pitch.number >= top
        return not high_enough, not (softly or high_enough), -note.pitch.number, -note.length_ms, place

    found: list[Held] = []
    while left:
        place = min(left, key=turn)
        if not found and last >= top:
            others = [each for each in (left if place in lasting else high) if is_as_its_longest(each)]
            found.append(_highest(notes, place, [*others, *loud], soft, figures))
        else:
            found.append(_with_near(notes, place, [*left, *loud] if place in lasting else high, soft))
        named = {notes[each].pitch.number for each in found[-1].places}
        left = [each for each in left if notes[each].pitch.number not in named]
    return tuple(found)


def _longest_of_each(notes: Sequence[Note], places: Sequence[int]) -> dict[int, int]:
    """The longest of the notes of each pitch, by its number; the first of those that are as long."""
    by_length = sorted(places, key=lambda each: (notes[each].length_ms, -each))
    return {notes[each].pitch.number: each for each in by_length}


def _highest(
    notes: Sequence[Note],
    place: int,
    places: Sequence[int],
    soft: Collection[int],
    figures: PracticeFigures,
) -> Held:
    """The highest of some notes, wherever they stand; others as loud that are near, `MOST_HELD` in all."""
    most = 2 * MOST_BARS * bar_length(notes[place])

    def turn(each: int) -> tuple[bool, bool, bool, int]:
        note = notes[each]
        passes, short = (note.length_ms < least for least in (SHORT_HIGH_MS, figures.study_long_ms))
        return note.pitch.number < _top(figures), passes, short, abs(each - place)

    chosen: dict[int, int] = {}
    for each in sorted(places, key=turn):
        near = abs(notes[each].onset - notes[place].onset) <= most and (each in soft) is (place in soft)
        if len(chosen) < MOST_HELD and (near or not turn(each)[0]):
            chosen.setdefault(notes[each].pitch.number, each)
    return Held(place, tuple(sorted(chosen.values())))


def _is_decor(note: Note) -> bool:
    return note.grace or note.ornament is not None or bool(note.strokes)


def beginnings(notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures) -> tuple[Held, ...]:
    """Notes that are risky to begin, near ones together: out of a rest what is feared first, then others."""
    soft = soft_places(notes)
    after = {place for place in soft if _is_after_rest(notes, place, entering, figures)}
    attacks = (place for place in sorted(soft) if place in after or _is_high_staccato(notes[place]))
    places = [place for place in attacks if _is_attack(notes[place]) and _is_risky(notes, place)]

    def risk(place: int) -> tuple[bool, int, int]:
        note = notes[place]
        more = COLD_MORE * is_cold(notes, place) + SOFTEST_MORE * (note.dynamic in SOFTEST)
        return place not in after, -_far(note) - more, place

    found: list[Held] = []
    while places and len(found) < MOST_BEGIN:
        found.append(_with_near(notes, min(places, key=risk), places, soft))
        named = {notes[each].pitch.number for each in found[-1].places}
        places = [each for each in places if notes[each].pitch.number not in named]
    return tuple(found)


def _is_attack(note: Note) -> bool:
    """Whether a note is tongued, and its level is told."""
    tongued = not (note.slurred or note.held_over or _is_decor(note) or note.stress)
    return tongued and bool(note.dynamic_sure or note.dynamic_mark)


def _is_high_staccato(note: Note) -> bool:
    """Whether a note is high and so short that each is begun anew."""
    return note.pitch.number >= HIGH_ATTACK and bool(SHORT & {*note.articulations})


def _is_after_rest(
    notes: Sequence[Note], place: int, entering: Sequence[int], figures: PracticeFigures
) -> bool:
    """Whether a note comes in, or after a rest with no grace note before it."""
    note = notes[place]
    if place in entering:
        return True
    after = place > 0 and goes_on(notes, place - 1, place) and not notes[place - 1].grace
    least_ms = figures.breath_rest_ms if note.pitch.number >= HIGH_ATTACK else BEGIN_REST_MS
    return after and rest_after(notes, place - 1) >= least_ms


def _is_risky(notes: Sequence[Note], place: int) -> bool:
    """Whether a soft beginning is high or low: of the third octave below E6 in pp, or after a long rest."""
    number = notes[place].pitch.number
    cold = is_cold(notes, place) or notes[place].dynamic in SOFTEST
    return number <= LOW_NOTE or number >= HIGH_ATTACK or (number >= THIRD_OCTAVE and cold)


def openings(
    notes: Sequence[Note], entering: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[bool, Held], ...]:
    """What days open with, one after another: a beginning (True), long notes, high notes, in turn.

    What is begun and lasts ends long: it is not held on another day. A course opens with the highest notes of
    all, from `high_change_note_number` on, where there are any, and begins none of the high ones softly then.
    They come once more after all others, unless one of these is as high.
    """
    begin = beginnings(notes, entering, figures)
    ends_long = {*_lasting(notes, figures)}
    begun = {notes[at].pitch.number for held in begin for at in held.places if at in ends_long}
    high = high_notes(notes, figures, begun)
    named = {notes[place].pitch.number for held in high for place in held.places}
    lasting = [long_notes(notes, figures, begun, high=named), high]
    if len(begin) + sum(map(len, lasting)) < LEAST_ROWS:
        more = LEAST_ROWS - len(begin) - len(high)
        lasting = [high, long_notes(notes, figures, begun, FEW_SHARE)[:more]]
    kinds: list[Iterator[tuple[bool, Held]]] = [
        ((True, held) for held in begin),
        *(((False, held) for held in each) for each in lasting),
    ]
    edge = figures.study_high_note_number
    if any(notes[place].pitch.number >= edge for held in begin[:1] for place in held.places):
        kinds.append(kinds.pop(0))
    found = [each for turn in zip_longest(*kinds) for each in turn if each]
    top = _top(figures)

    def has_highest(each: tuple[bool, Held]) -> bool:
        begins, held = each
        return not begins and any(notes[at].pitch.number >= top for at in held.places)

    found.sort(key=has_highest, reverse=True)
    others = [notes[at].pitch.number for _, held in found[1:] for at in held.places]
    again = [each for each in found[:1] if has_highest(each) and max(others, default=0) < top]
    return (*found, *again)


def _top(figures: PracticeFigures) -> float:
    """From this note number on notes are held on the first day, however short; on the piccolo none are."""
    top = figures.high_change_note_number
    return top if top > figures.study_high_note_number else inf


def _lasting(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that last."""
    return [
        place
        for place, note in enumerate(notes)
        if note.length_ms >= figures.study_long_ms and not (_is_decor(note) or SHORT & {*note.articulations})
    ]


def _with_repeats(notes: Sequence[Note], figures: PracticeFigures) -> list[float]:
    """How long (ms) each note lasts, one from F6 on with those after it that are the same and last, too."""
    found = [note.length_ms for note in notes]
    for place in range(len(notes) - 2, -1, -1):
        one, other = notes[place : place + 2]
        lasts = min(one.length_ms, other.length_ms) >= figures.study_long_ms
        again = (
            one.pitch == other.pitch and goes_on(notes, place, place + 1) and rest_between(one, other) <= 0
        )
        if lasts and again and one.pitch.number >= LOUD_HIGH_NOTE:
            found[place] += found[place + 1]
    return found


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
