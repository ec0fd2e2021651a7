"""Lineage: which partial of which low grip a high grip is, and where it is vented.

A high grip is read as a low standard grip (below D5) overblown: the low grip's first open hole
stays open, the holes opened above it are the vents, the holes below it barely matter. A reading
counts when its unvented partial lies within 70 cents of the sounding pitch and every vent near
enough to a pressure node to be one. The best of them has

1. the fewest touches changed from the low grip (keys of the foot below its end do not count),
2. then the fewest holes changed below its first open hole,
3. then the partial nearest to the sounding pitch.

All frequencies are resonances of the model, so nothing is claimed above C#7.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from gripway.acoustics.atlas import grid, open_holes, resonances
from gripway.acoustics.harmonic_series import interval
from gripway.acoustics.ladder import Tube, total_impedance
from gripway.acoustics.low_grips import LowGrip, low_grips, touches_changed
from gripway.acoustics.standing_wave import StandingWave, standing_wave
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.mechanism import Hole
from gripway.model.pitch import plain_name
from gripway.units import frequency_hz

SEMITONE_CENTS = 100.0
"""Cents in an equal semitone."""

PARTIAL_WITHIN_CENTS = 70.0
"""A partial farther from the sounding pitch explains nothing: a judgement, set so that the standard
C7 of a C foot keeps its reading, 67 cents away."""

WIDEST_SHARE = 2.0 / 3.0
"""A hole farther from a node than this share of a quarter wavelength is no vent: it shortens the tube."""

SOUNDS_WITHIN_CENTS = 150.0
"""Without a resonance this near to the note, the grip is not known to sound it."""

ALSO_CENTS, ALSO_TOUCHES = 60.0, 1
"""A second reading is told when its partial is this near and it changes at most so many more touches."""

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, slots=True)
class Vent:
    """A hole the high grip opens above the low grip's first open one.

    `touches` are those that open it, by being `pressed` or else lifted. `distance_m` is from
    the nearest pressure node of the unvented grip's standing wave, `share` that distance over
    a quarter of the wavelength: 0 on the node, 1 where the pressure is largest.
    """

    hole: str
    title: str
    touches: tuple[str, ...]
    pressed: bool
    distance_m: float
    share: float


@dataclass(frozen=True, slots=True)
class Lineage:
    """A high grip as a partial of a low one.

    `fundamental` is the low grip's note number. `shift_cents` is the sounding resonance minus
    that partial of the unvented grip, `deviation_cents` minus the whole multiple of the low
    grip's fundamental. `also` holds other readings that are near: (note number, partial).
    """

    fundamental: int
    partial: int
    vents: tuple[Vent, ...]
    shift_cents: float
    deviation_cents: float
    also: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Reading:
    """One way to read a high grip, with what it is ranked by."""

    low: LowGrip
    partial: int
    unvented: float
    shift_cents: float
    touches: int
    holes_below: int

    @property
    def rank(self) -> tuple[int, int, float]:
        return self.touches, self.holes_below, abs(self.shift_cents)


def lineage(instrument: Instrument, tube: Tube, grip: Grip, number: int) -> Lineage | None:
    """The lineage of a grip that sounds a written note number.

    None where the grip sounds its own fundamental, has no resonance near the note, or is no
    partial of any low grip within a semitone.
    """
    return lineages(instrument, tube, [(grip, number)])[0]


def lineages(
    instrument: Instrument, tube: Tube, wanted: Sequence[tuple[Grip, int]]
) -> tuple[Lineage | None, ...]:
    """The lineages of many grips with their note numbers, in their order; computed at once."""
    if not wanted:
        return ()
    patterns = [instrument.mechanism.hole_pattern(grip) for grip, _ in wanted]
    soundings = _soundings(instrument, tube, patterns, [number for _, number in wanted])
    return tuple(
        None if sounding is None else _lineage(instrument, tube, grip, pattern, sounding)
        for (grip, _), pattern, sounding in zip(wanted, patterns, soundings, strict=True)
    )


def _soundings(
    instrument: Instrument, tube: Tube, patterns: Sequence[int], numbers: Sequence[int]
) -> list[float | None]:
    """The resonance (note number) that sounds each note; only the atlas's frequencies about them are used."""
    freq_hz, around = grid(), 2.0 + SOUNDS_WITHIN_CENTS / SEMITONE_CENTS
    lowest_hz, highest_hz = frequency_hz(min(numbers) - around), frequency_hz(max(numbers) + around)
    freq_hz = freq_hz[(lowest_hz <= freq_hz) & (freq_hz <= highest_hz)]
    is_open = open_holes(instrument, tube, np.array(patterns, dtype=np.int64))
    found, _, _ = resonances(freq_hz, total_impedance(freq_hz, tube, is_open))
    pairs = zip(found, numbers, strict=True)
    return [_nearest(row[~np.isnan(row)].tolist(), number) for row, number in pairs]


def _nearest(found: Iterable[float], number: int) -> float | None:
    """The resonance that sounds a note, if there is one."""
    near = min(found, key=lambda resonance: abs(resonance - number), default=np.inf)
    return near if abs(near - number) * SEMITONE_CENTS <= SOUNDS_WITHIN_CENTS else None


