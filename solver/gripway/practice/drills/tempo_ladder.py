"""The ladder of tempos: where a cell begins, and notch by notch up to the tempo of the part."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures

SLOWEST = 5
"""No ladder begins below this many quarters a minute."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Tempos in whole quarters a minute, rising; the last is the tempo of the part, or a nearer goal.

    `foot` is where the cell began before anything was reached; `reached` is the tempo the player's log
    knows, None where there is none. `target` is the tempo of the part.
    """

    steps: tuple[int, ...]
    target: int
    reached: int | None = None
    foot: int = 0

    @property
    def start(self) -> int:
        """Where the next sitting begins."""
        return self.steps[0]

    @property
    def goal(self) -> int:
        """Where it ends: the tempo of the part, or the nearer goal of a player who no longer climbs."""
        return self.steps[-1]

    @property
    def done(self) -> bool:
        """Whether the tempo of the part has been reached."""
        return self.reached is not None and self.reached >= self.target


def ladder_of(load: float, quarters: float, figures: PracticeFigures, reached: Sequence[int] = ()) -> Ladder:
    """The ladder of a cell with a load at a tempo; from what was `reached` last, two notches back.

    `reached` has a tempo for each day with the cell. Where these no longer rise (`on_plateau`) the goal
    is `plateau_notches` above the highest of them.

    It begins at `start_most_share` of the tempo up to a load of `start_easy_load`, at `start_least_share`
    from `start_hard_load` on, in between in a straight line. Every
    notch is `notch` of the tempo before, at least 1, the last perhaps half as much more; tempos
    are whole numbers.
    """
    target = max(SLOWEST, round(quarters))
    share = _start_share(load, figures)
    start = min(target, max(SLOWEST, round(target * share)))
    steps = [start]
    while steps[-1] < target:
        higher = max(steps[-1] + 1, round(steps[-1] * (1 + figures.notch_share)))
        almost = higher * (1 + figures.notch_share / 2) > target
        steps.append(target if almost else higher)
    if not reached:
        return Ladder(tuple(steps), target, None, start)
    below = [step for step in steps if step <= reached[-1]]
    again = max(0, len(below) - 1 - figures.back_notches)
    if on_plateau(reached, figures):
        known = sum(step <= max(reached) for step in steps)
        steps = steps[: max(1, known + figures.plateau_notches)]
    return Ladder(tuple(steps[again:]), target, reached[-1], start)


def _start_share(load: float, figures: PracticeFigures) -> float:
    """At which share of its tempo a load begins."""
    easy, hard = figures.start_easy_load, figures.start_hard_load
    way = min(max((load - easy) / (hard - easy), 0.0), 1.0)
    return figures.start_most_share - way * (figures.start_most_share - figures.start_least_share)


def on_plateau(reached: Sequence[int], figures: PracticeFigures) -> bool:
    """Whether none of the last `plateau_days` days got a notch above the best before them."""
    before, since = reached[: -figures.plateau_days], reached[-figures.plateau_days :]
    return bool(before) and max(since) < round(max(before) * (1 + figures.notch_share))


def sittings(ladder: Ladder, count: int, figures: PracticeFigures) -> list[tuple[int, int]]:
    """From which tempo to which each of the next sittings climbs, if all goes well."""
    found = []
    place, last = 0, len(ladder.steps) - 1
    for _ in range(count):
        top = min(last, place + figures.sitting_notches)
        found.append((ladder.steps[place], ladder.steps[top]))
        place = max(0, top - figures.back_notches)
    return found
