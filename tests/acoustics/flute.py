"""The measured flute as the tests sound it: grips by text, resonances, air without losses."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from gripway.acoustics.air import Air, Breath
from gripway.acoustics.atlas import Atlas, atlas
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.player_terms import player_term
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch

COUNTED_SHARPNESS = 40.0
"""Lower resonances with a smaller quality factor than this do not count for a gap.

The list of gaps this is compared with was made with another quality factor and its limit 15;
no resonance of the grips in it has a factor between 28 and 47 here.
"""

IDEAL_AIR = Air(density=1.2, speed=343.0, viscosity=1e-16, gamma=1.4, root_prandtl=0.84)


class IdealBreath(Breath):
    """Air without losses, the same everywhere."""

    def at(self, x_m: float) -> Air:
        """The same air at any place."""
        return IDEAL_AIR


IDEAL_BREATH = IdealBreath(at_embouchure_c=20.0, fall_c_per_m=0.0, speed_factor=1.0)


@dataclass(frozen=True)
class Sound:
    """One grip at one note: cents from equal temperament, cents down to the next resonance, loss."""

    cents: float
    gap_cents: float
    loss: float


def flute(*parts: str) -> Instrument:
    """The concert flute with these parts."""
    return load_instrument("concert-flute", parts)


def tube_of(instrument: Instrument, bore: int = 0) -> Tube:
    """The measured bore (0) or Boehm's scheme (1) with its fitted player."""
    chosen = bores(instrument)[bore]
    return Tube(chosen, PlayerTerm(*player_term(chosen.id)))


def number(name: str) -> int:
    """The note number of a pitch name."""
    return Pitch.parse(name).number


def standard_grip(name: str, *parts: str) -> Grip:
    """The first standard grip of a note."""
    return grip_rows(flute(*parts))[number(name)][0].grip


def standard_patterns(instrument: Instrument, lowest: int, highest: int) -> dict[int, int]:
    """Hole pattern of the standard grip by note number."""
    rows = grip_rows(instrument)
    return {n: instrument.mechanism.hole_pattern(rows[n][0].grip) for n in range(lowest, highest + 1)}


@cache
def resonances_of(grip: Grip, *parts: str) -> Atlas:
    """The resonances of one grip on the measured flute."""
    instrument = flute(*parts)
    return atlas(instrument, tube_of(instrument), [instrument.mechanism.hole_pattern(grip)])


def sound(grip: Grip | str, name: str, *parts: str) -> Sound:
    """How a grip sounds a note: its resonance nearest to the note."""
    held = Grip.parse(grip) if isinstance(grip, str) else grip
    found = resonances_of(held, *parts)
    numbers = found.numbers[0]
    place = int(np.nanargmin(np.abs(numbers - number(name))))
    lower = [n for n, q in zip(numbers[:place], found.sharpness[0], strict=False) if q > COUNTED_SHARPNESS]
    gap = 100.0 * (numbers[place] - lower[-1]) if lower else np.inf
    return Sound(float(100.0 * (numbers[place] - number(name))), float(gap), float(found.loss[0, place]))


def partials(name: str, *parts: str) -> list[float]:
    """Note numbers of the resonances of a note's standard grip, low to high: its partials."""
    numbers = resonances_of(standard_grip(name, *parts), *parts).numbers[0]
    return [float(n) for n in numbers[~np.isnan(numbers)]]
