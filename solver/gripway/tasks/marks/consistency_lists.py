"""The marks of one or several scores looked through for what does not agree."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gripway.asked.found_wishes import FoundWishes
from gripway.asked.wishes import Wishes
from gripway.edition.consistency import Consistency, Finding, PartMarks
from gripway.edition.decided_marks import decided_findings, remarks_on
from gripway.edition.shorthand import spelt_out
from gripway.model.decision import Decision
from gripway.model.passage import Remark
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.decisions import decided_with
from gripway.tasks.editions import figure_bounds
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.scores import ALL_PARTS, open_parts

Told = Callable[[Remark], None]
"""What is to be done with a remark."""


def consistency(
    paths: str | Path | Iterable[str | Path],
    *,
    parts: Sequence[str] = (),
    options: ReadOptions | None = None,
    instrument: str | None = None,
    with_parts: Sequence[str] = (),
    player: Player = PLAIN_PLAYER,
    found: FoundWishes | None = None,
    decisions: Sequence[Decision] = (),
    told: Told = lambda _remark: None,
) -> tuple[Finding, ...]:
    """What does not agree in the marks of scores: among themselves, with the notes, with the flute.

    `parts` are those to look at in every file, without them all of the flute family (the first
    part where none is). `with_parts` are optional parts of the flute; with `found` the grips the
    model finds within these wishes count as grips too. With an editor's `decisions` also what is marked
    against them, and those that have no place. `told` hears of parts without notes, and of decisions.
    Raises ScoreError for a file that cannot be read.

    >>> import gripway
    >>> gripway.consistency(["examples/weathercock_part.musicxml"])
    ()
    """
    paths = [paths] if isinstance(paths, str | Path) else paths
    readings = ((path, reading) for path in paths for reading in _readings(path, parts, options, told))
    wishes = Wishes(player=replace(player, bans=()), found=found)  # a ban is no matter of the marks
    marks: list[PartMarks] = []
    against: list[Finding] = []
    for path, reading in readings:
        part = _marks(path, reading, instrument, with_parts, wishes)
        marks.append(part)
        if decisions:
            decided = decided_with(decisions, reading.part, part.notes, part.check)
            against += decided_findings(part, decided)
            for remark in remarks_on(decided):
                told(remark)
    return (*Consistency(figure_bounds()).findings(marks), *against)


def _readings(
    path: str | Path, parts: Sequence[str], options: ReadOptions | None, told: Told
) -> Iterator[ScoreReading]:
    """The parts of one file to look at; those without a note are told and passed over."""
    found = open_parts(path, parts or (ALL_PARTS,), options, else_first=not parts)
    for remark in found.tacet_remarks(found.source.name):
        told(remark)
    yield from found.readings


def _marks(
    path: str | Path, reading: ScoreReading, instrument: str | None, with_parts: Sequence[str], wishes: Wishes
) -> PartMarks:
    """One part with its marks, and everything its flute can play."""
    flute, _ = choose_instrument(instrument, with_parts, wishes.player, reading.part.sounds_semitones)
    name = reading.source.name if str(path) == "-" else str(path)
    return part_marks(name, reading, FlutePlayer(flute, wishes.player), wishes)


def part_marks(name: str, reading: ScoreReading, mine: FlutePlayer, wishes: Wishes) -> PartMarks:
    """One part of the file of this name with its marks, and everything the flute can play."""
    check = mine.grip_check(wishes, reading.passage.notes)
    notes = tuple(spelt_out(note, check) for note in reading.passage.notes)
    return PartMarks(name, reading.passage.part, notes, check)
