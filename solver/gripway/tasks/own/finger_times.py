"""Own finger times: which pairs to record, what recordings say, and writing it into the player's file."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date as calendar_date
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from gripway.candidates.candidates import Candidates
from gripway.effort.costs import EffortModel
from gripway.effort.own_time_tables import own_tables
from gripway.errors import RecordingError, RequestError
from gripway.model.instrument import Instrument
from gripway.model.player import Player
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.flute_player import Flute, asked_of
from gripway.tasks.own.day import day_of

if TYPE_CHECKING:
    from gripway.listening.times.finger_pairs import FingerPair
    from gripway.listening.times.heard_times import HeardTimes
    from gripway.listening.times.line_tempo import ScaleLimit, ScaleTake
    from gripway.listening.times.take_names import ScaleRun, TrillTake
    from gripway.listening.times.trill_rate import TrillRate
    from gripway.sound.recording import Recording

Told = Callable[[int, int], None]
MOST_FILES = 400
LOWEST, HIGHEST = 62, 86
"""Written notes between which pairs are asked for: D4 to D6, where every standard grip speaks by itself."""

SCALES = ("scale G4-G5", "scale D5-D6")
"""Scales asked for: fingers of both hands, and one over the change of register."""

TEMPOS = (80, 92, 104, 116, 126, 138, 152)
"""Tempos asked for, a notch of a metronome or two apart, until it is no longer even."""


def pairs_to_record(flute: Flute | None = None) -> "tuple[FingerPair, ...]":
    """The pairs whose trills tell most of a player's fingers, the most telling first.

    Each has its two written note numbers (`low`, `high`), their `grips` and the `fingers` that move.

    >>> import gripway
    >>> [pair.name for pair in gripway.pairs_to_record()][:2]
    ['E5-F5', 'D5-D#5']
    """
    from gripway.catalog.tables.times_figures import times_figures
    from gripway.listening.times.finger_pairs import finger_pairs
    from gripway.listening.times.pair_design import designed_pairs

    mine, _ = asked_of(flute, None)
    instrument = mine.instrument
    book, model = _by_tables(instrument, mine.player)
    lowest, highest = max(LOWEST, instrument.lowest), min(HIGHEST, instrument.highest)
    pairs = finger_pairs(lowest, highest, book, model.times)
    return designed_pairs(pairs, model.tables.finger_weight, times_figures())


def own_times(
    recordings: "Iterable[Recording | Path | str]",
    flute: Flute | None = None,
    *,
    pair: str | None = None,
    a4_hz: float = 440.0,
    date: str | None = None,
    tell: Told | None = None,
) -> "HeardTimes":
    """What recordings of trills and scales say of a player's fingers.

    A recording is a file, or one that was read; its name says what it holds (`G4-A4 2.wav`, `scale G4-G5
    96.wav`), `pair` says it for names that do not. `date` is the day written down, today without it; `tell`
    is called with the number of recordings heard and of all. A take that cannot be used is among `refused`,
    with its reason. Raises RequestError for a name that says nothing, RecordingError for a file that is no
    recording.

    >>> import gripway
    >>> round(gripway.own_times(["examples/E5-F5.wav"]).trills[0].rate.notes_per_s, 1)
    9.8
    """
    from gripway.catalog.tables.times_figures import times_figures
    from gripway.listening.times.finger_pairs import finger_pair
    from gripway.listening.times.heard_times import HeardScale, HeardTimes, HeardTrill, Refused, by_pair
    from gripway.listening.times.line_tempo import fitted_line
    from gripway.listening.times.own_fit import fitted_fingers
    from gripway.listening.times.take_names import TrillTake, take_named
    from gripway.sound.reading import check_there, recording_given

    mine, _ = asked_of(flute, None)
    instrument, player = mine.instrument, mine.player
    figures = times_figures()
    given = list(recordings)
    if not given:
        raise RequestError("there is no recording", next_step="Give the files of your takes")
    if len(given) > MOST_FILES:
        raise RequestError(
            f"{len(given)} recordings are given", next_step=f"Give at most {MOST_FILES} at a time"
        )
    check_there(*given)
    day = calendar_date.today().isoformat() if date is None else day_of(date)
    named = [(each, take_named(_name_of(each), pair)) for each in given]
    book, model = _by_tables(instrument, player)
    trills: list[HeardTrill] = []
    scales: list[HeardScale] = []
    refused: list[Refused] = []
    for done, (each, what) in enumerate(named, start=1):
        recording = recording_given(each)
        try:
            if isinstance(what, TrillTake):
                known = finger_pair(what.low, what.high, book, model.times)
                trills.append(HeardTrill(recording.source, known, _trill(recording, what, instrument, a4_hz)))
            else:
                scales.append(HeardScale(recording.source, what, _scale(recording, what, instrument, a4_hz)))
        except RecordingError as problem:
            refused.append(Refused(problem.place, problem.what, problem.next_step))
        if tell:
            tell(done, len(named))
    pairs = by_pair(trills)
    base_ms, weights = model.figures.base_ms, model.tables.finger_weight
    fit = fitted_fingers(pairs, base_ms, weights, figures) if pairs else None
    heard = HeardTimes(
        date=day,
        trills=tuple(trills),
        scales=tuple(scales),
        refused=tuple(refused),
        pairs=pairs,
        fit=fit,
        tables_base_ms=base_ms,
        tables_weights=dict(weights),
        limits=(),
        line=None,
        asked=pairs_to_record(instrument),
        figures=figures,
    )
    limits = _limits(heard, player, book, model)
    return replace(heard, limits=limits, line=fitted_line(limits, figures))


def save_own_times(path: str | Path, heard: "HeardTimes") -> None:
    """Write what was measured into a player's file as its table `measured`; all else there stays as it is.

    The file is made where there is none. Raises PlayerFileError where it cannot be read, RequestError where
    nothing was measured or it cannot be written.

    >>> import gripway
    >>> heard = gripway.own_times(["examples/E5-F5.wav"], date="2026-11-20")
    >>> gripway.save_own_times("/tmp/own_times.toml", heard)
    """
    from gripway.catalog.own_files.measured_table import write_measured

    own = heard.own_times
    if own is None:
        raise RequestError("no trill was heard: there is nothing to write", next_step="Record some pairs")
    write_measured(Path(path), own)


def _by_tables(instrument: Instrument, player: Player) -> tuple[Candidates, EffortModel]:
    """Grips and change times by the tables, without what this player has measured or told of fingers."""
    plain = replace(player, own_times=None, finger_factors=(), bans=())
    knowledge = knowledge_of(instrument, plain)
    return Candidates(knowledge), EffortModel(knowledge.tables, plain)


def _name_of(given: "Recording | Path | str") -> str:
    return Path(given if isinstance(given, str | Path) else given.source).name


def _trill(recording: "Recording", take: "TrillTake", instrument: Instrument, a4_hz: float) -> "TrillRate":
    """The rate of a take; RecordingError for one that is not even."""
    from gripway.catalog.tables.times_figures import times_figures
    from gripway.listening.times.trill_rate import trill_rate

    figures, sounds = times_figures(), instrument.sounds_semitones
    rate = trill_rate(recording, take.low + sounds, take.high + sounds, figures, a4_hz)
    if rate.uneven_share > figures.trill_even_share:
        raise RecordingError(
            f"uneven by {rate.uneven_share:.0%}",
            place=f"{recording.source}, {rate.at_s:.1f} s",
            next_step="Trill as fast as is even, and no faster",
        )
    return rate


def _scale(recording: "Recording", run: "ScaleRun", instrument: Instrument, a4_hz: float) -> "ScaleTake":
    """A take of a scale."""
    from gripway.catalog.tables.times_figures import times_figures
    from gripway.listening.times.line_tempo import scale_take

    sounding = [number + instrument.sounds_semitones for number in run.pitches]
    return scale_take(recording, sounding, run.note_ms, times_figures(), a4_hz)


def _limits(
    heard: "HeardTimes", player: Player, book: Candidates, by_tables: EffortModel
) -> "tuple[ScaleLimit, ...]":
    """The limit of every scale, by the player's own fingers."""
    from gripway.listening.times.line_tempo import scale_limit

    own = replace(player, own_times=heard.own_times, finger_factors=(), bans=())
    model = EffortModel(own_tables(by_tables.tables, own), own)
    runs = {each.run.name: each.run for each in heard.scales}
    return tuple(
        scale_limit(
            name,
            [each.take for each in heard.scales if each.run.name == name],
            _law_ms(run.pitches, book, model),
        )
        for name, run in runs.items()
    )


def _law_ms(pitches: Sequence[int], book: Candidates, model: EffortModel) -> float:
    """The time a note at which the hardest change of a slurred line of standard grips is just in time."""
    rows = [book.standard_row(pitch) for pitch in pitches]
    if any(row is None for row in rows):
        raise RequestError("the scale leaves the flute", next_step="Name a scale inside its range")
    grips = [book.plain(row) for row in rows if row is not None]
    needed, moved = 0.0, 0
    for before, after in pairwise(grips):
        step = model.step(before, after)
        turning_ms = model.times.turning_ms(step.movers & moved)
        needed, moved = max(needed, step.line_ms, turning_ms), step.movers
    return needed * model.figures.slurred_factor
