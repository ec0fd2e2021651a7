"""The rules of schedule_rules.py as a model in CP-SAT: one worker, a fixed seed, counted time."""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.schedule.schedule_greedy import Days, greedy
from gripway.practice.schedule.schedule_rules import (
    LAST_FROM_DAYS,
    CellPlan,
    CellWork,
    Schedule,
    TimeFrame,
    arranged,
    bar_comes,
    can_take_turns,
    cell_ahead,
    days_between_visits,
    drill_ahead,
    gain_of,
    gain_of_cell,
    last_to_begin,
    lasts_no_longer,
    least_drills,
    least_on,
    may_be_new,
    most_gain,
    turns_on,
)

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

COUNTED_TIME = 1.0
"""CellWork of the solver at most, in its own deterministic seconds; then the plan has a bound."""


def schedule(works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures) -> Schedule:
    """The plan of most gain, proved or with the bound the solver knows; at worst the greedy plan."""
    from ortools.sat.python import cp_model

    first = greedy(works, frame, figures)
    model = _Model(cp_model.CpModel(), works, frame, figures)
    model.state()
    model.hint(first)
    if first[0]:
        model.begin()
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.num_workers, parameters.random_seed = 1, 1
    parameters.linearization_level = 2
    parameters.max_deterministic_time = COUNTED_TIME
    status = solver.solve(model.model)
    found, bound = first, most_gain(works, frame, figures)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found = [
            [key[:2] for key in model.on_day(day) if solver.value(model.plays[key])] for day in model.days
        ]
        bound = min(bound, int(solver.best_objective_bound + 1e-6))
    days = tuple(
        arranged(chosen, turns_on(found[:day], works, frame), strict=frame.interleaved)
        for day, chosen in enumerate(found)
    )
    return Schedule(days, gain_of(found, works, figures), bound)


