"""The harmonic series of a low grip: its resonances as partials, and how far they stray.

A real flute's partials are not pure: holes, cork and lips shift each by its own amount. The
atlas ends just below D7, and so does the series; resonances lost in the open holes above the
tube's cutoff are left out, never guessed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from gripway.acoustics.atlas import Atlas, atlas
from gripway.acoustics.ladder import Tube
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument


@dataclass(frozen=True, slots=True)
class Partial:
    """One partial of a grip: where it sounds, and how far that is from pure and from tempered.

    `sounding` is a fractional note number (60 = C4). `pitch` is the note number of the
    tempered pitch nearest to the pure partial of the written fundamental, `pure_cents` the
    distance from the whole multiple of the grip's own fundamental, `tempered_cents` the
    distance from `pitch`.
    """

    partial: int
    sounding: float
    pitch: int
    pure_cents: float
    tempered_cents: float


def series(instrument: Instrument, tube: Tube, grip: Grip) -> tuple[Partial, ...]:
    """The partials of a grip from its fundamental up, as far as the atlas goes.

    Empty when the grip has no resonance in the atlas's range. Meant for low grips: the lowest
    resonance of a grip counts as its fundamental.
    """
    found = partials(resonances_of(atlas(instrument, tube, [instrument.mechanism.hole_pattern(grip)]), 0))
    if not found:
        return ()
    written = round(found[1])
    return tuple(_partial(place, number, found[1], written) for place, number in found.items())


def _partial(place: int, sounding: float, fundamental: float, written: int) -> Partial:
    pitch = round(written + interval(place))
    return Partial(
        partial=place,
        sounding=sounding,
        pitch=pitch,
        pure_cents=100.0 * (sounding - fundamental - interval(place)),
        tempered_cents=100.0 * (sounding - pitch),
    )


def interval(partial: int) -> float:
    """Semitones from the fundamental to a pure partial.

    >>> round(interval(3), 3)
    19.02
    """
    return float(12.0 * np.log2(partial))


def partials(resonances: Iterable[float]) -> dict[int, float]:
    """Resonances (note numbers, lowest first) by the partial each is nearest to.

    Where two are nearest to the same partial the nearer one counts.

    >>> partials([60.0, 72.1, 79.0, 83.9])
    {1: 60.0, 2: 72.1, 3: 79.0, 4: 83.9}
    """
    numbers = list(resonances)
    found: dict[int, float] = {}
    for number in numbers:
        partial = round(2.0 ** ((number - numbers[0]) / 12.0))
        pure = numbers[0] + interval(partial)
        if partial not in found or abs(number - pure) < abs(found[partial] - pure):
            found[partial] = number
    return found


def resonances_of(known: Atlas, row: int) -> tuple[float, ...]:
    """The resonances (note numbers) in one row of an atlas, lowest first."""
    return tuple(float(number) for number in known.numbers[row] if not np.isnan(number))
