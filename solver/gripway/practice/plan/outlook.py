"""What the days of a plan come to: how high each cell climbs, and why it does not get to its tempo."""

from dataclasses import dataclass
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.drills.tempo_ladder import sittings
from gripway.practice.plan.plan import Plan

MOST_SITTINGS = 100
"""No ladder has so many notches."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """Where a cell stands after the days of the plan if all goes well, quarters a minute.

    `more` is how many further days with it reach its `goal` at the earliest, which is the tempo of the part
    (`target`) or, on a `plateau`, a nearer one.
    """

    ends: int
    goal: int
    target: int
    more: int

    @property
    def plateau(self) -> bool:
        """Whether the goal is nearer than the tempo of the part, since the last days brought no more."""
        return self.goal < self.target

    @property
    def reaches(self) -> bool:
        """Whether the plan gets to the tempo of the part."""
        return self.ends >= self.target


def outlook_of(plan: Plan, cell: int, figures: PracticeFigures) -> Outlook:
    """The outlook of a cell (from 0) of a plan."""
    ladder = plan.cells[cell].ladder
    items = [item for day in plan.days for item in day.items if item.cell == cell]
    days = sum(any(item.cell == cell for item in day.items) for day in plan.days)
    tops = [top for _, top in sittings(ladder, MOST_SITTINGS, figures)]
    drills = plan.cells[cell].drills
    ends = max((item.end for item in items if not drills[item.drill].free), default=ladder.start)
    more = tops.index(ladder.goal) + 1 - days
    if days and ends < tops[days - 1]:  # held back by its other drills
        left = sum(step > ends for step in ladder.steps)
        more = max(more, ceil(left / figures.part_notches))
    return Outlook(max(ends, ladder.reached or 0), ladder.goal, ladder.target, max(0, more))
