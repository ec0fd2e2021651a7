"""A practice plan as values: cells with all that belongs to them, and the days."""

from dataclasses import dataclass

from gripway.practice.cells.cells import Cell
from gripway.practice.cells.worth_learning import CellWorth
from gripway.practice.drills.drills import Drill
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.plan.balance import BalanceSpot
from gripway.practice.plan.exposure import SoundLevel
from gripway.practice.plan.log_reading import Reached
from gripway.route.result import Route


@dataclass(frozen=True, slots=True)
class PlannedCell:
    """A cell with why it is hard, its drills, its ladder, whether other grips pay, and what was reached.

    `met` is how many of its drills were on days that are over.
    """

    cell: Cell
    why: str
    drills: tuple[Drill, ...]
    ladder: Ladder
    worth: CellWorth
    reached: tuple[Reached, ...] = ()
    met: int = 0


@dataclass(frozen=True, slots=True)
class Item:
    """A drill on a day: which cell (from 0), which of its drills, minutes, and from which tempo to which."""

    cell: int
    drill: int
    minutes: float
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Day:
    """One day: its drills in order, `rest_s` seconds between two; long rests after these items (from 0)."""

    day: int
    items: tuple[Item, ...]
    rest_s: float
    long_rests: tuple[int, ...]
    long_rest: int

    @property
    def playing(self) -> float:
        """Minutes of drills, without the rests."""
        return sum(item.minutes for item in self.items)

    @property
    def minutes(self) -> float:
        """What the day takes, rests and all."""
        rests = max(0, len(self.items) - 1 - len(self.long_rests)) * self.rest_s / 60
        return self.playing + rests + len(self.long_rests) * self.long_rest


@dataclass(frozen=True, slots=True)
class Plan:
    """Cells, days and cautions for a passage.

    `gain` is what the days are worth to the scheduling model, `bound` what no plan exceeds.
    `days_before` counts the days the log knows already. Without cells nothing is hard: `hardest`
    is then the highest load there is (None: no change at all).
    """

    route: Route
    cells: tuple[PlannedCell, ...]
    days: tuple[Day, ...]
    order: str
    minutes: int
    gain: int
    bound: int
    balance: tuple[BalanceSpot, ...]
    sound: tuple[SoundLevel, ...]
    cautions: tuple[str, ...]
    hardest: float | None
    days_before: int = 0
    cells_left: int = 0

    def starts_at(self, day: Day, item: Item) -> int:
        """The tempo an item starts at: a drill met for the first time, at the bottom of its cell's ladder."""
        if not self.is_new(day, item):
            return item.start
        return min(item.start, self.cells[item.cell].ladder.start)

    def is_new(self, day: Day, item: Item) -> bool:
        """Whether none of the plan's days before has this drill."""
        before = (each for earlier in self.days if earlier.day < day.day for each in earlier.items)
        return all((each.cell, each.drill) != (item.cell, item.drill) for each in before)

    @property
    def no_grip(self) -> tuple[str, ...]:
        """The notes without a grip and why, each pitch once: `F7: beyond the flute`."""
        lost = [note for note in self.route.notes if note.candidate is None]
        told = {note.note.pitch.name: note.flags[0] if note.flags else "no grip" for note in lost}
        return tuple(f"{name}: {why}" for name, why in told.items())

    @property
    def proved(self) -> bool:
        """Whether no plan of these drills is worth more."""
        return self.gain >= self.bound
