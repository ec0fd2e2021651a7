"""The setting of a note and the link between two notes: everything a cost asks of the music."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

from gripway.catalog.tables.effort_figures import Dynamic, EffortTables, Figures
from gripway.model.grip import Grip
from gripway.model.passage import Note, rest_between
from gripway.model.pitch import Pitch

B_PITCH_CLASS = 11
B_FLATS = frozenset({70, 82})
"""Written B-flats that the thumb lever gives; higher ones have it or not."""

SPOILT = frozenset({*range(B_PITCH_CLASS, 128, 12), 90, 99})
"""Notes the thumb B-flat lever spoils: every B natural, F#6 and D#7."""

SHORTEST_MS = 1.0
"""No two notes are nearer than this: scores can say so, players cannot play it."""

KEPT_SETS = 4096
"""So many different sets of a setting are kept as one object each."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What holding a note is judged by.

    `exposure` runs from 0 to 1 on short notes and on with the length of long ones, more when soft;
    `sustain` runs from 0 on a passing note to 1 on a sustained one; `uses` are the settings that
    apply (motion, quick, leap, turn, return, held, sustained, soft, loud);
    `neighbours` the pitches before and after; `partners` those this note alternates with (none where
    another note leads to it), and `alternation` (0..1) how fast; `trill` is the other pitch of a written
    trill or lone tremolo on this note, `from_upper` says that it begins with that; `auxiliaries` are
    the other pitches of a mordent, a turn or a trill's ending in the order they are played,
    `auxiliary_ms` the time each of its notes has; `trill_grip` is asked for of the trill's other note;
    `paired` says that the note is such a one, judged as a pair as well; `near` says how B natural and F#6
    lie about: beside, near, flat or sharp (see b_flat.csv).
    """

    exposure: float
    sustain: float
    drift_cents: float
    uses: frozenset[str]
    neighbours: frozenset[int]
    partners: frozenset[int]
    alternation: float
    near: str
    trill: int | None = None
    auxiliaries: tuple[int, ...] = ()
    auxiliary_ms: float = 0.0
    from_upper: bool = False
    trill_grip: Grip | None = None
    paired: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """What a change is judged by: time from onset to onset (ms), alternation 0..1, tonguing.

    `rested`: the part rests between the two notes. `fresh` has a bit for each finger that moved into the note
    before, by the plain grips: it has had no more than `available_ms` to turn round. `kept` says that the
    grip must stay: a repeated note.
    """

    available_ms: float
    alternation: float
    slurred: bool
    fresh: int = 0
    kept: bool = False
    rested: bool = False


def links(notes: tuple[Note, ...], figures: Figures) -> tuple[Link, ...]:
    """The link into each note from the one before; `links[0]` has no meaning (a full line)."""
    into_ms = [_into_ms(notes, place, figures) for place in range(len(notes))].__getitem__
    return tuple([_link(notes, place, into_ms, figures) for place in range(len(notes))])


def link_into(notes: tuple[Note, ...], place: int, figures: Figures) -> Link:
    """The link into one note, as of `links`."""
    return _link(notes, place, lambda near: _into_ms(notes, near, figures), figures)


def _link(notes: tuple[Note, ...], place: int, into_ms: Callable[[int], float], figures: Figures) -> Link:
    """The link into a note; `into_ms` gives the time available for the change into any note."""
    if place == 0:
        return Link(10_000.0, 0.0, slurred=False)
    tremolo = is_fingered_tremolo(notes, place)
    trilling = tremolo or _begins_trill(notes, place)
    slowest_ms = into_ms(place) if trilling else _alternating_ms(notes, place, into_ms)
    fast = 0.0 if slowest_ms is None else _alternation(slowest_ms, figures)
    fast = 1.0 if tremolo else fast  # however the ramp lies
    rested = rest_between(notes[place - 1], notes[place]) > 0
    return Link(into_ms(place), fast, notes[place].slurred, rested=rested)


def _into_ms(notes: tuple[Note, ...], place: int, figures: Figures) -> float:
    """Time available for the change into a note; that of a trill inside a fingered tremolo."""
    if place == 0:
        return 10_000.0
    available_ms = _available_ms(notes[place - 1], notes[place], figures)
    return min(available_ms, figures.trill_note_ms) if is_fingered_tremolo(notes, place) else available_ms


def _available_ms(before: Note, after: Note, figures: Figures) -> float:
    """Time from onset to onset, rests included; grace notes have their own short length."""
    onset_to_onset = after.onset_ms - before.onset_ms
    available = onset_to_onset if onset_to_onset > 0.0 else max(before.length_ms, figures.grace_least_ms)
    return max(SHORTEST_MS, round(available, 3))


