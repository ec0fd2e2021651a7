"""No drill twice in the cells of a plan: what a later cell would have again is left to the earlier one."""

from collections.abc import Sequence

from gripway.practice.drills.drills import Drill

AS_WRITTEN = ("before", "after", "around")
"""Kinds of drills that are a few notes of the part in their own time: one inside another is the same work."""

Names = tuple[tuple[int, str], ...]
"""Pitch numbers with their grips."""


def distinct(cells: Sequence[Sequence[Drill]]) -> list[tuple[Drill, ...]]:
    """The drills of the cells of a plan in their order, without those an earlier cell has already.

    The same are drills with the same notes, lengths and grips; of the kinds as written also one whose notes
    stand in one of an earlier cell.
    """
    had: set[tuple[object, ...]] = set()
    runs: list[Names] = []
    kept: list[tuple[Drill, ...]] = []
    for drills in cells:
        own = tuple(drill for drill in drills if _music(drill) not in had and not _stands_in(drill, runs))
        had |= {_music(drill) for drill in own}
        runs += [_names(drill) for drill in own if drill.kind in AS_WRITTEN]
        kept.append(own)
    return kept


def _music(drill: Drill) -> tuple[object, ...]:
    """What a drill is to the fingers."""
    lengths = tuple((note.onset, note.length) for note in drill.passage.notes)
    return (_names(drill), lengths)


def _names(drill: Drill) -> Names:
    pairs = zip(drill.passage.notes, drill.grips, strict=True)
    return tuple((note.pitch.number, grip.text) for note, grip in pairs)


def _stands_in(drill: Drill, runs: Sequence[Names]) -> bool:
    """Whether a drill as written is part of one of these."""
    if drill.kind not in AS_WRITTEN:
        return False
    own = _names(drill)
    return any(
        run[first : first + len(own)] == own for run in runs for first in range(len(run) - len(own) + 1)
    )
