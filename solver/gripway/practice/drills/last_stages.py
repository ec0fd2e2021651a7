"""The last stage of a drill that is built up is left to the drill in the part, where that has the same."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gripway.model.passage import Passage, between_rests
from gripway.practice.drills.drills import IN_THE_PART, Drill, without_held

BUILT_UP = "added"
"""The kind of drill that has more notes each time."""


def without_last_stages(drills: Sequence[Drill]) -> Iterator[Drill]:
    """The drills of a cell; one that is built up without its last stage where the part's has that music.

    One whose change stands in its last stage alone keeps it.
    """
    had = [
        _music(bare, stage)
        for drill in drills
        if drill.kind == IN_THE_PART
        for bare in [without_held(drill)]
        for stage in stages_of(bare)
    ]
    for drill in drills:
        last = stages_of(drill)[-1]
        if drill.kind != BUILT_UP or _music(drill, last) not in had:
            yield drill
        elif changes := tuple(to for to in drill.changes if to < last.start):
            kept = Passage(drill.passage.notes[: last.start])
            yield replace(drill, passage=kept, grips=drill.grips[: last.start], changes=changes)
        else:
            yield drill


def stages_of(drill: Drill) -> list[range]:
    """The notes, by index, that follow one another without a rest."""
    return between_rests(drill.passage.notes)


def _music(drill: Drill, stage: range) -> tuple[tuple[object, ...], ...]:
    """Pitch, grip, time from the first note, length and slur of the notes of a stage."""
    notes = drill.passage.notes
    begin = notes[stage.start].onset
    return tuple(
        (
            notes[at].pitch.number,
            drill.grips[at],
            notes[at].onset - begin,
            notes[at].length,
            at > stage.start and notes[at].slurred,
        )
        for at in stage
    )
