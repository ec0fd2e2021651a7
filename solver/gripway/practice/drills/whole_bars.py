"""One bar, one ladder: what a hard run or the drill of another cell has whole, no other drill has too."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gripway.model.passage import Note
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.last_stages import stages_of

MUCH_OF_IT = 2 / 3
"""A stage with so much of a run, in a row, is that run (judgement)."""

LEAST_RUN = 6
"""Fewer notes are no run (judgement)."""


def one_ladder_a_bar(cells: Sequence[Sequence[Drill]], run: Sequence[Note]) -> Iterator[tuple[Drill, ...]]:
    """The drills of cells; those in the part stop before a stage that is the run, or another's last one.

    The first stage of a drill stays whatever it is.
    """
    known = [_pitches(run)] if run else []
    for drills in cells:
        kept = tuple(_before(drill, known) if drill.kind == IN_THE_PART else drill for drill in drills)
        yield kept
        known += [_pitches(_last(drill)) for drill in kept if drill.kind == IN_THE_PART]


def _before(drill: Drill, known: Sequence[tuple[int, ...]]) -> Drill:
    """A drill without its last stages that are known elsewhere."""
    stages = stages_of(drill)
    notes = drill.passage.notes
    while len(stages) > 1 and any(_is_one(_pitches(notes[stages[-1].start :]), each) for each in known):
        end = stages.pop().start
        changes = tuple(to for to in drill.changes if to < end)
        if not changes:
            return drill
        notes = notes[:end]
        passage = replace(drill.passage, notes=notes)
        drill = replace(drill, passage=passage, grips=drill.grips[:end], changes=changes, in_bar=False)
    return drill


def _last(drill: Drill) -> Sequence[Note]:
    """The notes of the last stage of a drill."""
    return drill.passage.notes[stages_of(drill)[-1].start :]


def _pitches(notes: Sequence[Note]) -> tuple[int, ...]:
    return tuple(note.pitch.number for note in notes)


def _is_one(stage: tuple[int, ...], run: tuple[int, ...]) -> bool:
    """Whether a stage is a run, or much of it, or goes beyond it."""
    shorter, longer = sorted((stage, run[: max(LEAST_RUN, len(run) - 1)]), key=len)
    inside = any(longer[at : at + len(shorter)] == shorter for at in range(len(longer)))
    return inside and len(shorter) >= max(LEAST_RUN, MUCH_OF_IT * len(run))
