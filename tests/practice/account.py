"""A plan's rules counted over real music and six budgets: `python -m tests.practice.account SCORE...`."""

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from tests.oracles.practice import TABLES

from gripway.model.passage import Passage
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.sheet.outlook_words import free_words, is_free
from gripway.page.sheet.practice_drill import DrillDrawer
from gripway.page.sheet.practice_layout import ROOM_MM, fit_for, height_of
from gripway.practice.drills.drill_minutes import item_steps, minutes_of
from gripway.practice.plan.days import FIRST_KINDS, daily_drills
from gripway.practice.plan.plan import Day, Plan
from gripway.score.reading.score_reading import ReadOptions, load_score
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

BUDGETS = ((5, 3), (10, 3), (15, 7), (20, 5), (30, 5), (60, 5))
"""Minutes a day, and days."""

BARS, STRETCHES = 12, 3
FAST_MS, HIGH = 190.0, 86
"""Stretches are those with most notes that come so soon after the one before, in the third octave."""

USED = 0.85
FIGURES = TABLES.figures


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that a day of a plan breaks."""

    rule: str
    day: int
    what: str


def faults_of(plan: Plan) -> Iterator[Broken]:
    """Every rule of the issue's that a plan breaks, by its own arithmetic."""
    drawer = DrillDrawer(GripSymbols(flute()))
    for day in plan.days:
        yield from (Broken(rule, day.day, what) for rule, what in _day_faults(plan, day))
        page = day_page(plan, day)
        high = height_of(page, drawer, fit_for(page, drawer))
        if high > ROOM_MM:
            yield Broken("one page", day.day, f"{high:.0f} mm")


def _day_faults(plan: Plan, day: Day) -> Iterator[tuple[str, str]]:
    if day.minutes > plan.minutes + 1e-9:
        yield "no longer than asked", f"{day.minutes:g} minutes"
    if day.minutes < USED * plan.minutes and (_work_left(plan, day) or not free_words(plan, FIGURES)):
        yield "the day is used", f"{day.minutes:g} of {plan.minutes}"
    if repeated := _repeated(plan, day):
        yield "nothing two days running but music", ", ".join(repeated)
    if day.passage is None:
        yield "the passage every day", ""
    stretch = 0.0
    for place, minutes in enumerate(day.lasting):
        stretch += minutes + FIGURES.rest_s / 60 * bool(stretch)
        if stretch > FIGURES.long_rest_every_min + 1e-9:
            yield "a long rest in time", f"{stretch:g} minutes"
        if place in day.long_rests:
            stretch = 0.0
    cells = list(dict.fromkeys(item.cell for item in day.items))
    if cells != sorted(cells):
        yield "cells in their order", str(cells)
    for cell in cells:
        steps = plan.cells[cell].ladder.steps
        asked = {step for item in day.items if item.cell == cell for step in item.steps}
        played = [place for place, step in enumerate(steps) if step in asked] or [0]
        if max(played) - min(played) > FIGURES.sitting_notches:
            yield "notches of a sitting", f"{max(played) - min(played)} of cell {cell + 1}"
    for item in day.items:
        if (seconds := _needed(plan, item.cell, item.drill, item.steps)) > item.minutes * 60 + 1e-6:
            yield "an item fits its minutes", f"{seconds:.0f} s in {item.minutes:g} minutes"


def _repeated(plan: Plan, day: Day) -> list[str]:
    """Drills of the day before that come again, though they are no music."""
    before = next((each for each in plan.days if each.day == day.day - 1), None)
    drills = {(item.cell, item.drill) for item in before.items} if before else set()
    daily = {(cell, drill) for cell, one in enumerate(plan.cells) for drill in daily_drills(one, FIGURES)}
    again = (item for item in day.items if (item.cell, item.drill) in drills - daily)
    return [f"{item.cell + 1}.{item.drill + 1}" for item in again]


