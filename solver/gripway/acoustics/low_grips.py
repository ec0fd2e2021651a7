"""The low grips that high ones are overblown from: the standard grips below D5 with their partials."""

from dataclasses import dataclass
from functools import cache

from gripway.acoustics.atlas import atlas
from gripway.acoustics.harmonic_series import partials, resonances_of
from gripway.acoustics.ladder import Tube
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch

FIRST_HIGH = Pitch("D", 0, 5).number
"""Low grips sound below this note number: the first octave and what lies under it."""


@dataclass(frozen=True, slots=True)
class LowGrip:
    """A low grip with its note number, hole pattern and partials.

    `first` is the place of its first open hole (the number of holes where none is open),
    `partials` pairs of partial and sounding resonance (note numbers), the fundamental first.
    """

    number: int
    grip: Grip
    pattern: int
    first: int
    partials: tuple[tuple[int, float], ...]


@cache
def low_grips(instrument: Instrument, tube: Tube) -> tuple[LowGrip, ...]:
    """The standard grips below D5 that the instrument can play, low to high."""
    by_pitch = grip_rows(instrument)
    rows = [row for number in sorted(by_pitch) if number < FIRST_HIGH for row in by_pitch[number]]
    rows = [row for row in rows if row.kind == "standard" and allowed(row, instrument)]
    patterns = [instrument.mechanism.hole_pattern(row.grip) for row in rows]
    known = atlas(instrument, tube, patterns)
    return tuple(
        LowGrip(
            number=row.pitch,
            grip=row.grip,
            pattern=pattern,
            first=_first_open(pattern, len(instrument.mechanism.holes)),
            partials=tuple(partials(resonances_of(known, place)).items()),
        )
        for place, (row, pattern) in enumerate(zip(rows, patterns, strict=True))
    )


def _first_open(pattern: int, holes: int) -> int:
    return (pattern & -pattern).bit_length() - 1 if pattern else holes


def touches_changed(instrument: Instrument, grip: Grip, low: LowGrip) -> int:
    """How many touches a grip differs in from a low one; foot keys below the low one's end do not count."""
    reaching = {touch for hole in instrument.mechanism.holes[: low.first + 1] for touch in hole.touches}
    changed = Grip(grip.mask ^ low.grip.mask).touches
    return sum(1 for touch in changed if touch not in FOOT_TOUCHES or touch in reaching)
