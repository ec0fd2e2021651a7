"""The scheduling model of schedule.py in CP-SAT: one worker, a fixed seed, counted time."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.plan.schedule import (
    Frame,
    Schedule,
    Work,
    arranged,
    gain_of,
    least_drills,
    most_gain,
    visit_gain,
)
from gripway.practice.plan.schedule_greedy import Days, greedy

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

COUNTED_TIME = 1.0
"""Work of the solver at most, in its own deterministic seconds; then the plan has a bound."""


def schedule(works: Sequence[Work], frame: Frame, figures: PracticeFigures) -> Schedule:
    """The plan of most gain, proved or with the bound the solver knows; at worst the greedy plan."""
    from ortools.sat.python import cp_model

    first = greedy(works, frame, figures)
    model = _Model(cp_model.CpModel(), works, frame, figures)
    model.state()
    model.hint(first)
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
    turns = frame.interleaved and len(works) > 1
    days = tuple(arranged(chosen, interleaved=turns) for chosen in found)
    return Schedule(days, gain_of(found, works, figures), bound)


class _Model:
    """Variables and rules: `plays` (cell, drill, day), `visits` (cell, day)."""

    def __init__(
        self, model: "cp_model.CpModel", works: Sequence[Work], frame: Frame, figures: PracticeFigures
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
        self.counted: dict[tuple[int, int], Any] = {}
        self.met: dict[tuple[int, int], Any] = {}

    def state(self) -> None:
        """All rules, and what is best."""
        for day in self.days:
            self._time(day)
            if self.frame.interleaved and len(self.works) > 1:
                self._turns(day)
        for cell in range(len(self.works)):
            self._visit(cell)
            self._order(cell)
            self._gaps(cell)
        self.model.maximize(sum(self._gain(cell) for cell in range(len(self.works))))

    def on_day(self, day: int) -> list[tuple[int, int, int]]:
        """The keys of `plays` on a day."""
        return [key for key in self.plays if key[2] == day]

    def hint(self, days: Days) -> None:
        """Tell the solver a plan to begin with."""
        for (cell, drill, day), play in self.plays.items():
            self.model.add_hint(play, (cell, drill) in days[day])
        for (cell, day), visit in self.visits.items():
            self.model.add_hint(visit, any(cell == other for other, _ in days[day]))
        for (cell, number), counted in self.counted.items():
            self.model.add_hint(counted, number < sum(any(c == cell for c, _ in day) for day in days))
        for (cell, drill), met in self.met.items():
            self.model.add_hint(met, any((cell, drill) in day for day in days))

    def _on(self, cell: int, day: int) -> list[Any]:
        return [self.plays[cell, drill, day] for drill in range(len(self.works[cell].slots))]

    def _time(self, day: int) -> None:
        rest = self.frame.rest
        taken = [
            (slots + rest) * self.plays[cell, drill, day]
            for cell, work in enumerate(self.works)
            for drill, slots in enumerate(work.slots)
        ]
        self.model.add(sum(taken) <= self.frame.slots + rest)

    def _turns(self, day: int) -> None:
        everything = sum(sum(self._on(cell, day)) for cell in range(len(self.works)))
        for cell in range(len(self.works)):
            self.model.add(2 * sum(self._on(cell, day)) <= everything + 1)

    def _visit(self, cell: int) -> None:
        work = self.works[cell]
        least = least_drills(work, self.frame, self.figures)
        for day in self.days:
            visit, played = self.visits[cell, day], self._on(cell, day)
            for one in played:
                self.model.add_implication(one, visit)
            self.model.add(sum(played) >= least * visit)
            slots = sum(size * one for size, one in zip(work.slots, played, strict=True))
            self.model.add(slots <= self.frame.spot)

    def _order(self, cell: int) -> None:
        """A drill may be played once the drill before it has been, by that day or before the plan."""
        for drill in range(self.works[cell].met + 1, len(self.works[cell].slots)):
            for day in self.days:
                earlier = sum(self.plays[cell, drill - 1, then] for then in range(day + 1))
                self.model.add(self.plays[cell, drill, day] <= earlier)

    def _gaps(self, cell: int) -> None:
        apart = self.figures.gap_most + 1
        for first in self.days:
            for last in range(first + apart + 1, self.frame.days):
                between = sum(self.visits[cell, day] for day in range(first + 1, last))
                self.model.add(self.visits[cell, first] + self.visits[cell, last] - 1 <= between)

    def _gain(self, cell: int) -> Any:
        work, figures = self.works[cell], self.figures
        visits = [self.visits[cell, day] for day in self.days]
        counted = [self.model.new_bool_var(f"visit {cell} number {number}") for number in self.days]
        self.counted |= {(cell, number): one for number, one in enumerate(counted)}
        self.model.add(sum(counted) == sum(visits))
        gain: Any = sum(visit_gain(number, figures) * one for number, one in enumerate(counted))
        for drill in range(len(work.slots)):
            times = sum(self.plays[cell, drill, day] for day in self.days)
            gain += figures.gain_again * times
            if drill >= work.met:
                met = self.met[cell, drill] = self.model.new_bool_var(f"met {cell} {drill}")
                self.model.add(met <= times)
                gain += (figures.gain_drill - figures.gain_again) * met
        last = self.plays[cell, len(work.slots) - 1, self.frame.days - 1]
        first = figures.gain_first * visits[0] if cell == 0 else 0
        return work.weight * (gain + figures.gain_last * last + first)
