"""Where notes sound in a recording: parted by silence, by a dip between two tongued notes, or by pitch."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.listening.heard_note import heard_hz
from gripway.listening.spectra import CHUNK_FRAMES, FRAME_S, HOP_S, Array, spectra
from gripway.sound.recording import Recording
from gripway.units import CENTS_PER_OCTAVE

HIGHEST_HZ = 12_000.0
"""Up to here the level of a note is taken; above there is hiss."""

BELOW_SHARE = 0.7
"""Of the lowest note asked for: below there are hum and steps."""

MEDIAN_FRAMES = 5
LEAST_DB = -200.0


@dataclass(frozen=True, slots=True)
class Sounding:
    """One note that sounds from `start_s` to `end_s`; `hz` is about its pitch, None where none stands out."""

    start_s: float
    end_s: float
    hz: float | None

    @property
    def length_s(self) -> float:
        """How long it sounds."""
        return self.end_s - self.start_s


def soundings(recording: Recording, lowest_hz: float, figures: CentsFigures) -> tuple[Sounding, ...]:
    """The notes of a recording in their order, of which none is lower than `lowest_hz` by much.

    What is shorter than a note can be (a key's clatter, a tap) is passed over.
    """
    levels_db, strongest = _tracks(recording, BELOW_SHARE * lowest_hz)
    found: list[Sounding] = []
    for run in _runs(levels_db, figures):
        for piece in _undipped(levels_db, run, figures.dip_db):
            found += _of_one_pitch(recording, strongest, piece, figures)
    return tuple(each for each in found if each.length_s >= figures.note_least_s)


def silence_db(recording: Recording, lowest_hz: float) -> float:
    """By how much the quiet of a recording lies below its loud notes."""
    loud, quiet = np.quantile(_tracks(recording, BELOW_SHARE * lowest_hz)[0], (0.95, 0.05))
    return float(loud - quiet)


def part_of(recording: Recording, start_s: float, end_s: float) -> Array:
    """The samples between two times."""
    first = max(round(start_s * recording.rate_hz), 0)
    return recording.samples[first : max(round(end_s * recording.rate_hz), first + 1)]


def _tracks(recording: Recording, lowest_hz: float) -> tuple[Array, Array]:
    """Level in dB and strongest frequency (cents above 1 Hz) of every frame of a recording."""
    rate = recording.rate_hz
    hop, length = round(HOP_S * rate), round(FRAME_S * rate)
    levels, strongest = [], []
    for first in range(0, max(len(recording.samples) - length, 0) + 1, CHUNK_FRAMES * hop):
        last = first + (CHUNK_FRAMES - 1) * hop + length
        found = spectra(recording.samples[first:last], rate)
        bins = found.bins(lowest_hz, min(HIGHEST_HZ, 0.49 * rate))
        part = found.power[:, bins]
        levels.append(10 * np.log10(part.sum(axis=1) + 10 ** (LEAST_DB / 10)))
        hz = (bins.start + part.argmax(axis=1)) * found.bin_hz
        strongest.append(CENTS_PER_OCTAVE * np.log2(hz))
    return np.concatenate(levels), np.concatenate(strongest)


def _runs(levels_db: Array, figures: CentsFigures) -> list[tuple[int, int]]:
    """Stretches of frames that are louder than the silence of this recording."""
    loud, quiet = np.quantile(levels_db, (0.95, 0.05))
    sounds = levels_db > max(loud - figures.silence_below_db, 0.5 * (loud + quiet) - figures.dip_db)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], sounds, [False])).astype(int)))
    return [(int(first), int(last)) for first, last in edges.reshape(-1, 2)]


def _undipped(levels_db: Array, run: tuple[int, int], dip_db: float) -> list[tuple[int, int]]:
    """A run parted wherever its level falls and rises again by this much: tongued notes in a room."""
    first, last = run
    part = levels_db[first:last]
    before = np.maximum.accumulate(part)
    after = np.maximum.accumulate(part[::-1])[::-1]
    depth = np.minimum(before, after) - part
    lowest = int(depth.argmax())
    if depth[lowest] < dip_db:
        return [run]
    middle = first + lowest
    return [*_undipped(levels_db, (first, middle), dip_db), *_undipped(levels_db, (middle + 1, last), dip_db)]


def _of_one_pitch(
    recording: Recording, strongest: Array, run: tuple[int, int], figures: CentsFigures
) -> list[Sounding]:
    """A run as notes of one pitch each: parted where its strongest partial leaps and its pitch does, too."""
    found: list[Sounding] = []
    for first, last in _unleaped(strongest, run, figures):
        start_s, end_s = HOP_S * first + FRAME_S / 2, HOP_S * (last - 1) + FRAME_S / 2
        hz = _pitch(recording, start_s, end_s, figures)
        if found and _same(found[-1].hz, hz, figures.change_cents):
            start_s = found.pop().start_s
            hz = _pitch(recording, start_s, end_s, figures)
        found.append(Sounding(start_s, end_s, hz))
    return found


def _unleaped(strongest: Array, run: tuple[int, int], figures: CentsFigures) -> list[tuple[int, int]]:
    """A run parted at its leaps, the widest first, where a note is left on either side."""
    first, last = run
    part, reach, least = strongest[first:last], MEDIAN_FRAMES, round(figures.note_least_s / HOP_S)
    if len(part) < 2 * max(reach, least):
        return [run]
    medians = np.median(np.lib.stride_tricks.sliding_window_view(part, reach), axis=1)
    leaps = np.abs(medians[reach:] - medians[:-reach])
    leaps[: max(least - reach, 0)] = leaps[max(len(part) - least - reach, 0) :] = 0.0
    cuts = []
    while leaps.size and leaps.max() > figures.change_cents:
        place = int(leaps.argmax())
        cuts.append(first + place + reach)
        leaps[max(place - least, 0) : place + least + 1] = 0.0
    return list(pairwise([first, *sorted(cuts), last]))


def _pitch(recording: Recording, start_s: float, end_s: float, figures: CentsFigures) -> float | None:
    """About the pitch between two times, its beginning and end left out where there is enough between."""
    start, end = steady_part(start_s, end_s, figures)
    return heard_hz(spectra(part_of(recording, start, end), recording.rate_hz))


def steady_part(start_s: float, end_s: float, figures: CentsFigures) -> tuple[float, float]:
    """The part of a note without its attack and its release; of a very short one its middle third."""
    trim = figures.attack_s + figures.release_s
    if end_s - start_s > 2 * trim:
        return start_s + figures.attack_s, end_s - figures.release_s
    third = (end_s - start_s) / 3
    return start_s + third, end_s - third


def _same(one_hz: float | None, other_hz: float | None, within_cents: float) -> bool:
    if one_hz is None or other_hz is None:
        return one_hz is other_hz
    return bool(abs(CENTS_PER_OCTAVE * np.log2(one_hz / other_hz)) <= within_cents)
