"""Takes: which note of a recording is which take of which grip, its cents, or why it cannot be used."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import groupby

import numpy as np

from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.listening.alignment import cents_between, laid
from gripway.listening.heard_note import heard_hz
from gripway.listening.sounding import Sounding, part_of, silence_db, soundings, steady_part
from gripway.listening.spectra import Array, spectra
from gripway.listening.steady_pitch import steady_pitch
from gripway.model.grip import Grip
from gripway.sound.recording import Recording

BEFORE, OTHER, AFTER = "standard", "other", "standard again"
BLOCKS = (BEFORE, OTHER, AFTER)
"""The order of playing: the standard grip, the other one, the standard one again.

Of grips of one pitch that follow one another, the standard takes between two serve both, played once.
"""

SHORT, CLIPPED, OFF, OTHER_NOTE, NOISY, UNSTEADY, MISSING, NOISY_GAPS = (
    "too short",
    "clipped",
    "off",
    "another note",
    "too noisy",
    "unsteady",
    "missing",
    "noise between notes",
)
"""Why a take is refused; its `size` is seconds, share, cents, cents, dB, cents, notes heard, dB."""

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


def takes_of(
    recording: Recording, notes: Sequence[Sounding], asked: Sequence[Asked], figures: CentsFigures
) -> tuple[Take, ...]:
    """The takes of all grips asked for, in the order of playing, among the notes of a recording.

    Standard takes that serve two grips (`shares`) stand once, as the first one's. Where it cannot be told
    which note is which take of a grip, all takes of that grip are missing; where what lies between the
    notes is not silent, for its noise.
    """
    slots = [
        (place, block)
        for place in range(len(asked))
        for block in (BLOCKS[1:] if shares(asked, place) else BLOCKS)
        for _ in range(figures.block_takes)
    ]
    found = laid(notes, [asked[place].hz for place, _ in slots], figures)
    quiet_db = cache(lambda: silence_db(recording, min(each.hz for each in asked)))
    takes: list[Take] = []
    for _, run in groupby(range(len(slots)), key=lambda k: asked[slots[k][0]].pitch):
        mine = list(run)
        near = {n for k in mine for n in found.near[k] if notes[n].hz is not None}
        unsure = [slots[k] for k in mine if not found.sure[k] or found.notes[k] is None]
        told = {
            place
            for place, _ in (slots[k] for k in mine)
            if not any(is_take_of(asked, place, *slot) for slot in unsure)
        }
        start_s = notes[min(near)].start_s if near else 0.0
        for k in mine:
            (place, block), n = slots[k], found.notes[k]
            if n is not None and any(is_take_of(asked, other, place, block) for other in told):
                takes.append(_take(recording, asked[place].hz, place, block, notes[n], figures))
            else:
                missing = _missing(len(near), quiet_db, figures)
                takes.append(Take(place, block, start_s, start_s, refused=missing))
    return tuple(_same_note(takes, figures))


def shares(asked: Sequence[Asked], place: int) -> bool:
    """Whether a grip has its first standard takes in common with the grip before it, of the same pitch."""
    return place > 0 and _standard_of(asked[place - 1]) == _standard_of(asked[place])


def _standard_of(one: Asked) -> tuple[int, Grip]:
    return one.pitch, one.standard


def is_take_of(asked: Sequence[Asked], place: int, played: int, block: str) -> bool:
    """Whether a grip rests on a block that was played for the grip at place `played`, mostly itself."""
    return played == place or (block == AFTER and played == place - 1 and shares(asked, place))


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


def _missing(heard: int, quiet_db: Callable[[], float], figures: CentsFigures) -> Refusal:
    """Why the takes of a grip cannot be told: noise between the notes, else how many notes were heard."""
    if heard and (gap_db := quiet_db()) < figures.gap_least_db:
        return Refusal(NOISY_GAPS, gap_db)
    return Refusal(MISSING, heard)


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
    if (off := cents_between(about_hz, hz)) is not None and abs(off) > figures.off_most_cents:
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
