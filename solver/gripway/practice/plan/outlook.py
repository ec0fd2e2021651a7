"""What the days of a plan come to: how high each cell climbs, and why it does not get to its tempo."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import grace_figure, graced_changes
from gripway.practice.drills.tempo_ladder import sittings
from gripway.practice.plan.cell_work import FIRST_KINDS
from gripway.practice.plan.course import PLACE
from gripway.practice.plan.plan import Day, Plan
from gripway.practice.schedule.schedule_rules import LAST_FROM_DAYS

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


def days_of_ornaments(plan: Plan, figures: PracticeFigures) -> dict[int, int | None]:
    """The day from which the passage is played with each of its hard ornaments; None where none is.

    That is the first by which all of the bar, and the same grace notes elsewhere, have been worked on at the
    tempo that the passage has there, or from the middle of the days on near it. Ornaments are named by the
    note that their hard change leads to. What no day works on is never left out: it is played as it goes.
    """
    notes = plan.route.passage.notes
    found: dict[int, int | None] = {}
    for cell in (each for each in plan.ornaments if each not in plan.untouched):
        for to in graced_changes(cell, plan.line, figures):
            found[to] = _day_with(plan, cell, to, figures)
    bars = {to: notes[to].bar for to in found}
    figures_of = {to: grace_figure(notes, to) or (-to,) for to in found}
    for alike in (bars, figures_of) * 2:
        together: dict[object, list[int | None]] = {}
        for to, day in found.items():
            together.setdefault(alike[to], []).append(day)
        found = {to: _last(together[alike[to]]) for to in found}
    return found


def _last(days: Sequence[int | None]) -> int | None:
    """The last of some days; None where one of them is none."""
    return None if None in days else max(day or 0 for day in days)


def _day_with(plan: Plan, cell: Cell, to: int, figures: PracticeFigures) -> int | None:
    """The first day by which an ornament has been worked on at the tempo that the passage has there.

    Once half of the days are over, `part_ahead_notches` below it, on the last day but one twice as many; of
    three days or more it does not come back on the last one only.
    """
    near = (1 + figures.notch_share) ** -figures.part_ahead_notches
    days = plan.days[:-1] if len(plan.days) >= LAST_FROM_DAYS else plan.days
    for number, day in enumerate(days, start=1):
        wanted = min(1.0, day.passage.share_of(to, to)) if day.passage else 1.0
        wanted *= near if 2 * day.day > plan.days[-1].day else 1.0
        wanted *= near if day is days[-1] else 1.0
        if _worked_at(plan, cell, plan.days[:number]) >= wanted - 1e-9:
            return day.day
    return None


def _worked_at(plan: Plan, cell: Cell, days: Sequence[Day]) -> float:
    """The highest share of its tempo that a cell was drilled at, or worked on in its bar, on some days.

    Holds and stops are no work with an ornament.
    """
    number = next((at for at, planned in enumerate(plan.cells) if planned.cell is cell), None)
    if number is None:
        there = (study for day in days for study in day.studies if study.way == PLACE)
        return max((each.share for each in there if each.first <= cell.place <= each.last), default=0.0)
    planned = plan.cells[number]
    items = (item for day in days for item in day.items if item.cell == number)
    ends = (item.end for item in items if planned.drills[item.drill].kind not in FIRST_KINDS)
    return max(ends, default=0) / planned.ladder.target
