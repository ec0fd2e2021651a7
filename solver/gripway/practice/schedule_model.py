"""The scheduling model of schedule.py in CP-SAT: one worker, a fixed seed, counted time."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from gripway.catalog.practice_figures import PracticeFigures
from gripway.practice.schedule import Frame, Schedule, Work, arranged, least_drills, visit_gain

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

COUNTED_TIME = 1.0
"""Work of the solver at most, in its own deterministic seconds; then the plan has a bound."""


def schedule(works: Sequence[Work], frame: Frame, figures: PracticeFigures) -> Schedule:
    """The plan of most gain, proved or with the bound the solver knows."""
    from ortools.sat.python import cp_model

    model = _Model(cp_model.CpModel(), works, frame, figures)
    model.state()
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.num_workers, parameters.random_seed = 1, 1
    parameters.linearization_level = 2
    parameters.max_deterministic_time = COUNTED_TIME
    status = solver.solve(model.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):  # the empty plan always holds
        raise AssertionError(f"no plan: {solver.status_name(status)}")
    days = tuple(
        arranged(
            [
                (cell, drill)
                for cell, work in enumerate(works)
                for drill in range(len(work.slots))
                if solver.value(model.plays[cell, drill, day])
            ],
            works,
            interleaved=frame.interleaved and len(works) > 1,
        )
        for day in range(frame.days)
    )
    return Schedule(days, round(solver.objective_value), int(solver.best_objective_bound + 1e-6))


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
        """A drill may be played once the drill before it has been, on that day or earlier."""
        for drill in range(1, len(self.works[cell].slots)):
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
        self.model.add(sum(counted) == sum(visits))
        gain: Any = sum(visit_gain(number, figures) * one for number, one in enumerate(counted))
        for drill in range(len(work.slots)):
            times = sum(self.plays[cell, drill, day] for day in self.days)
            met = self.model.new_bool_var(f"met {cell} {drill}")
            self.model.add(met <= times)
            gain += (figures.gain_drill - figures.gain_again) * met + figures.gain_again * times
        last = self.plays[cell, len(work.slots) - 1, self.frame.days - 1]
        return work.weight * (gain + figures.gain_last * last)
