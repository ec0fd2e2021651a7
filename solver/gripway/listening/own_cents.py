"""From takes to a player's own cents: the difference of two grips, paired in time, and how sure it is.

Takes go standard, other, standard. A straight line of time and one step for the other grip are fitted to
their cents at once (least squares), so that a flute that warms up evenly moves no difference. The range is
that of nine in ten after Student's t, and never below what a player's lip does from day to day.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt

import numpy as np

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.effort.candidate import Tendency
from gripway.listening.student_t import student_95
from gripway.listening.takes import BEFORE, BLOCKS, OTHER, Asked, Take, is_take_of
from gripway.model.grip import Grip


@dataclass(frozen=True, slots=True)
class MeasuredGrip:
    """What a recording says of one grip, in cents.

    `cents` from equal temperament at the reference of the recording, within `spread_cents`, in which the
    doubt of where the standard grip lies is counted; `vs_standard` against the standard grip, within
    `vs_spread_cents`, both None for a standard grip itself. Ranges are those of nine in ten repeats; `takes`
    is how many takes it rests on.
    """

    pitch: int
    grip: Grip
    cents: float
    spread_cents: float
    vs_standard: float | None
    takes: int
    vs_spread_cents: float | None = None


@dataclass(frozen=True, slots=True)
class CentsDifference:
    """Of one grip asked for: cents against the standard grip, and of that one (at A4 = 440 Hz)."""

    vs_standard: float
    spread_cents: float
    standard_cents: float
    standard_spread_cents: float
    takes: int
    standard_takes: int


def difference(takes: Sequence[Take], figures: CentsFigures) -> CentsDifference | None:
    """The difference of one grip from its takes; None where a block has too few that can be used."""
    good = [take for take in takes if take.cents is not None]
    if any(sum(take.block == block for take in good) < figures.least_takes for block in BLOCKS):
        return None
    times = np.array([take.start_s for take in good])
    other = np.array([take.block == OTHER for take in good], float)
    cents = np.array([take.cents for take in good])
    terms = np.column_stack([np.ones(len(good)), times - times.mean(), other])
    found = np.linalg.lstsq(terms, cents, rcond=None)[0]
    freedom = len(good) - terms.shape[1]
    variance = float(((cents - terms @ found) ** 2).sum()) / freedom
    doubt = np.sqrt(variance * np.diag(np.linalg.inv(terms.T @ terms)))
    spread = [max(figures.spread_least_cents, student_95(freedom) * float(doubt[k])) for k in (0, 2)]
    many = int(other.sum())
    return CentsDifference(float(found[2]), spread[1], float(found[0]), spread[0], many, len(good) - many)


@dataclass(frozen=True, slots=True)
class Heard:
    """All that was measured, and the A4 it is counted from: its cents from 440 Hz.

    `reckoned_from` is the number of pitches whose standard grips tell it, 0 where it was given.
    """

    measured: tuple[MeasuredGrip, ...]
    reference_cents: float | None
    reckoned_from: int = 0


def heard(
    asked: Sequence[Asked],
    takes: Sequence[Take],
    expected: Sequence[Tendency],
    figures: CentsFigures,
    given_cents: float | None = None,
) -> Heard:
    """The measured grips, in the order they were asked for, each pitch's standard grip before them.

    `expected` is the tendency of the standard grip of each grip asked for: the reference is what makes the
    standard grips lie where they are expected on average, each counting by how narrow its range is. From
    `reference_least_pitches` on the standard grips are measured themselves, with the doubt of the reference;
    so they are where the reference is given (`given_cents` from 440 Hz).
    """
    found = {
        place: each
        for place in range(len(asked))
        if (each := difference(takes_for(asked, place, takes), figures))
    }
    if not found:
        return Heard((), None)
    standards = {
        place: (expected[place].cents or 0.0, expected[place].spread_cents or 0.0) for place in found
    }
    of_pitch: dict[int, list[int]] = {}
    for place in found:
        of_pitch.setdefault(asked[place].pitch, []).append(place)
    offsets, weights = [], []
    for places in of_pitch.values():  # what is expected of a pitch is one thing, however often it is played
        offsets.append(
            sum(found[place].standard_cents - standards[place][0] for place in places) / len(places)
        )
        own = max(found[place].standard_spread_cents for place in places)
        weights.append(1.0 / (standards[places[0]][1] ** 2 + own**2))
    total = sum(weights)
    reckoned = sum(weight * offset for weight, offset in zip(weights, offsets, strict=True)) / total
    reference = reckoned if given_cents is None else given_cents
    doubt = sqrt(1.0 / total) if given_cents is None else 0.0
    pitches = len(of_pitch)
    whole = given_cents is not None or pitches >= figures.reference_least_pitches
    measured: list[MeasuredGrip] = []
    for place, each in found.items():
        one, (base, spread) = asked[place], standards[place]
        if whole:
            base = each.standard_cents - reference
            spread = hypot(each.standard_spread_cents, doubt)
            if (one.pitch, one.standard) not in {(have.pitch, have.grip) for have in measured}:
                measured.append(_standard(one, base, spread, each.standard_takes))
        measured.append(_other(one, base, spread, each))
    return Heard(tuple(measured), reference, pitches if given_cents is None else 0)


def takes_for(asked: Sequence[Asked], place: int, takes: Sequence[Take]) -> list[Take]:
    """The takes that a grip rests on; standard takes shared with the grip before come first."""
    mine = [take for take in takes if is_take_of(asked, place, take.place, take.block)]
    return [take if take.place == place else replace(take, place=place, block=BEFORE) for take in mine]


def _standard(one: Asked, cents: float, spread: float, takes: int) -> MeasuredGrip:
    """A standard grip, to a tenth as a tuner's list has it."""
    return MeasuredGrip(one.pitch, one.standard, round(cents, 1), round(spread, 1), None, takes)


def _other(one: Asked, base: float, base_spread: float, found: CentsDifference) -> MeasuredGrip:
    """The other grip from where its standard one lies, with the doubt of both."""
    return MeasuredGrip(
        one.pitch,
        one.grip,
        round(base + found.vs_standard, 1),
        round(hypot(base_spread, found.spread_cents), 1),
        round(found.vs_standard, 1),
        found.takes,
        round(found.spread_cents, 1),
    )
