"""Takes: which note of a recording is which take of which grip, its cents, or why it cannot be used."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import log2

import numpy as np

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.listening.heard_note import heard_hz
from gripway.listening.sounding import Sounding, part_of, soundings, steady_part
from gripway.listening.spectra import Array, spectra
from gripway.listening.steady_pitch import steady_pitch
from gripway.model.grip import Grip
from gripway.sound.recording import Recording
from gripway.units import CENTS_PER_OCTAVE

BEFORE, OTHER, AFTER = "standard", "other", "standard again"
BLOCKS = (BEFORE, OTHER, AFTER)
"""The order of playing: the standard grip, the other one, the standard one again."""

SHORT, CLIPPED, OFF, OTHER_NOTE, NOISY, UNSTEADY, MISSING = (
    "too short",
    "clipped",
    "off",
    "another note",
    "too noisy",
    "unsteady",
    "missing",
)
"""Why a take is refused; its `size` is seconds, share, cents, cents, decibels, cents, notes heard."""

AT_FULL_SCALE = 0.98
EQUAL_IN_A_ROW = 3
"""Samples of one value at full scale in a row are cut off; a peak of sound has none such."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A grip to be heard beside the standard one: written pitch, and the hertz it is to sound at."""

    pitch: int
    grip: Grip
    standard: Grip
    hz: float


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a take cannot be used: a kind and its size."""

    kind: str
    size: float


@dataclass(frozen=True, slots=True)
class Take:
    """One take: of the `place`th grip asked for, in one of BLOCKS, where it stands in the recording.

    `cents` from the note at A4 = 440 Hz, None where it was refused. A take that is missing has no length.
    """

    place: int
    block: str
    start_s: float
    end_s: float
    cents: float | None = None
    refused: Refusal | None = None


def takes_of(recording: Recording, asked: Sequence[Asked], figures: CentsFigures) -> tuple[Take, ...]:
    """The takes of all grips asked for, in the order of playing.

    Notes of one pitch in a row must be as many as are asked for; else every take of theirs is missing.
    """
    notes = soundings(recording, min(each.hz for each in asked), figures)
    slots = [
        (place, block) for place in range(len(asked)) for block in BLOCKS for _ in range(figures.block_takes)
    ]
    groups = [list(group) for _, group in groupby(slots, key=lambda slot: asked[slot[0]].pitch)]
    shared = _shared(notes, [asked[group[0][0]].hz for group in groups], figures)
    exact = all(len(mine) == len(group) for mine, group in zip(shared, groups, strict=True))
    if not exact and len(notes) == len(slots):
        rest = iter(notes)
        shared = [[next(rest) for _ in group] for group in groups]
    takes: list[Take] = []
    for mine, group in zip(shared, groups, strict=True):
        if len(mine) == len(group):
            takes += [
                _take(recording, asked[place].hz, place, block, note, figures)
                for (place, block), note in zip(group, mine, strict=True)
            ]
        else:
            start_s = mine[0].start_s if mine else 0.0
            missing = Refusal(MISSING, len(mine))
            takes += [Take(place, block, start_s, start_s, refused=missing) for place, block in group]
    return tuple(_same_note(takes, figures))


def one_take(recording: Recording, hz: float, block: str, figures: CentsFigures) -> Take:
    """The take in a recording that holds nothing else; missing where it holds no note, or several.

    `hz` is where the note is to sound. A standard grip too far from there is another note.
    """
    notes = soundings(recording, hz, figures)
    if len(notes) != 1:
        return Take(0, block, 0.0, recording.length_s, refused=Refusal(MISSING, len(notes)))
    return next(_same_note([_take(recording, hz, 0, block, notes[0], figures)], figures))


def pitch_now(recording: Recording, hz: float, figures: CentsFigures) -> float | Refusal:
    """The cents from `hz` of a note that sounds throughout a short recording, or why they cannot be told."""
    found = spectra(recording.samples, recording.rate_hz)
    return _of_part(recording.samples, recording.rate_hz, hz, heard_hz(found), figures)


def _same_note(takes: Sequence[Take], figures: CentsFigures) -> Iterator[Take]:
    """The takes, refused as another note where the standard grip lies too far off to be this one."""
    for _, group in groupby(takes, key=lambda take: take.place):
        mine = list(group)
        usual = [take.cents for take in mine if take.cents is not None and take.block != OTHER]
        off = sum(usual) / len(usual) if usual else 0.0
        for take in mine:
            if abs(off) > figures.standard_most_cents and take.refused is None:
                yield replace(take, cents=None, refused=Refusal(OTHER_NOTE, off))
            else:
                yield take


def _shared(
    notes: Sequence[Sounding], pitches_hz: Sequence[float], figures: CentsFigures
) -> list[list[Sounding]]:
    """The notes of each pitch, the pitches in their order: as many notes as can be near theirs."""
    worth = [[_nearness(note, hz, figures.off_most_cents) for hz in pitches_hz] for note in notes]
    best = [[0.0] * (len(pitches_hz) + 1) for _ in range(len(notes) + 1)]
    for n in range(len(notes) - 1, -1, -1):
        for g in range(len(pitches_hz) - 1, -1, -1):
            best[n][g] = max(best[n + 1][g] + worth[n][g], best[n][g + 1])
    shared: list[list[Sounding]] = [[] for _ in pitches_hz]
    g = 0
    for n, note in enumerate(notes):
        while g < len(pitches_hz) and best[n][g + 1] > best[n + 1][g] + worth[n][g]:
            g += 1
        if g < len(pitches_hz) and worth[n][g] > 0.0:
            shared[g].append(note)
    return shared


def _nearness(note: Sounding, hz: float, reach_cents: float) -> float:
    """1 for the very pitch, a little less beside it, 0 out of reach."""
    cents = _cents(note.hz, hz)
    return 0.0 if cents is None or abs(cents) > reach_cents else 1.0 - 1e-3 * abs(cents)


def _cents(heard_hz: float | None, hz: float) -> float | None:
    return None if heard_hz is None else CENTS_PER_OCTAVE * log2(heard_hz / hz)


def _take(
    recording: Recording, hz: float, place: int, block: str, note: Sounding, figures: CentsFigures
) -> Take:
    found = _measured(recording, hz, note, figures)
    cents, refused = (None, found) if isinstance(found, Refusal) else (found, None)
    return Take(place, block, note.start_s, note.end_s, cents, refused)


def _measured(recording: Recording, hz: float, note: Sounding, figures: CentsFigures) -> float | Refusal:
    """The cents of a note from what was asked for, or why they cannot be told."""
    if note.length_s < figures.take_least_s:
        return Refusal(SHORT, note.length_s)
    part = part_of(recording, *steady_part(note.start_s, note.end_s, figures))
    return _of_part(part, recording.rate_hz, hz, note.hz, figures)


def _of_part(
    part: Array, rate_hz: int, hz: float, about_hz: float | None, figures: CentsFigures
) -> float | Refusal:
    """The same of the steady part of a note, which is about `about_hz`."""
    if (clipped := _clipped_share(part)) > figures.clipped_most_share:
        return Refusal(CLIPPED, clipped)
    if (off := _cents(about_hz, hz)) is not None and abs(off) > figures.off_most_cents:
        return Refusal(OFF if abs(off) <= figures.other_note_cents else OTHER_NOTE, off)
    found = steady_pitch(spectra(part, rate_hz), hz, rate_hz)
    if found is None or found.clear_db < figures.clear_least_db:
        return Refusal(NOISY, found.clear_db if found else 0.0)
    if found.wander_cents > figures.wander_most_cents:
        return Refusal(UNSTEADY, found.wander_cents)
    return found.cents


def _clipped_share(samples: Array) -> float:
    """Share of samples cut off at full scale."""
    high = np.abs(samples) >= AT_FULL_SCALE
    equal = high[1:] & high[:-1] & (samples[1:] == samples[:-1])
    runs = np.convolve(equal, np.ones(EQUAL_IN_A_ROW - 1, int), "valid") == EQUAL_IN_A_ROW - 1
    return float(runs.mean()) if len(runs) else 0.0