def is_fingered_tremolo(notes: Sequence[Note], place: int) -> bool:
    """Whether a note is the second of a tremolo between two written notes."""
    before, after = notes[place - 1].ornament, notes[place].ornament
    if before is None or after is None or {before.kind, after.kind} != {"tremolo"}:
        return False
    partner = before.upper or before.lower
    return partner is not None and partner.number == notes[place].pitch.number


def _begins_trill(notes: Sequence[Note], place: int) -> bool:
    """Whether the note before is the other note of the trill on this one: the trill begins with it."""
    return notes[place - 1].pitch.number == trilled_with(notes, place)


def _alternation(slowest_ms: float, figures: Figures) -> float:
    """1 at the speed of a trill and quicker, less in proportion down to 0."""
    return min(1.0, max(0.0, 1.0 - (slowest_ms - figures.alternation_full_ms) / figures.alternation_fade_ms))


def _alternating_ms(notes: tuple[Note, ...], place: int, into_ms: Callable[[int], float]) -> float | None:
    """The slowest time of an a b a b (four notes) with the change into `place`; None where there is none.

    Of several such groups the quickest counts.
    """
    slowest = []
    for start in range(max(0, place - 3), min(place, len(notes) - 3)):
        a, b, c, d = (notes[start + k].pitch.number for k in range(4))
        if a == c and b == d and a != b:
            slowest.append(max(into_ms(start + 1), into_ms(start + 2), into_ms(start + 3)))
    return min(slowest, default=None)


def settings(notes: tuple[Note, ...], between: tuple[Link, ...], tables: EffortTables) -> tuple[Setting, ...]:
    """The setting of every note; `between` are the links into each note."""
    return tuple(setting_of(notes, place, between, tables) for place in range(len(notes)))


@lru_cache(KEPT_SETS)
def _words(uses: frozenset[str]) -> frozenset[str]:
    """One object for equal sets: a long part has few of them."""
    return uses


@lru_cache(KEPT_SETS)
def _pitches(numbers: frozenset[int]) -> frozenset[int]:
    """The same for pitches."""
    return numbers


def setting_of(
    notes: tuple[Note, ...],
    place: int,
    between: Sequence[Link] | Mapping[int, Link],
    tables: EffortTables,
) -> Setting:
    """The setting of one note; `between` has at least the links into it and into the next."""
    note, figures = notes[place], tables.figures
    dynamic = tables.dynamics[note.dynamic]
    sustain = _sustain(note.length_ms, figures)
    sides = [(place - 1, place), (place + 1, place + 1)]
    near_by = [(other, link) for other, link in sides if 0 <= other < len(notes)]
    entered = place == 0 or between[place].alternation > 0.0
    partners = frozenset(
        notes[other].pitch.number for other, link in near_by if entered and between[link].alternation > 0.0
    )
    auxiliaries = _auxiliaries(note)
    trill = trilled_with(notes, place)
    asides = auxiliaries_of(note)
    alternation = max((between[link].alternation for _, link in near_by), default=0.0)
    return Setting(
        exposure=round(
            _exposure(note.length_ms, figures) * (figures.exposure_soft_factor if dynamic.soft else 1.0), 3
        ),
        sustain=sustain,
        drift_cents=round(dynamic.drift_cents * sustain, 3),
        uses=_words(_uses(note.length_ms, dynamic, figures) | _shape(notes, place, figures)),
        neighbours=_pitches(frozenset(notes[other].pitch.number for other, _ in near_by) | auxiliaries),
        partners=_pitches(partners | auxiliaries),
        alternation=round(alternation, 3) if trill is None else 1.0,
        near=_near(notes, place, int(figures.b_flat_span_notes)),
        trill=trill,
        auxiliaries=tuple(pitch.number for pitch in asides),
        auxiliary_ms=auxiliary_ms(note, figures) if asides else 0.0,
        from_upper=trill is not None and note.ornament is not None and note.ornament.from_upper,
        trill_grip=note.ornament.other_grip if trill is not None and note.ornament is not None else None,
    )


def _exposure(length_ms: float, figures: Figures) -> float:
    """How much a note can be heard by itself: its length, up to a full note, then with its logarithm."""
    full = length_ms / figures.exposure_full_ms
    return full if full < 1.0 else 1.0 + log(full)


