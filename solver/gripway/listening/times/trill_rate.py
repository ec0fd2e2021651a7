"""A recorded trill: how many notes a second it has and how even it is.

What it measures: the times at which two notes, alternated as fast as is even, follow each other.
Unit: milliseconds a note (half a period: there and back are two changes), notes a second, shares.
Valid for two notes up to an octave apart, 3 to 20 notes a second, each known to within 80 cents.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.errors import RecordingError
from gripway.listening.times.between_notes import BetweenTwo, between_two, sure
from gripway.model.pitch import plain_name
from gripway.sound.recording import Recording
from gripway.units import frequency_hz

Array = NDArray[np.float64]

QUIET_DB = 26.0
"""So far below the loud part of a take it is over, or has not begun."""

LEVELS = (0.1, 0.9)
"""Quantiles (of the moments that sound) that stand for the two levels at first."""

APART = 1.2
"""Two levels nearer than this in log odds are one note, not two."""

DEAD_SHARE = 0.25
"""A crossing counts once the signal has gone this share of the way to the other level."""

SMOOTHED_SHARE = 0.7
"""Of a note: the window (Hann) the signal is smoothed with, short enough to leave each note its length."""

SAME = 0.75
"""A lag at which the signal is as much like itself as this share of the best may be the period."""

EDGE_PERIODS = 1
"""Periods left out at both ends: the hand gets going, and stops."""

STUMBLE = 1.6
"""A period so many times the usual one is a stumble, no period."""


@dataclass(frozen=True, slots=True)
class TrillRate:
    """A take of a trill.

    `note_ms` is the mean time from one note to the next, `notes_per_s` its inverse; `uneven_share` the
    standard deviation of the periods over their mean; `upper_share` the part of the time the upper note
    has; `periods` how many were counted, `stumbles` how many not; `at_s` where the counted part begins.
    """

    note_ms: float
    notes_per_s: float
    uneven_share: float
    upper_share: float
    periods: int
    stumbles: int
    at_s: float


def trill_rate(
    recording: Recording, low: int, high: int, figures: TimesFigures, a4_hz: float = 440.0
) -> TrillRate:
    """Measure one take of a trill between two sounding note numbers.

    Raises RecordingError with the file and the time where it is too short, silent, other notes or no trill.
    """
    if not 0 < high - low <= 12:
        raise RecordingError(
            f"{plain_name(low)} and {plain_name(high)} are no trill",
            place=recording.source,
            next_step="Name two different notes up to an octave apart",
        )
    if recording.length_s < figures.trill_least_s:
        raise _refused(recording, 0.0, f"only {recording.length_s:.1f} s long", LONGER)
    heard = _first_s(recording, figures.trill_most_s)
    signal = between_two(heard, frequency_hz(low, a4_hz), frequency_hz(high, a4_hz))
    sounds = _sounding(signal)
    begins = float(np.argmax(sounds)) / signal.rate_hz
    if np.count_nonzero(sounds) < figures.trill_least_s * signal.rate_hz:
        raise _refused(
            recording, begins, f"the notes {plain_name(low)} and {plain_name(high)} are not heard", NEARER
        )
    _check_strength(heard, signal, sounds, begins, low, high)
    odds = sure(signal.share)
    levels = _levels(odds[sounds])
    if levels[1] - levels[0] < APART:
        raise _refused(
            recording, begins, f"one note is heard, not {plain_name(low)} and {plain_name(high)}", NEARER
        )
    calm = _smoothed(
        np.clip(odds, *levels), signal.rate_hz, _note_s(odds, sounds, levels, signal.rate_hz, figures)
    )
    ups, downs = _crossings(calm, sounds, levels)
    return _rate(recording, ups / signal.rate_hz, downs / signal.rate_hz, figures, begins)


NEARER = "Play the pair named, nearer to the microphone and without other sounds"


LONGER = "Trill for four to five seconds"


def _refused(recording: Recording, at_s: float, what: str, next_step: str) -> RecordingError:
    return RecordingError(what, place=f"{recording.source}, {at_s:.1f} s", next_step=next_step)


def _first_s(recording: Recording, most_s: float) -> Recording:
    if recording.length_s <= most_s:
        return recording
    samples = recording.samples[: int(most_s * recording.rate_hz)]
    return Recording(samples, recording.rate_hz, recording.clipped_share, recording.source)


def _sounding(signal: BetweenTwo) -> NDArray[np.bool_]:
    """Which moments are loud enough, from the first such to the last."""
    if not len(signal.power):
        return np.zeros(0, dtype=np.bool_)
    loud = float(np.quantile(signal.power, 0.9))
    found: NDArray[np.bool_] = signal.power > max(loud * 10.0 ** (-QUIET_DB / 10.0), 1e-12)
    return found


LEAST_IN_BAND = 0.02
"""The band of the two fundamentals must hold this share of all the power: flutes have more."""


def _check_strength(
    heard: Recording, signal: BetweenTwo, sounds: NDArray[np.bool_], begins: float, low: int, high: int
) -> None:
    """Refuse a recording whose sound lies mostly elsewhere: other notes, noise."""
    whole = 2.0 * float(np.mean(heard.samples**2))
    inside = float(np.sum(signal.power[sounds])) / max(1, len(signal.power))
    if inside < LEAST_IN_BAND * whole:
        what = f"other notes than {plain_name(low)} and {plain_name(high)} are heard"
        raise _refused(heard, begins, what, NEARER)


def _levels(odds: Array) -> tuple[float, float]:
    """The two levels that the signal goes between: two means, begun at the outer quantiles."""
    low, high = (float(value) for value in np.quantile(odds, LEVELS))
    for _ in range(12):
        middle = (low + high) / 2.0
        below, above = odds[odds <= middle], odds[odds > middle]
        if not len(below) or not len(above):
            return low, low
        low, high = float(below.mean()), float(above.mean())
    return low, high


def _note_s(
    odds: Array, sounds: NDArray[np.bool_], levels: tuple[float, float], rate_hz: float, figures: TimesFigures
) -> float:
    """About how long a note is, in seconds: half the lag at which the signal is most like itself."""
    centred = np.where(sounds, np.clip(odds, *levels) - sum(levels) / 2.0, 0.0)
    size = 1 << (2 * len(centred)).bit_length()
    alike = np.fft.irfft(np.abs(np.fft.rfft(centred, size)) ** 2)[: len(centred)]
    first = int(2.0 / figures.trill_quickest_notes_per_s * rate_hz)
    last = min(len(alike) - 1, int(2.0 / figures.trill_slowest_notes_per_s * rate_hz))
    if last <= first:
        return first / rate_hz / 2.0
    peaks = alike[first : last + 1]
    inner = np.flatnonzero((peaks[1:-1] >= peaks[:-2]) & (peaks[1:-1] >= peaks[2:])) + 1
    high = [
        int(k) for k in inner if peaks[k] > SAME * peaks.max()
    ]  # the first high one: a lag, not its double
    return (first + (high[0] if high else int(np.argmax(peaks)))) / rate_hz / 2.0


def _smoothed(odds: Array, rate_hz: float, note_s: float) -> Array:
    """The signal without what is much quicker than the trill; crossings stay where they are."""
    window = np.hanning(max(1, round(SMOOTHED_SHARE * note_s * rate_hz)) + 2)[1:-1]
    padded = np.pad(odds, (len(window) // 2, (len(window) - 1) // 2), mode="edge")
    smooth: Array = np.convolve(padded, window / window.sum(), mode="valid")
    return smooth


def _crossings(odds: Array, sounds: NDArray[np.bool_], levels: tuple[float, float]) -> tuple[Array, Array]:
    """Places (fractions of a sample) where the signal goes up, and down, through the middle of the levels.

    It must have been on the other side by a share of the way: a shiver about the middle is one crossing.
    """
    middle, dead = sum(levels) / 2.0, DEAD_SHARE * (levels[1] - levels[0])
    above = odds - middle
    side = np.where(sounds & (above > dead), 1, np.where(sounds & (above < -dead), -1, 0))
    sure_places = np.flatnonzero(side)
    turns = np.flatnonzero(np.diff(side[sure_places]))
    found: dict[int, list[float]] = {1: [], -1: []}
    for turn in turns:
        first, last = int(sure_places[turn]), int(sure_places[turn + 1])
        piece = above[first : last + 1] * side[last]
        steps = np.flatnonzero((piece[:-1] < 0.0) & (piece[1:] >= 0.0))
        passed = [int(k) + piece[k] / (piece[k] - piece[k + 1]) for k in steps]
        if passed:
            found[int(side[last])].append(first + float(np.mean(passed)))
    return np.array(found[1]), np.array(found[-1])


def _rate(recording: Recording, ups: Array, downs: Array, figures: TimesFigures, begins: float) -> TrillRate:
    """The rate from the crossings in seconds; periods are from crossing to crossing of one way."""
    rises, falls = (_periods(each[EDGE_PERIODS : len(each) - EDGE_PERIODS]) for each in (ups, downs))
    periods = np.concatenate([rises, falls])
    if len(rises) < figures.trill_least_periods:
        what = f"only {max(0, len(ups) - 1)} times up and down again are heard"
        raise _refused(recording, begins, what, LONGER)
    usual = float(np.median(periods))
    kept = periods[(periods < STUMBLE * usual) & (periods > usual / STUMBLE)]
    period_s = float(kept.mean())
    notes_per_s = 2.0 / period_s
    if not figures.trill_slowest_notes_per_s <= notes_per_s <= figures.trill_quickest_notes_per_s:
        what = f"{notes_per_s:.1f} notes a second is no trill of these two notes"
        raise _refused(recording, begins, what, NEARER)
    after = downs[np.clip(np.searchsorted(downs, ups), 0, max(0, len(downs) - 1))] - ups
    upper = np.median(after[after > 0.0]) / period_s if np.any(after > 0.0) else 0.5
    return TrillRate(
        note_ms=500.0 * period_s,
        notes_per_s=notes_per_s,
        uneven_share=float(kept.std()) / period_s,
        upper_share=float(upper),
        periods=len(rises),
        stumbles=round((len(periods) - len(kept)) / 2.0),
        at_s=float(ups[EDGE_PERIODS]),
    )


def _periods(times_s: Array) -> Array:
    return np.diff(times_s)
