"""Scales at rising tempos: the quickest that is still even, and what it says of the law of a line.

What it measures: a player's time in a line over that of the tables' law: the milliseconds a note at which a
scale stops being even, over those at which the law has its hardest change just in time (load 1).
The limit lies between the quickest even take and the slowest uneven one that is quicker still; without such a
take nothing is known but that it lies beyond, and the scale says nothing of the factor.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.errors import RecordingError
from gripway.listening.student_t import student_95
from gripway.listening.times.evenness import clicked
from gripway.listening.times.note_onsets import LineNote, note_onsets
from gripway.sound.recording import Recording

SURE = 1000.0
"""Degrees of freedom of a spread whose deviations are stated, not estimated."""


@dataclass(frozen=True, slots=True)
class ScaleTake:
    """A scale as it was heard: milliseconds a note, how uneven, and whether it still is even."""

    note_ms: float
    uneven_share: float
    is_even: bool


@dataclass(frozen=True, slots=True)
class ScaleLimit:
    """What the takes of one scale say: the limit and how unsure it is, or (None) that it lies beyond them.

    `law_ms` is the time a note at which the law, by the player's own fingers, has the scale just in time.
    """

    name: str
    law_ms: float
    quickest_even_ms: float | None
    slowest_uneven_ms: float | None

    @property
    def limit_ms(self) -> float | None:
        """Between the two, None where one is lacking."""
        if self.quickest_even_ms is None or self.slowest_uneven_ms is None:
            return None
        return sqrt(self.quickest_even_ms * self.slowest_uneven_ms)


@dataclass(frozen=True, slots=True)
class LineFit:
    """The factor of one player on the law of a line; the spread is half of the nine-tenths range."""

    factor: float
    spread: float
    scales: int


def scale_take(
    recording: Recording, sounding: Sequence[int], note_ms: float, figures: TimesFigures, a4_hz: float = 440.0
) -> ScaleTake:
    """A scale of even notes played at `note_ms` a note.

    Raises RecordingError where it is another scale or another tempo.
    """
    line = [LineNote(number, place * note_ms, note_ms) for place, number in enumerate(sounding)]
    onsets = note_onsets(recording, line, figures, a4_hz)
    found = np.array([np.nan if onset is None else onset for onset in onsets])
    written_s: NDArray[np.float64] = np.arange(len(found), dtype=np.float64) * (note_ms / 1000.0)
    offset_s, stretch = clicked(written_s, found)
    if abs(stretch - 1.0) > figures.scale_tempo_share:
        raise RecordingError(
            f"{stretch * note_ms:.0f} ms a note are heard, not {note_ms:.0f}",
            place=f"{recording.source}, {offset_s:.1f} s",
            next_step="Name the file after the tempo of the click, and play to it",
        )
    steps = np.diff(found)
    steps = steps[~np.isnan(steps)]
    uneven = float(np.std(steps)) / (stretch * note_ms / 1000.0)
    missed = int(np.isnan(found).sum())
    even = uneven <= figures.scale_even_share and not missed
    return ScaleTake(stretch * note_ms, uneven, even)


def scale_limit(name: str, takes: Sequence[ScaleTake], law_ms: float) -> ScaleLimit:
    """The limit of a scale from its takes; an uneven take slower than an even one is a slip and left out."""
    even = min((take.note_ms for take in takes if take.is_even), default=None)
    uneven = max(
        (take.note_ms for take in takes if not take.is_even and (even is None or take.note_ms < even)),
        default=None,
    )
    return ScaleLimit(name, law_ms, even, uneven)


def fitted_line(limits: Sequence[ScaleLimit], figures: TimesFigures) -> LineFit | None:
    """The factor from all scales whose limit was reached, drawn towards the tables' 1; None without any.

    A limit lies anywhere between its two takes (uniform in the logarithm).
    """
    precision, total, scales = figures.line_prior_share**-2, 0.0, 0
    for limit in limits:
        if limit.limit_ms is None or limit.quickest_even_ms is None or limit.slowest_uneven_ms is None:
            continue
        width = log(limit.quickest_even_ms / limit.slowest_uneven_ms)
        weight = 1.0 / (figures.line_take_share**2 + width**2 / 12.0)
        precision += weight
        total += weight * log(limit.limit_ms / limit.law_ms)
        scales += 1
    if not scales:
        return None
    factor = exp(total / precision)
    return LineFit(factor, factor * student_95(SURE) / sqrt(precision), scales)
