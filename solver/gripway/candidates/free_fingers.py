"""Free fingers: the same note with a finger held, lifted or moved over, and when teachers disagree."""

from collections.abc import Iterable, Iterator

from gripway.catalog.flute.grips import GripRow
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.instrument import Instrument


def taught_to_matter(rows: Iterable[GripRow], grip: Grip, free: Grip) -> bool:
    """Whether a row says a finger that `free` adds to `grip` changes the pitch.

    Such a row has every touch of the grip and one of those added, and a taught lean that is not 0.
    """
    added = free.mask & ~grip.mask
    return any(
        row.lean is not None
        and row.lean.how == "taught"
        and row.lean.basis == "standard"
        and bool(row.lean.cents)
        and row.grip.mask & grip.mask == grip.mask
        and bool(row.grip.mask & added)
        for row in rows
    )


def held_more(grip: Grip, than: Grip) -> int:
    """How many touches a grip presses more than another."""
    return (grip.mask & ~than.mask).bit_count()


def lifts_eb(row_grip: Grip, grip: Grip) -> bool:
    """Whether R4 leaves Eb for nothing."""
    return row_grip.has("Eb") and not any(grip.has(touch) for touch in FOOT_TOUCHES)


def same_holes(
    instrument: Instrument, grip: Grip, *, thumb: bool, lever: bool
) -> Iterator[tuple[Grip, int, bool]]:
    """The grip itself, then the same holes with the thumb on Tb and with the side lever held.

    Yields (grip, fingers held without need, thumb on Tb without need).
    """
    yield grip, 0, False
    pattern = instrument.mechanism.hole_pattern
    if thumb and grip.has("T"):
        other = grip.without("T").with_touches("Tb")
        if pattern(other) == pattern(grip):
            yield other, 0, True
    if lever and not grip.has("Sb") and not grip.has("R1"):
        other = grip.with_touches("Sb")
        if pattern(other) == pattern(grip):
            yield other, 1, False