class _Model:
    """Variables and rules: `plays` (cell, drill, day), `visits` (cell, day)."""

    def __init__(
        self, model: "cp_model.CpModel", works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures
    ) -> None:
        self.model, self.works, self.frame, self.figures = model, works, frame, figures
        self.days = range(frame.days)
        self.plays = {
            (cell, drill, day): model.new_bool_var(f"plays {cell} {drill} {day}")
            for cell, work in enumerate(works)
            for drill in range(len(work.slots))
            for day in self.days
        }
        self.visits = {
            (cell, day): model.new_bool_var(f"visits {cell} {day}")
            for cell in range(len(works))
            for day in self.days
        }
        self.number = {
            (cell, day, visit): model.new_bool_var(f"on {day} visit {visit} of {cell}")
            for cell, work in enumerate(works)
            for day in self.days
            for visit in range(min(day + 1, len(work.visits)))
            if work.later
        }
        self.counted: dict[tuple[int, int], Any] = {}
        self.met: dict[tuple[int, int], Any] = {}

    def state(self) -> None:
        """All rules, and what is best."""
        for day in self.days:
            self._time(day)
            self._fresh(day)
            if self.frame.interleaved and len(self.works) > 1:
                self._turns(day)
        for cell in range(len(self.works)):
            self._visit(cell)
            self._count(cell)
            self._order(cell)
            self._not_again(cell)
            self._last(cell)
            self._behind(cell)
            self._gaps(cell)
            self._bar(cell)
        self.model.maximize(sum(self._gain(cell) for cell in range(len(self.works))))

    def on_day(self, day: int) -> list[tuple[int, int, int]]:
        """The keys of `plays` on a day."""
        return [key for key in self.plays if key[2] == day]

    def begin(self) -> None:
        """The first day has drills."""
        self.model.add(sum(self.visits[cell, 0] for cell in range(len(self.works))) >= 1)

    def hint(self, days: Days) -> None:
        """Tell the solver a plan to begin with."""
        for (cell, drill, day), play in self.plays.items():
            self.model.add_hint(play, (cell, drill) in days[day])
        for (cell, day), visit in self.visits.items():
            self.model.add_hint(visit, any(cell == other for other, _ in days[day]))
        for (cell, day, place), on_visit in self.number.items():
            before = sum(any(cell == other for other, _ in days[then]) for then in range(day))
            self.model.add_hint(on_visit, place == min(before, len(self.works[cell].later)))
        for (cell, number), counted in self.counted.items():
            self.model.add_hint(counted, number < sum(any(c == cell for c, _ in day) for day in days))
        for (cell, drill), met in self.met.items():
            self.model.add_hint(met, any((cell, drill) in day for day in days))

    def _on(self, cell: int, day: int) -> list[Any]:
        return [self.plays[cell, drill, day] for drill in range(len(self.works[cell].slots))]

    def _drills_on(self, day: int) -> Any:
        return sum(sum(self._on(cell, day)) for cell in range(len(self.works)))

    def _time(self, day: int) -> None:
        taken = sum(self._taken(cell, day) for cell in range(len(self.works)))
        self.model.add(lasts_no_longer(taken, self._drills_on(day), self.frame))
        if self.frame.most < len(self.on_day(day)):
            self.model.add(self._drills_on(day) <= self.frame.most)

    def _taken(self, cell: int, day: int) -> Any:
        """The slots a cell takes on a day, which must not be more than one cell may: by the visit it is."""
        work, most = self.works[cell], self.frame.spot
        played = self._on(cell, day)

        def sum_of(slots: Sequence[int]) -> Any:
            return sum(size * one for size, one in zip(slots, played, strict=True))

        if not work.later:
            self.model.add(sum_of(work.slots) <= most)
            return sum_of(work.slots)
        lasts: Any = self.model.new_int_var(0, most, f"slots of {cell} on {day}")
        self.model.add(lasts >= sum_of([min(sizes) for sizes in zip(*work.visits, strict=True)]))
        for visit, slots in enumerate(work.visits[: day + 1]):
            self.model.add(lasts >= sum_of(slots)).only_enforce_if(self.number[cell, day, visit])
        return lasts

    def _fresh(self, day: int) -> None:
        """No more that is new to read than the day may have."""
        everything = sum(work.reads(drill) for work in self.works for drill in range(len(work.slots)))
        if everything <= self.frame.fresh:
            return
        new = []
        for cell, work in enumerate(self.works):
            for drill in range(work.met, len(work.slots)):
                first = self.model.new_bool_var(f"new {cell} {drill} {day}")
                earlier = sum(self.plays[cell, drill, then] for then in range(day))
                self.model.add(first >= self.plays[cell, drill, day] - earlier)
                new.append(work.reads(drill) * first)
        self.model.add(sum(new) <= self.frame.fresh)

    def _turns(self, day: int) -> None:
        for cell in range(len(self.works)):
            self.model.add(can_take_turns(sum(self._on(cell, day)), self._drills_on(day)))

    def _visit(self, cell: int) -> None:
        work = self.works[cell]
        least = least_drills(work, self.frame, self.figures)
        first = least_drills(work, self.frame, self.figures, first=True)
        for day in self.days:
            visit, played = self.visits[cell, day], self._on(cell, day)
            for one in played:
                self.model.add_implication(one, visit)
            enough, sure = least_on(day, least, self.frame), self._from(cell, day, work.mastered)
            self.model.add(sum(played) >= enough * visit - (enough - 1) * sure)
            if not work.met and least_on(day, first, self.frame) > enough:
                earlier = sum(self.visits[cell, then] for then in range(day))
                self.model.add(sum(played) >= first * (visit - earlier))
            if day:
                before = self._from(cell, day - 1, work.mastered)
                self.model.add(visit + self.visits[cell, day - 1] + before <= 2)
            if work.kept < len(played):
                known = self._from(cell, day, len(work.later) if work.kept_from is None else work.kept_from)
                self.model.add(sum(played) <= work.kept + (len(played) - work.kept) * (1 - known))

    def _from(self, cell: int, day: int, visit: int) -> Any:
        """Whether a cell has had so many visits before a day."""
        if not self.works[cell].later:
            return int(visit <= 0)
        numbers = range(visit, len(self.works[cell].later) + 1)
        return sum(self.number[cell, day, each] for each in numbers if (cell, day, each) in self.number)

    def _count(self, cell: int) -> None:
        """Which of its visits a cell has, or would have, on each day; from the last on they are alike.

        What is too slow for a visit is not played on it.
        """
        work, last = self.works[cell], len(self.works[cell].later)
        slow = [(drill, n) for drill in range(len(work.slots)) for n in range(last + 1)]
        slow = [(drill, number) for drill, number in slow if not work.goes_on(number, drill)]
        for drill, number in slow:
            for day in self.days[number:]:
                on_visit: Any = self.number[cell, day, number] if last else 1
                self.model.add(self.plays[cell, drill, day] + on_visit <= 1)
        for day in self.days if last else ():
            before = sum(self.visits[cell, then] for then in range(day))
            numbers = [self.number[cell, day, visit] for visit in range(min(day, last) + 1)]
            self.model.add_exactly_one(numbers)
            for visit, one in enumerate(numbers):
                if visit < last:
                    self.model.add(before == visit).only_enforce_if(one)
                else:
                    self.model.add(before >= visit).only_enforce_if(one)

    def _order(self, cell: int) -> None:
        """A drill may be played once the drill before it has been, by that day or before the plan."""
        work = self.works[cell]
        for drill in range(work.met, len(work.slots)):
            first = work.first_before(drill)
            if first is not None and first >= work.met:
                self._after(cell, drill, cell, first)

    def _not_again(self, cell: int) -> None:
        """No hold or stop on another day, no drill on two days running, but music and on the last day."""
        work = self.works[cell]
        for drill in work.once & {*range(len(work.slots))}:
            self.model.add(sum(self.plays[cell, drill, day] for day in self.days) <= int(drill >= work.met))
        before_last = self.days[: -1 if self.frame.days >= LAST_FROM_DAYS else None]
        for drill in set(range(len(work.slots))) - work.daily:
            for day in before_last[1:]:
                self.model.add(self.plays[cell, drill, day - 1] + self.plays[cell, drill, day] <= 1)
        for drill in work.apart & {*range(len(work.slots))}:
            for day in before_last[2:]:
                self.model.add(sum(self.plays[cell, drill, then] for then in range(day - 2, day + 1)) <= 1)

    def _last(self, cell: int) -> None:
        """No new cell on the last days, and no new drill that may not be; all that was begun is met there."""
        work, last = self.works[cell], self.frame.days - 1
        if not last:
            return
        if self.frame.days >= LAST_FROM_DAYS:
            plain = set(range(len(work.slots))) - work.music
            self.model.add(sum(self.plays[cell, drill, last] for drill in plain) <= 1)
        for day in self.days[:last]:
            self.model.add_implication(self.visits[cell, day], self.visits[cell, last])
        for day in () if work.met else self.days[last_to_begin(self.frame) + 1 :]:
            self.model.add(self.visits[cell, day] <= sum(self.visits[cell, then] for then in range(day)))
        for drill in range(work.met, len(work.slots)):
            if not may_be_new(drill, last, work, self.frame):
                earlier = sum(self.plays[cell, drill, day] for day in self.days if day < last)
                self.model.add(self.plays[cell, drill, last] <= earlier)

    def _bar(self, cell: int) -> None:
        """Back into the bar on the second visit, and nothing simpler for the first time after it."""
        work = self.works[cell]
        if work.bar is None or work.bar < work.met:
            return
        comes = bar_comes(work, self.frame) and not work.met
        for day in self.days if comes else ():
            if may_be_new(work.bar, day, work, self.frame) and (cell, day, 1) in self.number:
                second = self.visits[cell, day] + self.number[cell, day, 1]
                earlier = sum(self.plays[cell, work.bar, then] for then in range(day + 1))
                self.model.add(earlier >= second - 1)
        for drill in work.simple & {*range(work.met, work.bar)}:
            for day in self.days[1:]:
                met = sum(self.plays[cell, drill, then] for then in range(day))
                for then in range(day):
                    self.model.add(self.plays[cell, drill, day] <= 1 - self.plays[cell, work.bar, then] + met)

    def _behind(self, cell: int) -> None:
        """No new drill before the cell ahead has had as many."""
        ahead = cell_ahead(cell, self.works)
        if ahead is None:
            return
        for drill in range(self.works[cell].met, len(self.works[cell].slots)):
            other = drill_ahead(drill, self.works[ahead], self.frame)
            if other is not None:
                self._after(cell, drill, ahead, other)

    def _after(self, cell: int, drill: int, other: int, first: int) -> None:
        """A drill of a cell on no day before one of another cell."""
        for day in self.days:
            earlier = sum(self.plays[other, first, then] for then in range(day + 1))
            sure = self._from(other, day, self.works[other].mastered) if other != cell else 0
            self.model.add(self.plays[cell, drill, day] <= earlier + sure)

    def _gaps(self, cell: int) -> None:
        apart = days_between_visits(self.figures)
        for first in self.days:
            for last in range(first + apart + 1, self.frame.days):
                between = sum(self.visits[cell, day] for day in range(first + 1, last))
                sure = self._from(cell, last, self.works[cell].mastered)
                self.model.add(self.visits[cell, first] + self.visits[cell, last] - 1 <= between + sure)

    def _gain(self, cell: int) -> Any:
        work = self.works[cell]
        visits = [self.visits[cell, day] for day in self.days]
        counted = [self.model.new_bool_var(f"visit {cell} number {number}") for number in self.days]
        self.counted |= {(cell, number): one for number, one in enumerate(counted)}
        self.model.add(sum(counted) == sum(visits))
        for one, other in pairwise(counted):
            self.model.add(one >= other)
        drills = range(len(work.slots))
        times = [sum(self.plays[cell, drill, day] for day in self.days) for drill in drills]
        new = {drill: self.model.new_bool_var(f"met {cell} {drill}") for drill in drills[work.met :]}
        for drill, met in new.items():
            self.met[cell, drill] = met
            self.model.add(met <= times[drill])
        last = self.plays[cell, len(work.slots) - 1, self.frame.days - 1]
        opens = visits[0] if cell == 0 or work.missed else 0
        goes_on = visits[1] if cell == 0 and len(visits) > 1 else 0
        plan = CellPlan(counted, times, new, closes=last, opens=opens, goes_on=goes_on)
        return gain_of_cell(plan, work, self.figures)
