"""What hole patterns can sound: the resonance nearest a note, and every note of every pattern.

`nearest_resonances` stays in arrays; `Sounds` (model/survey.py) is plain Python.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.atlas import Atlas
from gripway.acoustics.tube import Real
from gripway.catalog.tables.acoustic_limits import AcousticLimits, acoustic_limits
from gripway.model.survey import Sounds

Rows = NDArray[np.int64]


@dataclass(frozen=True)
class NearestResonances:
    """The resonance of each pattern nearest to one note, axes (pattern,).

    `numbers` are note numbers, `loss` and `sharpness` as in Atlas; `gap_cents` lies between it
    and the next lower resonance that is sharp enough to sound (infinite where there is none).
    """

    numbers: Real
    loss: Real
    sharpness: Real
    gap_cents: Real


def nearest_resonances(atlas: Atlas, number: float, rows: Rows | None = None) -> NearestResonances:
    """What each pattern of an atlas (or only some of its rows) sounds nearest to a note number."""
    chosen = slice(None) if rows is None else rows
    numbers, loss, sharpness = atlas.numbers[chosen], atlas.loss[chosen], atlas.sharpness[chosen]
    distance = np.abs(numbers - number)
    place = np.argmin(np.where(np.isnan(distance), np.inf, distance), axis=1)[:, np.newaxis]
    own = np.take_along_axis(numbers, place, axis=1)
    # comparisons with NaN are false: nothing past the last resonance counts
    below = np.where((numbers < own) & (sharpness > acoustic_limits().audible_ratio), numbers, -np.inf)
    return NearestResonances(
        numbers=own[:, 0],
        loss=np.take_along_axis(loss, place, axis=1)[:, 0],
        sharpness=np.take_along_axis(sharpness, place, axis=1)[:, 0],
        gap_cents=100.0 * (own[:, 0] - below.max(axis=1)),
    )


def rows_of(atlas: Atlas, patterns: NDArray[np.int64]) -> Rows:
    """Row of each pattern in an atlas whose patterns are sorted; -1 for a pattern it has not."""
    places = np.searchsorted(atlas.patterns, patterns)
    inside = np.minimum(places, len(atlas.patterns) - 1)
    return np.asarray(np.where(atlas.patterns[inside] == patterns, inside, -1), dtype=np.int64)


def sounds(atlas: Atlas, standards: Mapping[int, int], limits: AcousticLimits | None = None) -> Sounds:
    """The notes that each pattern of an atlas can sound; weak resonances are left out.

    `standards` gives the hole pattern of the standard grip of each note number: a resonance is
    weak when its loss is too many times that of the standard grips up to its own note, or its
    quality factor too low.
    """
    limits = limits or acoustic_limits()
    numbers = atlas.numbers
    nearest = np.where(np.isnan(numbers), 0.0, np.rint(numbers)).astype(np.int64)
    most = limits.sounds_loss_ratio * standard_losses(atlas, standards, limits)
    speaks = (
        ~np.isnan(numbers)
        & (atlas.sharpness > limits.audible_ratio)
        & (atlas.loss <= most[np.clip(nearest, 0, len(most) - 1)])
    )
    near: dict[int, int] = {}
    only: dict[int, int] = {}
    window = limits.sounds_cents / 100.0
    for pattern, own, note, speaking in zip(
        atlas.patterns.tolist(), numbers.tolist(), nearest.tolist(), speaks.tolist(), strict=True
    ):
        wide = narrow = 0
        for value, centre, counts in zip(own, note, speaking, strict=True):
            if counts:
                narrow |= 1 << centre
                for neighbour in (centre - 1, centre, centre + 1):
                    if abs(value - neighbour) <= window:
                        wide |= 1 << neighbour
        near[pattern], only[pattern] = wide, narrow
    return Sounds(near, only)


def standard_losses(atlas: Atlas, standards: Mapping[int, int], limits: AcousticLimits) -> Real:
    """The greatest loss of the standard grips up to each note number 0..127, axes (number,).

    Below the first standard grip its own loss holds; a standard grip that the model does not
    sound near its note is left out.
    """
    losses = np.full(128, -np.inf)
    for number, pattern in sorted(standards.items()):
        row = rows_of(atlas, np.array([pattern]))
        if row[0] < 0:
            continue
        found = nearest_resonances(atlas, number, row)
        if abs(found.numbers[0] - number) * 100.0 <= limits.sounds_cents:
            losses[number] = found.loss[0]
    known = losses[np.isfinite(losses)]
    if not len(known):
        return np.full(128, np.inf)
    greatest = np.maximum.accumulate(losses)
    return np.where(np.isfinite(greatest), greatest, known[0])
