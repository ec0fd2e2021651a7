"""The drills of a cell that are worth their time: one of each family, no two that differ by a note."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.last_stages import without_last_stages

FAMILIES = (
    (("around", "after", "before", "pair"), 1),
    (("evened", "added", "rhythm"), 1),
    (("ending", "entry"), 1),
    (("groups",), 2),
)
"""Kinds that do the same work, the one to keep first, and how many of them: with both neighbours rather than
with one, with one rather than to and fro; the dotted figure or the run itself rather than another rhythm; the
ending of a trill rather than its entry; now the one and now the other note of it long."""

FIRST_TO_GO = "hold"
"""What a cell can do without where more are left: what its other drills have as well."""


def few(drills: Sequence[Drill], figures: PracticeFigures) -> tuple[Drill, ...]:
    """The first drills of the first kinds of each family, all others; `most_cell_drills` at most.

    What stands in the part is always kept, and what it has is no last stage of another.
    """
    kept = list(without_last_stages(drills))
    for family, most in FAMILIES:
        there = [drill for kind in family for drill in kept if drill.kind == kind]
        kept = [drill for drill in kept if drill not in there[most:]]
    if len(kept) > figures.most_cell_drills:
        groups = [drill for drill in kept if drill.kind == "groups"]
        kept = [drill for drill in kept if drill not in groups[1:]]
    if len(kept) > figures.most_cell_drills:
        kept = [drill for drill in kept if drill.kind != FIRST_TO_GO]
    own = [drill for drill in kept if drill.kind == IN_THE_PART]
    others = [drill for drill in kept if drill.kind != IN_THE_PART]
    chosen = (*others[: figures.most_cell_drills - len(own)], *own)
    return tuple(drill for drill in kept if drill in chosen)
