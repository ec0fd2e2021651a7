"""When each note of a known line begins in a recording: a best path over notes and frames.

The order of the pitches and their times at the tempo asked are known. A segmental Viterbi search places the
onsets: each note is as alike its pitch as can be over its frames, its length near the one written, and a note
begins where the sound does; a note may be missed at a cost. Where two pitches meet the onset is then placed
within a frame, by which of the two is stronger (`between_notes.py`).
Reference: Ostendorf, Digalakis & Kimball 1996, From HMM's to segment models (segmental search).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.errors import RecordingError
from gripway.listening.times.between_notes import between_two, sure
from gripway.listening.times.note_pictures import SILENT, Pictures, pictures
from gripway.sound.recording import Recording
from gripway.units import frequency_hz

Array = NDArray[np.float64]

SHORTEST, LONGEST = 0.45, 1.8
"""Length of a note against the written one, least and most."""

LENGTH_DEVIATION = 0.22
"""Standard deviation of the logarithm of a note's length about the written one."""

MISSED_COST = 14.0
"""What a missed note costs, in frames that fit fully."""

ONSET_GAIN, ONSET_DB = 3.0, 9.0
"""What a rise of the level by so many dB is worth where a note begins."""

NEUTRAL = 0.62
"""A frame as alike as this neither speaks for its note nor against it."""

HEARD, BESIDE = 0.5, 0.12
"""As alike a note must be to count as heard, and so much less than the most alike of the others it may be."""

LEAST_VOICED = 0.4
"""A note that sounds for less than this share of its time was not heard."""

EARLIEST_S = 8.0
"""The line begins at most so long after the first sound, or before it can."""

BAND_SHARE = 0.14
"""The onsets are looked for so far (a share of the time gone) around where the tempo puts them."""

NEAR_S = 0.07
"""An onset is placed anew within this of its frame."""


REST_DB = 12.0
"""A note this much louder than what is just before it comes after a rest."""

RISE_S, RISE_DB, DEEPEST_DB = 0.008, 6.0, 20.0
"""Window in which a rise is looked for, the least rise that is one, and how deep a dip counts."""


@dataclass(frozen=True, slots=True)
class LineNote:
    """A note to be found: its sounding number, written onset and length in milliseconds."""

    sounding: int
    onset_ms: float
    length_ms: float


def note_onsets(
    recording: Recording, notes: Sequence[LineNote], figures: TimesFigures, a4_hz: float = 440.0
) -> tuple[float | None, ...]:
    """The onset of each note in seconds, None for one that was missed.

    Raises RecordingError where the recording is shorter than the line, silent, or has other notes.
    """
    needed_s = (notes[-1].onset_ms - notes[0].onset_ms) / 1000.0
    if recording.length_s < (1.0 - BAND_SHARE) * needed_s:
        raise RecordingError(
            f"only {recording.length_s:.1f} s long, where the notes take {needed_s:.1f} s",
            place=recording.source,
            next_step="Record all of the bars named, or name fewer, and the tempo played",
        )
    numbers = sorted({note.sounding for note in notes})
    seen = pictures(recording, numbers, a4_hz)
    if bool(seen.quiet.all()) or float(np.max(np.abs(recording.samples), initial=0.0)) < 1e-4:
        raise RecordingError(
            "nothing is heard", place=f"{recording.source}, 0.0 s", next_step="Record nearer to the flute"
        )
    rows = [numbers.index(note.sounding) for note in notes]
    frames = _only_heard(seen, _path(seen, rows, notes), rows, notes)
    _check_heard(recording, frames, seen.hop_s, figures)
    onsets: list[float | None] = []
    for place, frame in enumerate(frames):
        if frame is None:
            onsets.append(None)
            continue
        after_note = place > 0 and frames[place - 1] is not None and not _after_rest(seen, frame)
        before = notes[place - 1].sounding if after_note else None
        onsets.append(_placed(recording, frame * seen.hop_s, before, notes[place].sounding, a4_hz))
    return tuple(onsets)