def alike(plan: Plan) -> Iterator[float]:
    """For each day but the first the share of its drills and studies that the day before has too."""
    for before, day in pairwise(plan.days):
        old, new = ({(i.cell, i.drill) for i in d.items} | {s.way for s in d.studies} for d in (before, day))
        yield len(old & new) / len(new)


def _needed(plan: Plan, cell: int, drill: int, steps: Sequence[int]) -> float:
    """Seconds of three clean times in a row at each tempo, one try in ten failing at least."""
    clean = 1 - FIGURES.errors_slow_share
    repeats = FIGURES.clean_times
    tries = sum(clean**-power for power in range(1, repeats + 1))
    quarters = 4 * float(plan.cells[cell].drills[drill].lasts)
    return sum(tries * (quarters * 60 / step + FIGURES.breath_s) for step in steps)


def _work_left(plan: Plan, day: Day) -> bool:
    """Whether a cell has a drill left that its 15 minutes still hold, at fewer tempos if need be."""
    days = [each for each in plan.days if abs(each.day - day.day) <= 1]
    played = {(item.cell, item.drill) for each in days for item in each.items}
    for cell, planned in enumerate(plan.cells):
        own = [item for item in day.items if item.cell == cell]
        climb = (min(i.start for i in own), max(i.end for i in own)) if own else planned.ladder.steps[:2]
        if len(own) >= FIGURES.kept_drills and max(i.end for i in own) == planned.ladder.goal:
            continue
        room = FIGURES.spot_most_min - sum(item.minutes for item in own)
        for drill, made in enumerate(planned.drills):
            if (cell, drill) not in played and made.kind not in FIRST_KINDS:
                steps = item_steps(made, planned.ladder, climb, FIGURES.item_least_min, TABLES)
                if minutes_of(made, planned.ladder, steps, FIGURES) <= room:
                    return True
    return False


def stretches(path: Path, count: int = STRETCHES) -> Iterator[tuple[str, Passage]]:
    """The bars of a score with most fast changes of the third octave, no bar twice."""
    passage = load_score(path).passage
    bars = [bar for bar in dict.fromkeys(note.bar for note in passage.notes) if bar.isdecimal()]
    score = Counter[str]()
    for one, other in zip(passage.notes, passage.notes[1:], strict=False):
        if other.onset_ms - one.onset_ms < FAST_MS and max(one.pitch.number, other.pitch.number) >= HIGH:
            score[one.bar] += 1
    for _ in range(count):
        places = range(max(1, len(bars) - BARS + 1))
        best = max(places, key=lambda place: sum(score[bar] for bar in bars[place : place + BARS]))
        chosen = bars[best : best + BARS]
        span = f"{chosen[0]}-{chosen[-1]}"
        yield span, load_score(path, ReadOptions(bars=span)).passage
        for bar in chosen:
            score[bar] = -1


def main(paths: Sequence[str]) -> None:
    """Count and name what is broken."""
    counted, days, plans, proved = Counter[str](), 0, 0, 0
    used: list[float] = []
    same: list[float] = []
    free = 0
    for path in map(Path, paths):
        for span, passage in stretches(path):
            for minutes, many in BUDGETS:
                plan = practise(passage, flute(), time=PracticeTime(minutes, many))
                plans, days, proved = plans + 1, days + len(plan.days), proved + plan.proved
                used += [day.minutes / minutes for day in plan.days]
                same += alike(plan)
                free += sum(is_free(plan, day, FIGURES) for day in plan.days)
                for fault in faults_of(plan):
                    counted[fault.rule] += 1
                    print(f"{path.stem} {span} {minutes} min day {fault.day}: {fault.rule}: {fault.what}")
            print(path.stem, span, file=sys.stderr, flush=True)
    print(f"{plans} plans ({proved} proved), {days} days, {sum(used) / len(used):.1%} of the time used")
    print(f"{free} days of which the plan says that the rest is free, as there is no more to do")
    print(f"{sum(same) / len(same):.1%} of a day's drills and studies are those of the day before")
    print("\n".join(f"{rule}: {count}" for rule, count in counted.items()) or "no rule broken")


if __name__ == "__main__":
    main(sys.argv[1:])
