"""Tuning: where a grip's pitch lies against the standard grip of the same note, and how sure that is.

The difference alternate minus standard is far more robust than any absolute pitch. It is the
mean over an ensemble of tubes (two bores, two hole formulas, three players; keys over all holes,
over the wide ones, over none), its spread nine tenths of their deviations and how evenly a flute
is regulated. No claim is made above C#7: the model is one flute, and players differ.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from gripway.acoustics.air import blown
from gripway.acoustics.atlas import Atlas, atlas
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.hole import FORMULAS
from gripway.acoustics.ladder import Tube
from gripway.acoustics.tube import Real
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.model.bore import Bore
from gripway.model.instrument import Instrument
from gripway.model.survey import HIGHEST_CLAIM, Verdict

PLAYERS = (1.0, 0.8, 1.2)
"""Factors on the player's inertance; the first is the fitted one."""

REACH_CENTS = 120.0
"""A resonance farther than this from the note is another note."""

QUANTILE = 0.9


@dataclass(frozen=True, slots=True)
class Sought:
    """A grip of a note as the model sees it: note number, its pattern, the standard grip's pattern."""

    number: int
    pattern: int
    standard: int


def ensemble(bores: Sequence[Bore], players: Sequence[PlayerTerm]) -> tuple[Tube, ...]:
    """Every tube that takes part, the nominal one first; `players` go with `bores`.

    How far a key shades the hole under it is known from one formula, and keys open differently
    from flute to flute: so each tube stands there with its keys, without those of the small
    holes, and without any.
    """
    small_m = acoustic_limits().small_hole_mm / 1000.0
    return tuple(
        Tube(keyed, PlayerTerm(player.inertance_per_m * factor, player.growth_per_m), blown(), formula)
        for bore, player in zip(bores, players, strict=True)
        for keyed in (bore, bore.without_keys(small_m), bore.without_keys())
        for formula in FORMULAS
        for factor in PLAYERS
    )


def verdicts(
    instrument: Instrument, tubes: Sequence[Tube], sought: Sequence[Sought], regulation: Sequence[float]
) -> list[Verdict | None]:
    """The model's word on each grip; None where it sounds nothing near the note, or above C#7.

    `regulation` gives the spread in cents that uneven regulation adds, in octaves 1, 2 and 3.
    """
    patterns = np.unique(np.array([p for s in sought for p in (s.pattern, s.standard)], dtype=np.int64))
    atlases = [atlas(instrument, tube, patterns) for tube in tubes]
    differences = np.stack([_differences(each, sought) for each in atlases], axis=1)
    return [
        _verdict(atlases[0], item, row, regulation[min(2, max(0, (item.number - 60) // 12))])
        for item, row in zip(sought, differences, strict=True)
    ]


def _differences(found: Atlas, sought: Iterable[Sought]) -> Real:
    """Alternate minus standard in cents on one tube, one for each grip; NaN where either is missing."""
    rows = found.rows()
    result = []
    for item in sought:
        standard = nearest(found, rows[item.standard], item.number)
        own = (
            None
            if standard is None
            else nearest(found, rows[item.pattern], found.numbers[rows[item.standard], standard])
        )
        if standard is None or own is None:
            result.append(np.nan)
        else:
            difference = found.numbers[rows[item.pattern], own] - found.numbers[rows[item.standard], standard]
            result.append(100.0 * difference)
    return np.array(result)


def nearest(found: Atlas, row: int, number: float) -> int | None:
    """The resonance of a pattern nearest to a note number, None when none lies within reach."""
    distance = np.abs(found.numbers[row] - number) * 100.0
    if np.all(np.isnan(distance)):
        return None
    place = int(np.nanargmin(distance))
    return place if distance[place] <= REACH_CENTS else None


def _verdict(nominal: Atlas, item: Sought, differences: Real, regulation_cents: float) -> Verdict | None:
    if item.number > HIGHEST_CLAIM or np.isnan(differences[0]):
        return None
    rows = nominal.rows()
    own_row, standard_row = rows[item.pattern], rows[item.standard]
    standard = nearest(nominal, standard_row, item.number)
    if standard is None:
        return None
    own = nearest(nominal, own_row, nominal.numbers[standard_row, standard])
    if own is None:
        return None
    mean = float(np.nanmean(differences))
    deviations = np.abs(differences - mean)
    missing = np.isnan(deviations)
    deviations[missing] = REACH_CENTS
    spread = float(np.quantile(deviations, QUANTILE))
    same = item.pattern == item.standard
    return Verdict(
        cents=float(100.0 * (nominal.numbers[own_row, own] - item.number)),
        vs_standard=mean,
        spread_cents=0.0 if same else float(np.hypot(spread, regulation_cents)),
        gap_cents=gap_below(nominal, own_row, own),
        loss_ratio=float(nominal.loss[own_row, own] / nominal.loss[standard_row, standard]),
    )


def gap_below(found: Atlas, row: int, place: int) -> float | None:
    """Cents down to the next lower resonance that is sharp enough to sound; None when there is none."""
    for lower in range(place - 1, -1, -1):
        if found.sharpness[row, lower] > acoustic_limits().audible_ratio:
            return float(100.0 * (found.numbers[row, place] - found.numbers[row, lower]))
    return None
