"""What the schedule is told of a cell: its weight, and how long each drill takes on each visit."""

from collections.abc import Iterator, Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.hardness import is_early
from gripway.practice.drills.drill_minutes import item_steps, longest_item, minutes_of
from gripway.practice.drills.drills import IN_THE_PART, LEARN, Drill
from gripway.practice.drills.tempo_ladder import sittings
from gripway.practice.plan.plan import PlannedCell
from gripway.practice.schedule.schedule_rules import (
    MOST_DRILLS,
    SLOT_S,
    CellWork,
    TimeFrame,
)

DAILY_KINDS = ("overlap", "even", "added", "entry", "figure")
"""Kinds of drills that are music, and may come day after day."""

FIRST_KINDS = ("octave", "hold", "stop")
"""Kinds of drills a cell is met with; once it is known there is little in them."""

SIMPLE_KINDS = (*FIRST_KINDS, LEARN, "pair", "before", "after", "around", "added")
"""Kinds that lead to the bar: none of them comes for the first time after it."""

SHORT_KINDS = (IN_THE_PART, "pair")
"""Kinds that stand beside another drill of their cell, or tire: no long ones."""

TO_AND_FRO = ("measured", "groups", "even")
"""Kinds of drills that are two notes in turn: there is less to read in them."""

MEETING_VISITS = 2
"""On so many visits a cell is new: it is met, then goes back into its surroundings."""

WEIGHT_OF_HARDNESS = 20
"""Weights are whole numbers: so much for a change that just begins to be worth practising."""


def weight_of(cell: Cell, figures: PracticeFigures) -> float:
    """How much a cell counts: its hardness, more for each place of its changes, less for what pupils have."""
    hang = (len(cell.places) + len(cell.back)) * (len(cell.notes) - 1)
    more = min(hang, figures.weight_places) - 1
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    early = is_early(before, after, figures)
    share = figures.weight_early_share if early else 1.0
    return cell.hardness(figures) * (1 + figures.weight_place_share * more) * share


def work_of(planned: PlannedCell, frame: TimeFrame, minutes: float, tables: PracticeTables) -> CellWork:
    """What the scheduling model is told of a cell: how long a drill takes on each of its visits."""
    figures = tables.figures
    weight = weight_of(planned.cell, figures) * (figures.reached_share if planned.ladder.done else 1)
    climbs = list(dict.fromkeys(sittings(planned.ladder, frame.days, figures)))
    at_goal = planned.ladder.done or (len(climbs) > 1 and climbs[-1][1] == planned.ladder.goal)
    first = next((visit for visit, (_, top) in enumerate(climbs) if top == planned.ladder.goal), frame.days)
    mastered = first + max(0, figures.sure_days - planned.days_at_goal)
    mastered = max(mastered, 0 if planned.days_at_goal else MEETING_VISITS)
    kept_from = len(climbs) - 1
    climbs += climbs[-1:] * (min(mastered, frame.days - 1) - kept_from)
    slots, *later = (
        tuple(
            round(_lasts(planned, drill, climb, minutes, tables, sure=visit >= mastered) * 60 / SLOT_S)
            for drill in range(len(planned.drills))
        )
        for visit, climb in enumerate(climbs)
    )
    until = until_of(planned, climbs, figures)
    if until[-1] < len(climbs):  # too slow to come back alone
        mastered = MOST_DRILLS
    return CellWork(
        max(1, round(weight * WEIGHT_OF_HARDNESS)),
        slots,
        min(planned.met, len(slots)),
        tuple(later),
        planned.ladder.done,
        planned.missed,
        plain=frozenset(_of_kinds(planned, FIRST_KINDS)),
        daily=frozenset(daily_drills(planned, figures)),
        music=frozenset(_of_kinds(planned, DAILY_KINDS)),
        kept=figures.kept_drills if at_goal else len(planned.drills),
        kept_from=kept_from,
        mastered=mastered,
        signs=tuple(signs_of(drill, figures) for drill in planned.drills),
        until=until,
        apart=apart_drills(planned, figures),
        bar=next(_of_kinds(planned, (IN_THE_PART,)), None),
        simple=frozenset(_of_kinds(planned, SIMPLE_KINDS)),
    )