def _lineage(instrument: Instrument, tube: Tube, grip: Grip, pattern: int, sounding: float) -> Lineage | None:
    ranked = sorted(_readings(instrument, tube, grip, pattern, sounding), key=lambda reading: reading.rank)
    vented = ((reading, _vents(instrument, tube, reading, grip, pattern)) for reading in ranked)
    sound = ((reading, vents) for reading, vents in vented if all(v.share <= WIDEST_SHARE for v in vents))
    best, vents = next(sound, (None, ()))
    if best is None or best.partial == 1:
        return None
    return Lineage(
        fundamental=best.low.number,
        partial=best.partial,
        vents=vents,
        shift_cents=best.shift_cents,
        deviation_cents=SEMITONE_CENTS * (sounding - best.low.partials[0][1] - interval(best.partial)),
        also=tuple((other.low.number, other.partial) for other, _ in sound if _is_near(other, best)),
    )


def _is_near(other: _Reading, best: _Reading) -> bool:
    few = other.touches <= best.touches + ALSO_TOUCHES
    return few and other.partial not in (1, best.partial) and abs(other.shift_cents) <= ALSO_CENTS


def _readings(
    instrument: Instrument, tube: Tube, grip: Grip, pattern: int, sounding: float
) -> Iterator[_Reading]:
    for low in low_grips(instrument, tube):
        ends_there = pattern >> low.first & 1 or low.first == len(instrument.mechanism.holes)
        for partial, unvented in low.partials if ends_there else ():
            shift_cents = SEMITONE_CENTS * (sounding - unvented)
            if abs(shift_cents) <= PARTIAL_WITHIN_CENTS:
                touches = touches_changed(instrument, grip, low)
                below = (pattern ^ low.pattern) >> low.first
                yield _Reading(low, partial, unvented, shift_cents, touches, below.bit_count())


def _vents(
    instrument: Instrument, tube: Tube, reading: _Reading, grip: Grip, pattern: int
) -> tuple[Vent, ...]:
    """The holes opened above the low grip's first open one, head to foot."""
    holes, low = instrument.mechanism.holes, reading.low
    opened = [hole for place, hole in enumerate(holes[: low.first]) if pattern >> place & 1]
    if not opened:  # spares the standing wave
        return ()
    wave = _unvented(instrument, tube, low.pattern, frequency_hz(reading.unvented))
    return tuple(_vent(hole, tube, wave, grip, low.grip) for hole in opened)


@lru_cache(maxsize=256)
def _unvented(instrument: Instrument, tube: Tube, pattern: int, freq_hz: float) -> StandingWave:
    is_open = open_holes(instrument, tube, np.array([pattern]))[0]
    return standing_wave(tube, is_open.tolist(), freq_hz)


def _vent(hole: Hole, tube: Tube, wave: StandingWave, grip: Grip, low: Grip) -> Vent:
    pressed = not hole.open_at_rest
    moved = grip.mask & ~low.mask if pressed else low.mask & ~grip.mask
    x_m = next(here.x_m for here in tube.bore.holes if here.id == hole.id)
    distance_m = min(abs(x_m - node_m) for node_m in wave.nodes_m or (wave.effective_end_m,))
    quarter_m = tube.breath.at(x_m).speed / wave.freq_hz / 4.0
    return Vent(
        hole=hole.id,
        title=hole.title,
        touches=tuple(touch for touch in Grip(moved).touches if touch in hole.touches),
        pressed=pressed,
        distance_m=distance_m,
        share=distance_m / quarter_m,
    )


def lineage_text(found: Lineage) -> str:
    """A lineage in short: `G4 x3, vent L1`, or `E4 x4, vent L3; also A4 x3`."""
    touches = dict.fromkeys(touch for vent in found.vents for touch in vent.touches)
    text = f"{plain_name(found.fundamental)} x{found.partial}"
    text += f", vent {' '.join(touches)}" if touches else ""
    others = ", ".join(f"{plain_name(number)} x{partial}" for number, partial in found.also)
    return f"{text}; also {others}" if others else text


def lineage_sentence(found: Lineage) -> str:
    """A lineage in words, for people.

    `third partial of the G4 grip; lifting L1 opens the C#5 hole 14 mm from a pressure node: +10 cents`
    """
    text = "; ".join([_partial_words(found.fundamental, found.partial), *_vent_words(found.vents)])
    if round(found.shift_cents):
        cause = "" if found.vents else " with other holes below"
        text += f"{cause}: {round(found.shift_cents):+d} cents"
    if found.also:
        text += "; nearly " + " and ".join(f"the {_partial_words(*other)}" for other in found.also)
    return text


def _partial_words(number: int, partial: int) -> str:
    ordinal = ORDINALS[partial - 1] if partial <= len(ORDINALS) else f"{partial}th"
    return f"{ordinal} partial of the {plain_name(number)} grip"


def _vent_words(vents: Iterable[Vent]) -> Iterator[str]:
    """One phrase for each set of touches: `lifting L3 opens the A4 and G#4 holes 4 and 18 mm from ...`."""
    by_touches: dict[tuple[bool, tuple[str, ...]], list[Vent]] = {}
    for vent in vents:
        by_touches.setdefault((vent.pressed, vent.touches), []).append(vent)
    for (pressed, touches), opened in by_touches.items():
        verb = "pressing" if pressed else "lifting"
        yield f"{verb} {' and '.join(touches)} opens {_place_words(opened)}"


def _place_words(opened: Sequence[Vent]) -> str:
    titles = " and ".join(dict.fromkeys(vent.title for vent in opened))
    distances = " and ".join(dict.fromkeys(f"{vent.distance_m * 1000.0:.0f}" for vent in opened))
    where = "on" if distances == "0" else f"{distances} mm from"
    return f"the {titles} hole{'s' if len(opened) > 1 else ''} {where} a pressure node"
