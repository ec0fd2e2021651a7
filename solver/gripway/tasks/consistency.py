"""The marks of one or several scores looked through for what does not agree."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gripway.asked.found_wishes import FoundWishes
from gripway.asked.wishes import Wishes
from gripway.candidates.candidates import Candidates
from gripway.candidates.found_shelf import beside_of
from gripway.candidates.grip_check import GripCheck
from gripway.catalog.tables.tempo_words import tempo_words
from gripway.edition.consistency import Consistency, Finding, PartMarks
from gripway.edition.decided_marks import decided_findings
from gripway.model.decision import Decision
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.score.reading.parts import flute_parts
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import ScoreReading, read_part
from gripway.tasks.decisions import decided_with
from gripway.tasks.editions import figure_bounds
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.scores import read, read_parts
from gripway.tasks.shelves import wished_shelf


def consistency(
    paths: Iterable[str | Path],
    *,
    parts: Sequence[str] = (),
    options: ReadOptions | None = None,
    instrument: str | None = None,
    with_parts: Sequence[str] = (),
    player: Player = PLAIN_PLAYER,
    found: FoundWishes | None = None,
    decisions: Sequence[Decision] = (),
) -> tuple[Finding, ...]:
    """What does not agree in the marks of scores: among themselves, with the notes, with the flute.

    `parts` are those to look at in every file, without them all of the flute family (the first
    part where none is). `with_parts` are optional parts of the flute; with `found` the grips the
    model finds within these wishes count as grips too. With an editor's `decisions` also what is marked
    against them, and those that have no place. Raises ScoreError for a file that cannot be read.
    """
    readings = ((path, reading) for path in paths for reading in _readings(path, parts, options))
    wishes = Wishes(player=replace(player, bans=()), found=found)  # a ban is no matter of the marks
    marks: list[PartMarks] = []
    against: list[Finding] = []
    for path, reading in readings:
        part = _marks(path, reading, instrument, with_parts, wishes)
        marks.append(part)
        if decisions:
            decided = decided_with(decisions, reading.part, part.notes, part.check)
            against += decided_findings(part, decided)
    return (*Consistency(figure_bounds()).findings(marks), *against)


def _readings(path: str | Path, parts: Sequence[str], options: ReadOptions | None) -> Iterator[ScoreReading]:
    """The parts of one file to look at."""
    if parts:
        yield from read_parts(path, parts, options)
        return
    first = read(path, options)
    flutes = [part.index for part in flute_parts(first.parts)] or [first.part.index]
    asked = ReadOptions(tempo=options.tempo, voice=options.voice) if options else ReadOptions()
    for index in flutes:
        yield first if index == first.part.index else _other(first, index, asked)


def _other(first: ScoreReading, index: int, options: ReadOptions) -> ScoreReading:
    """Another part of a score that is open already."""
    return read_part(first.source, replace(options, part=str(index), tempo_words=tempo_words()))


def _marks(
    path: str | Path, reading: ScoreReading, instrument: str | None, with_parts: Sequence[str], wishes: Wishes
) -> PartMarks:
    """One part with its marks, and everything its flute can play."""
    flute, _ = choose_instrument(instrument, with_parts, wishes.player, reading.part.sounds_semitones)
    shelf, _ = wished_shelf(flute, wishes, beside_of(reading.passage))
    check = GripCheck(Candidates(shelf))
    name = reading.source.name if str(path) == "-" else str(path)
    return PartMarks(name, reading.passage.part, reading.passage.notes, check)
