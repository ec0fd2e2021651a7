"""Free fingers: touches a note does not need and that may stay down, or up, where they are.

By the model: the resonance of the note moves less than a tolerance, the next lower one comes
not too near, and the loss hardly grows (tables/acoustics/limits.csv). A free finger is never a
means to tune a note: where several move, each must be free by itself, so that none makes up for
another. None is free where the model claims nothing.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.atlas import Atlas
from gripway.acoustics.sounds import NearestResonances, nearest_resonances, rows_of
from gripway.acoustics.touch_holes import TouchHoles, touch_holes
from gripway.catalog.tables.acoustic_limits import AcousticLimits, acoustic_limits
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import BIT, FOOT_TOUCHES, Grip
from gripway.model.instrument import Instrument

MOST_VARIANTS = 8
"""How many variants of a grip are given."""

MOST_GROUPS = 2
"""How many groups of touches a variant changes at once."""

RIGHT_PLATES = ("R1", "R2", "R3")
LEFT_PLATES = ("L2", "L3")
FOOT_HOLDS = ("Eb", "Cs", "C")
"""What the right little finger may wait on."""

NEAR, FURTHER, FARTHEST = 2, 3, 4
"""How far a variant is from its grip (half changes), for their order alone."""


@dataclass(frozen=True, slots=True)
class FreeVariant:
    """A grip that sounds as another one: touches added and released, and the shift in cents."""

    grip: Grip
    held: tuple[str, ...]
    lifted: tuple[str, ...]
    shift_cents: float


class _Change(NamedTuple):
    """Touches to flip (bits), how far that is, and the single flips that must be free by themselves."""

    flips: int
    far: int
    parts: tuple[int, ...]


def free_variants(
    instrument: Instrument, atlas: Atlas, grip: Grip, number: int, most: int = MOST_VARIANTS
) -> tuple[FreeVariant, ...]:
    """Grips that can be held and sound note `number` as `grip` does, nearest first, at most so many.

    Nearest first: all free right plates down, R4 lifted, side lever or thumb moved over; then
    single plates and the left hand; then two of these at once. Of variants with the same holes
    the nearest stands for all, but every way to hold the grip's own holes is given. Empty where
    the model claims nothing, or does not sound the grip near the note.
    """
    limits = acoustic_limits()
    sounding = number + instrument.sounds_semitones
    holes = touch_holes(instrument.mechanism)
    own = rows_of(atlas, np.array([holes.pattern(grip.mask)]))
    if number >= limits.free_below_note_number or own[0] < 0:
        return ()
    base = nearest_resonances(atlas, sounding, own)
    if abs(base.numbers[0] - sounding) * 100.0 > limits.sounds_cents:
        return ()
    found: dict[int, FreeVariant] = {}
    for mask, row, shift_cents in _free_masks(instrument, atlas, grip, base, holes, limits):
        key = -mask if row == own[0] else row
        if key not in found and _holdable(instrument, Grip(mask)):
            found[key] = _variant(grip, mask, shift_cents)
            if len(found) == most:
                break
    return tuple(found.values())


def _free_masks(
    instrument: Instrument,
    atlas: Atlas,
    grip: Grip,
    base: NearestResonances,
    holes: TouchHoles,
    limits: AcousticLimits,
) -> Iterator[tuple[int, int, float]]:
    """Masks of the free variants, nearest first, with their rows and shifts in cents."""
    changes = list(_changes(_groups(instrument, grip)))
    masks = [grip.mask ^ change.flips for change in changes]
    rows = rows_of(atlas, np.array([holes.pattern(mask) for mask in masks], dtype=np.int64))
    shifts, fine = _freedom(atlas, base, rows, limits)
    free = {change.flips for change, is_fine in zip(changes, fine, strict=True) if is_fine}
    ranked = sorted(
        (change.far, -mask.bit_count(), abs(shift), mask, row, shift)
        for change, mask, row, shift in zip(changes, masks, rows.tolist(), shifts.tolist(), strict=True)
        if change.flips in free and free.issuperset(change.parts)
    )
    yield from ((mask, row, shift) for _, _, _, mask, row, shift in ranked)


def _freedom(
    atlas: Atlas, base: NearestResonances, rows: NDArray[np.int64], limits: AcousticLimits
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Shift in cents and whether it is free, for each row (-1: a pattern no hand makes)."""
    other = nearest_resonances(atlas, float(base.numbers[0]), rows)
    shift = 100.0 * (other.numbers - base.numbers[0])
    wide = other.gap_cents > limits.free_gap_wide_cents
    kept = other.gap_cents > base.gap_cents[0] - limits.free_gap_cents
    quiet = other.loss < (1.0 + limits.free_loss_share) * base.loss[0]
    return shift, (rows >= 0) & (np.abs(shift) < limits.free_cents) & (wide | kept) & quiet


def _changes(groups: Sequence[Sequence[_Change]]) -> Iterator[_Change]:
    """Every change in one group, or in two at once."""
    for count in range(1, MOST_GROUPS + 1):
        for chosen in combinations(groups, count):
            for changes in product(*chosen):
                yield _Change(
                    sum(change.flips for change in changes),
                    sum(change.far for change in changes),
                    tuple(part for change in changes for part in change.parts),
                )


def _groups(instrument: Instrument, grip: Grip) -> list[list[_Change]]:
    """For each group of fingers what it may do: plates, little fingers, side lever, thumb."""
    present = instrument.mechanism.touches
    lever = [_Change(BIT["Sb"], NEAR, ())] if "Sb" in present else []
    one_thumb_key = {"T", "Tb"} <= set(present) and grip.has("T") != grip.has("Tb")
    thumb = [_Change(BIT["T"] | BIT["Tb"], NEAR, ())] if one_thumb_key else []
    return [
        list(_plates(RIGHT_PLATES, NEAR)),
        list(_plates(LEFT_PLATES, FURTHER)),
        [_Change(BIT["L4"], FURTHER, ())],
        list(_foot(grip, present)),
        lever,
        thumb,
    ]


def _plates(touches: Sequence[str], far: int) -> Iterator[_Change]:
    """One or several plates; one alone is less use than the hand as it lies."""
    for count in range(1, len(touches) + 1):
        for some in combinations(touches, count):
            parts = tuple(BIT[touch] for touch in some)
            yield _Change(sum(parts), far + (count == 1), parts)


def _foot(grip: Grip, present: Iterable[str]) -> Iterator[_Change]:
    """The little finger lifted, waiting on a key, or going from one key to another."""
    held = sum(BIT[touch] for touch in FOOT_TOUCHES if grip.has(touch))
    if held:
        yield _Change(held, NEAR, ())
    for touch in FOOT_HOLDS:
        if touch in present and not grip.has(touch):
            yield _Change(held | BIT[touch], FARTHEST if held else NEAR, (held,) if held else ())


def _holdable(instrument: Instrument, grip: Grip) -> bool:
    try:
        return bool(instrument.mechanism.holds(grip))
    except ImpossibleHoldError:
        return False


def _variant(grip: Grip, mask: int, shift_cents: float) -> FreeVariant:
    held, lifted = Grip(mask & ~grip.mask).touches, Grip(grip.mask & ~mask).touches
    return FreeVariant(Grip(mask), held, lifted, shift_cents)
