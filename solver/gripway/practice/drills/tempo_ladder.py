"""The ladder of tempos: where a cell begins, and notch by notch up to the tempo of the part."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.practice.drills.drills import Drill

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

    It begins where the load would be `start_load`, but not far from half the tempo. Every
    notch is `notch` of the tempo before, at least 1, the last perhaps half as much more; tempos
    are whole numbers.
    """
    target = max(SLOWEST, round(quarters))
    share = min(max(figures.start_load / load, figures.start_least_share), figures.start_most_share)
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


def item_steps(
    drill: Drill, ladder: Ladder, climb: tuple[int, int], most: float, tables: PracticeTables
) -> tuple[int, ...]:
    """The tempos a drill is played at in a sitting that climbs from one tempo to another.

    As many as its kind asks for, evenly over the climb; fewer where it would take over `most` minutes.
    """
    steps = [step for step in ladder.steps if climb[0] <= step <= climb[1]]
    count = min(tables.drills[drill.kind].tempos, len(steps))
    chosen = [spread(steps, fewer) for fewer in range(count, 0, -1)]
    fitting = (each for each in chosen if minutes_of(drill, ladder, each, tables.figures) <= most)
    return next(fitting, chosen[-1])


def longest_item(minutes: float, figures: PracticeFigures) -> float:
    """Minutes a drill may take on a day of so many."""
    return max(figures.item_least_min, min(figures.item_most_min, minutes * figures.item_share))


def spread(steps: Sequence[int], count: int) -> tuple[int, ...]:
    """So many of the steps, the first and the last among them; one alone is the first."""
    if count == 1:
        return (steps[0],)
    return tuple(steps[round(place * (len(steps) - 1) / (count - 1))] for place in range(count))


def minutes_of(drill: Drill, ladder: Ladder, steps: Sequence[int], figures: PracticeFigures) -> float:
    """Minutes a drill takes at these tempos, each with so many clean repeats in a row, in half minutes.

    Every try takes the drill and a breath; tries that fail are counted in (`tries_of`).
    """
    lasts = float(drill.lasts) * 4 * 60
    seconds = sum(tries_of(step, ladder, figures) * (lasts / step + figures.breath_s) for step in steps)
    return max(figures.item_least_min, in_half_minutes(seconds))


def in_half_minutes(seconds: float) -> float:
    """The minutes that so many seconds begin, in half minutes."""
    return ceil(round(seconds, 6) / 30) / 2


def tries_of(step: int, ladder: Ladder, figures: PracticeFigures) -> float:
    """How many tries it takes on average to play `clean_times` in a row cleanly at a tempo.

    Of the tries `errors_slow_share` fail at the foot of the ladder, `errors_goal_share` at the tempo of the
    part. With a share p that is clean, r in a row take (1 - p^r) / ((1 - p) p^r) tries (Feller, An
    Introduction to Probability Theory I, XIII.7).
    """
    climbed = (step - ladder.foot) / max(1, ladder.target - ladder.foot)
    fails = figures.errors_slow_share + (figures.errors_goal_share - figures.errors_slow_share) * min(
        1.0, max(0.0, climbed)
    )
    row = (1 - fails) ** figures.clean_times
    return (1 - row) / (fails * row)