def _sustain(length_ms: float, figures: Figures) -> float:
    """0 for a passing note (one that is not fully exposed), 1 for a sustained one, a ramp between."""
    share = (length_ms - figures.exposure_full_ms) / (figures.sustained_ms - figures.exposure_full_ms)
    return round(min(1.0, max(0.0, share)), 3)


def is_leap(one: int, other: int, figures: Figures) -> bool:
    """Whether two pitches (note numbers) are a leap apart."""
    return abs(one - other) >= figures.leap_least_semitones


def _shape(notes: tuple[Note, ...], place: int, figures: Figures) -> frozenset[str]:
    """`leap`: a quick note reached and left by leaps (one at an end), less quick beside the top.

    `turn`: a note between two of a pitch; `return`: its pitch comes again after one other note.
    """
    near = [notes[other] for other in (place - 1, place + 1) if 0 <= other < len(notes)]
    here, length_ms = notes[place].pitch.number, notes[place].length_ms
    wide = near and all(is_leap(n.pitch.number, here, figures) for n in near)
    top = any(n.pitch.number >= figures.harmonic_real_from_note_number for n in near)
    leap_longest_ms = figures.leap_longest_to_top_ms if top else figures.leap_longest_ms
    shapes = {
        "leap": wide and length_ms < leap_longest_ms,
        "return": any(
            notes[other].pitch.number == here for other in (place - 2, place + 2) if 0 <= other < len(notes)
        ),
        "turn": len(near) == 2 and near[0].pitch.number == near[1].pitch.number != here,
    }
    return frozenset(shape for shape, holds in shapes.items() if holds)


def _auxiliaries(note: Note) -> frozenset[int]:
    """The other pitches a note's ornament touches."""
    if note.ornament is None:
        return frozenset()
    others = (note.ornament.upper, note.ornament.lower)
    return frozenset(pitch.number for pitch in others if pitch is not None)


def auxiliaries_of(note: Note) -> tuple[Pitch, ...]:
    """The other pitches of a mordent, a turn or a trill's ending in the order they are played.

    The fingers leave the written note for each of them and come back: a turn is played main,
    upper, main, lower, main. What a trill alternates with is none of them.
    """
    ornament = note.ornament
    if ornament is None or ornament.kind in ("trill", "tremolo"):
        return () if ornament is None or ornament.ending is None else (ornament.ending,)
    sides = (ornament.upper, ornament.lower)
    if ornament.kind == "inverted-turn":
        sides = (ornament.lower, ornament.upper)
    return tuple(pitch for pitch in sides if pitch is not None)


def auxiliary_ms(note: Note, figures: Figures) -> float:
    """The time of each note of a mordent, a turn or a trill's ending.

    As much as the written note leaves, up to a most.
    """
    count = 2 * len(auxiliaries_of(note)) + 1
    return max(SHORTEST_MS, round(min(figures.ornament_note_ms, note.length_ms / count), 3))


def trilled_with(notes: Sequence[Note], place: int) -> int | None:
    """The pitch a note alternates with inside itself: a trill, or a tremolo with no second note."""
    ornament = notes[place].ornament
    if ornament is None or ornament.kind not in ("trill", "tremolo"):
        return None
    paired = any(
        0 < second < len(notes) and is_fingered_tremolo(notes, second) for second in (place, place + 1)
    )
    other = ornament.upper or ornament.lower
    return None if paired or other is None else other.number


def _uses(length_ms: float, dynamic: Dynamic, figures: Figures) -> frozenset[str]:
    uses = {"soft": dynamic.soft, "pp": dynamic.soft, "loud": dynamic.loud}
    return length_uses(length_ms, figures) | {use for use, holds in uses.items() if holds}


def length_uses(length_ms: float, figures: Figures) -> frozenset[str]:
    """The settings that a note's length makes."""
    uses = {
        "motion": length_ms < figures.exposure_full_ms,
        "quick": length_ms < figures.quick_longest_ms,
        "held": length_ms >= figures.held_from_ms,
        "sustained": length_ms >= figures.sustained_ms,
    }
    return frozenset(use for use, holds in uses.items() if holds)


def _near(notes: tuple[Note, ...], place: int, span: int) -> str:
    around = notes[max(0, place - span) : place + span + 1]
    beside = notes[max(0, place - 1) : place + 2]
    if not SPOILT.isdisjoint([note.pitch.number for note in around]):
        return "near" if SPOILT.isdisjoint([note.pitch.number for note in beside]) else "beside"
    spelt_flat = any(note.pitch.number in B_FLATS and note.pitch.alter < 0 for note in around)
    return "flat" if notes[place].fifths < 0 or spelt_flat else "sharp"