def _path(seen: Pictures, rows: Sequence[int], notes: Sequence[LineNote]) -> list[int | None]:
    """The frame at which each note begins on the best path."""
    count = seen.alike.shape[1]
    fit = np.where(seen.quiet, SILENT, seen.alike) - NEUTRAL
    sums = np.concatenate([np.zeros((len(fit), 1)), np.cumsum(fit, axis=1)], axis=1)
    rise = np.zeros(count)
    step = max(1, round(0.02 / seen.hop_s))
    level = np.maximum(seen.level_db, -40.0)
    rise[step:] = np.clip((level[step:] - level[:-step]) / ONSET_DB, 0.0, 1.0)
    begins = np.roll(rise, -step // 2) * ONSET_GAIN
    written = [(note.onset_ms - notes[0].onset_ms) / 1000.0 / seen.hop_s for note in notes]
    first = int(np.argmax(~seen.quiet))
    slack = EARLIEST_S / seen.hop_s
    silence = np.concatenate([[0.0], np.cumsum(np.where(seen.quiet, 0.0, -0.02))])

    best = np.full((len(notes), count + 1), -np.inf)
    back = np.zeros((len(notes), count + 1), dtype=np.int32)
    skipped = np.zeros((len(notes), count + 1), dtype=np.bool_)
    low, high = _band(0, written, first, slack, count)
    best[0, low:high] = silence[low:high] + begins[low:high]
    for place in range(1, len(notes)):
        low, high = _band(place, written, first, slack, count)
        for missed in (False, True):
            since = place - 1 - missed
            if since < 0:
                continue
            length = max(1.0, written[place] - written[since])
            lags = np.arange(max(1, int(SHORTEST * length)), max(2, int(LONGEST * length) + 1))
            prior = -0.5 * (np.log(lags / length) / LENGTH_DEVIATION) ** 2
            total = sums[rows[since]]
            here = np.arange(low, high)
            for lag, cost in zip(lags, prior, strict=True):
                ok = here[here >= lag]
                if not len(ok):
                    break
                value = best[since, ok - lag] + total[ok] - total[ok - lag] + cost - MISSED_COST * missed
                better = value > best[place, ok]
                chosen = ok[better]
                best[place, chosen] = value[better]
                back[place, chosen] = chosen - lag
                skipped[place, chosen] = missed
        best[place, low:high] += begins[low:high]
    return _traced(best, back, skipped, _last_gain(sums[rows[-1]], notes[-1], seen.hop_s), len(notes))


def _last_gain(total: Array, note: LineNote, hop_s: float) -> Array:
    """What the last note gains where it begins, at the best of the lengths it may have."""
    length = max(1.0, note.length_ms / 1000.0 / hop_s)
    gain = np.full(len(total), -np.inf)
    for lag in range(max(1, int(SHORTEST * length)), int(LONGEST * length) + 1):
        ends = np.minimum(np.arange(len(total)) + lag, len(total) - 1)
        prior = -0.5 * (np.log(lag / length) / LENGTH_DEVIATION) ** 2
        gain = np.maximum(gain, total[ends] - total + prior)
    return gain


def _band(place: int, written: Sequence[float], first: int, slack: float, count: int) -> tuple[int, int]:
    """First and last frame (one beyond) at which a note may begin."""
    around = 0.2 * slack + BAND_SHARE * written[place]
    low = int(first + written[place] - around)
    high = int(first + written[place] + slack * 0.2 + around)
    return min(max(0, low), count - 1), min(max(1, high), count)


def _traced(
    best: Array, back: NDArray[np.int32], skipped: NDArray[np.bool_], gain: Array, notes: int
) -> list[int | None]:
    """The frames of the best path from its end; a line may end one note early."""
    found: list[int | None] = [None] * notes
    place, at = notes - 1, int(np.argmax(best[-1] + gain))
    if notes > 1 and np.max(best[-2]) > best[-1, at] + gain[at] + MISSED_COST:
        place, at = notes - 2, int(np.argmax(best[-2]))
    while place >= 0:
        found[place] = at
        if place == 0:
            break
        at, place = int(back[place, at]), place - 1 - int(skipped[place, at])
    return found


def _placed(recording: Recording, at_s: float, before: int | None, number: int, a4_hz: float) -> float:
    """An onset placed where the new note becomes the stronger of the two, near where it was found.

    After silence and between two notes of one pitch it is placed where the sound rises.
    """
    if before is None or before == number or abs(before - number) > 12:
        return _risen(recording, at_s)
    start = max(0, int((at_s - 0.2) * recording.rate_hz))
    piece = recording.samples[start : int((at_s + 0.2) * recording.rate_hz)]
    low, high = sorted((before, number))
    cut = Recording(piece, recording.rate_hz, source=recording.source)
    signal = between_two(cut, frequency_hz(low, a4_hz), frequency_hz(high, a4_hz))
    odds = sure(signal.share) * (1.0 if number > before else -1.0)
    if len(odds) < 8:
        return at_s
    middle = (at_s - start / recording.rate_hz) * signal.rate_hz
    near = NEAR_S * signal.rate_hz
    old = odds[max(0, int(middle - near)) : max(1, int(middle - near / 4))]
    new = odds[int(middle + near / 4) : int(middle + near)]
    if not len(old) or not len(new) or np.median(new) <= np.median(old):
        return at_s
    above = odds - (np.median(new) + np.median(old)) / 2.0
    steps = np.flatnonzero((above[:-1] < 0.0) & (above[1:] >= 0.0))
    exact = [k + above[k] / (above[k] - above[k + 1]) for k in steps]
    nearest = min(exact, key=lambda each: abs(each - middle), default=None)
    if nearest is None or abs(nearest - middle) > near:
        return at_s
    after = signal.power[int(nearest) : int(nearest + near / 2)]
    if len(after) and signal.power[int(nearest)] < after.max() * 10.0 ** (-REST_DB / 10.0):
        return _risen(recording, at_s)  # a gap between the two: neither is stronger, the new one begins later
    return start / recording.rate_hz + float(nearest) / signal.rate_hz


def _after_rest(seen: Pictures, frame: int) -> bool:
    """Whether it is much quieter just before a frame than after it."""
    near = round(NEAR_S / seen.hop_s)
    before, after = seen.level_db[max(0, frame - near // 2) : frame], seen.level_db[frame : frame + near]
    return bool(len(before) and len(after) and before.min() < after.max() - REST_DB)


def _risen(recording: Recording, at_s: float) -> float:
    """The moment near one at which the sound has risen half of its way (in dB) from a dip."""
    rate = recording.rate_hz
    start = max(0, int((at_s - NEAR_S) * rate))
    piece = recording.samples[start : int((at_s + NEAR_S) * rate)]
    window = np.hanning(max(3, round(RISE_S * rate)) + 2)[1:-1]
    if len(piece) <= len(window):
        return at_s
    power = np.convolve(piece**2, window / window.sum(), mode="same")
    level = 10.0 * np.log10(np.maximum(power, 1e-12))
    dip = int(np.argmin(level[: max(1, len(level) * 3 // 4)]))
    top = float(np.max(level[dip:]))
    depth = min(DEEPEST_DB, top - float(level[dip]))
    if depth < RISE_DB:
        return at_s
    above = level >= top - depth / 2.0
    ups = np.flatnonzero(~above[:-1] & above[1:]) + 1
    if not len(ups):
        return at_s
    return (start + int(ups[np.argmin(np.abs(ups - (at_s * rate - start)))])) / rate


def _only_heard(
    seen: Pictures, frames: Sequence[int | None], rows: Sequence[int], notes: Sequence[LineNote]
) -> list[int | None]:
    """The frames without those of notes that are silent there, or are other notes."""
    found: list[int | None] = []
    count = seen.alike.shape[1]
    for place, frame in enumerate(frames):
        if frame is None:
            found.append(None)
            continue
        end = next((each for each in frames[place + 1 :] if each is not None), count)
        length = max(2, round(notes[place].length_ms / 1000.0 / seen.hop_s))
        inside = slice(frame, max(frame + 1, min(end, frame + length)))
        voiced = ~seen.quiet[inside]
        is_heard = bool(np.mean(voiced) > LEAST_VOICED)
        if is_heard:
            alike = np.median(seen.alike[:, inside][:, voiced], axis=1)
            is_heard = bool(alike[rows[place]] > max(HEARD, alike.max() - BESIDE))
        found.append(frame if is_heard else None)
    return found


def _check_heard(
    recording: Recording, frames: Sequence[int | None], hop_s: float, figures: TimesFigures
) -> None:
    """Refuse a recording in which too few of the notes are heard where the path puts them."""
    heard = [frame for frame in frames if frame is not None]
    if len(heard) < max(2.0, figures.passage_least_heard_share * len(frames)):
        raise RecordingError(
            f"only {len(heard)} of {len(frames)} notes are heard in their order",
            place=f"{recording.source}, {(heard[0] if heard else 0) * hop_s:.1f} s",
            next_step="Check the score, the bars and the tempo, and that nothing else sounds",
        )
