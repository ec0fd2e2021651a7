"""A passage played to a click: which changes come late, beside what gripway expected of them.

What it measures: the time from each onset to the next against the score at the player's own tempo (that of
the click, as it is found in the recording); late is what is longer. Whoever is late once and holds the
distance to the click is late once, not on every note after.
Unit: milliseconds. A first onset has no change; one beside a missed note has none either.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.effort.load import LATE
from gripway.errors import RecordingError
from gripway.listening.times.note_onsets import LineNote, note_onsets
from gripway.listening.times.rank_correlation import RankCorrelation, rank_correlation
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.sound.recording import Recording

Array = NDArray[np.float64]

PASSES, HUBER = 20, 1.345
"""Weighted fits of the click, and from how many deviations on an onset counts less (Huber 1964)."""


@dataclass(frozen=True, slots=True)
class HeardChange:
    """The change into note `to` (its index in the passage) as it was heard.

    `available_ms` is the time to it at the tempo found, `late_ms` how much later than that it came (below 0:
    sooner), `is_late` whether it is marked; `load` what gripway reckons (None: no grip), `is_expected`
    whether that says late.
    """

    to: int
    available_ms: float
    late_ms: float
    is_late: bool
    load: float | None
    is_expected: bool


@dataclass(frozen=True, slots=True)
class Evenness:
    """A passage as it was heard.

    `tempo_share` is the tempo found over the one asked; `offset_s` where the passage's first note belongs in
    the recording by the click; `onsets_s` each note's onset (None: missed); `spread_ms` how far the onsets
    lie about the click (standard deviation); `agreement` goes with lateness and load (None: too few changes).
    """

    source: str
    tempo_share: float
    offset_s: float
    onsets_s: tuple[float | None, ...]
    spread_ms: float
    changes: tuple[HeardChange, ...]
    agreement: RankCorrelation | None

    @property
    def missed(self) -> tuple[int, ...]:
        """Indices of the notes that were not heard."""
        return tuple(place for place, onset in enumerate(self.onsets_s) if onset is None)

    @property
    def late(self) -> tuple[HeardChange, ...]:
        """The late changes, the latest first."""
        return tuple(sorted((each for each in self.changes if each.is_late), key=lambda each: -each.late_ms))


def evenness(
    recording: Recording, route: Route, sounds_semitones: int, figures: TimesFigures, a4_hz: float = 440.0
) -> Evenness:
    """Listen to the route's passage, played at the passage's tempo.

    Raises RecordingError where it is another passage, another tempo, too long or too short.
    """
    notes = route.passage.notes
    if len(notes) > figures.passage_most_notes or len(notes) < 3:
        raise RecordingError(
            f"{len(notes)} notes are asked for, where 3 to {figures.passage_most_notes} can be heard",
            place=recording.source,
            next_step="Choose some bars",
        )
    heard = _bounded(recording, figures)
    onsets = note_onsets(heard, line_of(route.passage, sounds_semitones), figures, a4_hz)
    written_s = np.array([note.onset_ms / 1000.0 for note in notes])
    found = np.array([np.nan if onset is None else onset for onset in onsets])
    offset_s, stretch = clicked(written_s, found)
    if abs(1.0 / stretch - 1.0) > figures.passage_tempo_share:
        raise RecordingError(
            f"played {abs(1.0 / stretch - 1.0):.0%} {'quicker' if stretch < 1.0 else 'slower'} than asked",
            place=f"{recording.source}, {offset_s:.1f} s",
            next_step="Name the tempo of the click, and check the score and the bars",
        )
    off = found - (offset_s + stretch * written_s)
    changes = tuple(_changes(route, written_s * stretch, found, figures))
    return Evenness(
        source=recording.source,
        tempo_share=1.0 / stretch,
        offset_s=offset_s + stretch * float(written_s[0]),
        onsets_s=onsets,
        spread_ms=1000.0 * float(np.nanstd(off)),
        changes=changes,
        agreement=_agreement(changes, figures),
    )


def line_of(passage: Passage, sounds_semitones: int) -> list[LineNote]:
    """The notes of a passage as they sound."""
    return [
        LineNote(note.pitch.number + sounds_semitones, note.onset_ms, note.length_ms)
        for note in passage.notes
    ]


def clicked(written_s: Array, found_s: Array) -> tuple[float, float]:
    """Where time 0 of the score lies in the recording, and seconds heard a second written.

    Missed notes are nan. A straight line by weighted least squares with Huber's weights.
    """
    known = ~np.isnan(found_s)
    at, seen = written_s[known], found_s[known]
    weights = np.ones(len(at))
    line = np.array([1.0, 0.0])
    for _ in range(PASSES):
        line = np.polyfit(at, seen, 1, w=np.sqrt(weights))
        rest = np.abs(seen - np.polyval(line, at))
        scale = max(1.4826 * float(np.median(rest)), 1e-4)
        weights = np.minimum(1.0, HUBER * scale / np.maximum(rest, 1e-9))
    return float(line[1]), float(line[0])


def _bounded(recording: Recording, figures: TimesFigures) -> Recording:
    if recording.length_s <= figures.passage_most_s:
        return recording
    raise RecordingError(
        f"{recording.length_s:.0f} s long, where {figures.passage_most_s:g} s can be heard at a time",
        place=recording.source,
        next_step="Record some bars at a time, and name those bars",
    )


def _changes(route: Route, written_s: Array, found: Array, figures: TimesFigures) -> list[HeardChange]:
    """Every change between two notes that were heard."""
    loads = {change.to: change.load for change in route.changes}
    changes = []
    for to in range(1, len(found)):
        if np.isnan(found[to]) or np.isnan(found[to - 1]):
            continue
        available_ms = 1000.0 * float(written_s[to] - written_s[to - 1])
        if available_ms <= 0.0:
            continue
        late_ms = 1000.0 * float(found[to] - found[to - 1]) - available_ms
        load = loads.get(to)
        changes.append(
            HeardChange(
                to=to,
                available_ms=available_ms,
                late_ms=late_ms,
                is_late=late_ms >= max(figures.late_least_ms, figures.late_share * available_ms),
                load=load,
                is_expected=load is not None and load > LATE,
            )
        )
    return changes


def _agreement(changes: Sequence[HeardChange], figures: TimesFigures) -> RankCorrelation | None:
    known = [(each.late_ms, each.load) for each in changes if each.load is not None]
    if len(known) < figures.agreement_least_changes:
        return None
    return rank_correlation([late for late, _ in known], [load for _, load in known])