def until_of(
    planned: PlannedCell, climbs: Sequence[tuple[int, int]], figures: PracticeFigures
) -> tuple[int, ...]:
    """On how many of the visits with these climbs each drill goes with the tempos.

    It does on the first where it ends no more than `back_notches` below the foot of the climb, later where it
    ends no lower than that foot, as tempos go up from day to day; the quickest does always.
    """
    drills = planned.drills
    quickest = max((drill.fastest for drill in drills if not drill.free), default=0)
    back = (1 + figures.notch_share) ** -figures.back_notches
    lowest = [round(foot * back) if not visit else foot for visit, (foot, _) in enumerate(climbs)]
    return tuple(
        len(climbs)
        if drill.free or drill.fastest == quickest
        else sum(drill.fastest >= tempo for tempo in lowest)
        for drill in drills
    )


def apart_drills(planned: PlannedCell, figures: PracticeFigures) -> frozenset[int]:
    """The drills that come once in three days: those that are no music, where there are enough of them."""
    first, music = ({*_of_kinds(planned, kinds)} for kinds in (FIRST_KINDS, DAILY_KINDS))
    others = {*range(len(planned.drills))} - first - music
    return frozenset(others if len(others) >= 2 * figures.visit_drills else ())


def signs_of(drill: Drill, figures: PracticeFigures) -> int:
    """How much there is to read in a drill: its clef and its notes, of two in turn every second one.

    What stands in the part is known.
    """
    notes = len(drill.passage.notes) // (2 if drill.kind in TO_AND_FRO else 1)
    return figures.drill_signs + notes * (drill.kind != IN_THE_PART)


def daily_drills(planned: PlannedCell, figures: PracticeFigures) -> Iterator[int]:
    """The drills of a cell that may come on two days running: music, and all but the first where few are."""
    few = len(planned.drills) < 2 * figures.visit_drills
    known = [place for place, drill in enumerate(planned.drills) if drill.kind not in FIRST_KINDS]
    return iter(known or range(len(planned.drills))) if few else _of_kinds(planned, DAILY_KINDS)


def _of_kinds(planned: PlannedCell, kinds: Sequence[str]) -> Iterator[int]:
    return (place for place, drill in enumerate(planned.drills) if drill.kind in kinds)


def sitting_of(
    planned: PlannedCell,
    drill: int,
    climb: tuple[int, int],
    minutes: float,
    tables: PracticeTables,
    most: float | None = None,
) -> tuple[tuple[int, ...], float]:
    """The tempos of a drill in a sitting on a day of so many minutes, and its minutes, `most` if given."""
    made = planned.drills[drill]
    longest = longest_item(minutes, tables.figures) if most is None else most
    if made.kind in SHORT_KINDS:
        longest = min(longest, tables.figures.bar_most_min)
    steps = item_steps(made, planned.ladder, climb, longest, minutes, tables)
    return steps, minutes_of(made, planned.ladder, steps, tables.figures)


def _lasts(
    planned: PlannedCell,
    drill: int,
    climb: tuple[int, int],
    minutes: float,
    tables: PracticeTables,
    *,
    sure: bool,
) -> float:
    """Minutes of a drill in a sitting, of one of a cell that is sure at its last tempos alone."""
    steps, lasts = sitting_of(planned, drill, climb, minutes, tables)
    return still_there(planned, drill, steps, tables.figures)[1] if sure else lasts


def still_there(
    planned: PlannedCell, drill: int, steps: Sequence[int], figures: PracticeFigures
) -> tuple[tuple[int, ...], float]:
    """A drill of a cell that has been at its goal: its last `sure_tempos`, and what they take."""
    last = tuple(steps[-figures.sure_tempos :])
    return last, minutes_of(planned.drills[drill], planned.ladder, last, figures)
