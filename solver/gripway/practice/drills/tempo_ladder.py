"""The ladder of tempos: where a cell begins, and notch by notch up to the tempo of the part."""

from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.drills.drills import Drill

SLOWEST = 5
"""No ladder begins below this many quarters a minute."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Tempos in whole quarters a minute, rising; the last is the tempo of the part.

    `reached` is the tempo the player's log knows, None where there is none.
    """

    steps: tuple[int, ...]
    reached: int | None = None

    @property
    def start(self) -> int:
        """Where the next sitting begins."""
        return self.steps[0]

    @property
    def target(self) -> int:
        """The tempo of the part."""
        return self.steps[-1]

    @property
    def done(self) -> bool:
        """Whether the tempo of the part has been reached."""
        return self.reached is not None and self.reached >= self.target


def ladder_of(load: float, quarters: float, figures: PracticeFigures, reached: int | None = None) -> Ladder:
    """The ladder of a cell with a load at a tempo; from what was reached, two notches back.

    It begins where the load would be `start_load`, but not far from half the tempo. Every
    notch is `notch` of the tempo before, at least 1, the last perhaps half as much more; tempos
    are whole numbers.
    """
    target = max(SLOWEST, round(quarters))
    share = min(max(figures.start_load / load, figures.start_least), figures.start_most)
    start = min(target, max(SLOWEST, round(target * share)))
    steps = [start]
    while steps[-1] < target:
        higher = max(steps[-1] + 1, round(steps[-1] * (1 + figures.notch)))
        almost = higher * (1 + figures.notch / 2) > target
        steps.append(target if almost else higher)
    if reached is not None:
        below = [step for step in steps if step <= reached]
        again = max(0, len(below) - 1 - figures.notches_back)
        steps = steps[again:] if below else steps
    return Ladder(tuple(steps), reached)


def sittings(ladder: Ladder, count: int, figures: PracticeFigures) -> list[tuple[int, int]]:
    """From which tempo to which each of the next sittings climbs, if all goes well."""
    found = []
    place, last = 0, len(ladder.steps) - 1
    for _ in range(count):
        top = min(last, place + figures.notches)
        found.append((ladder.steps[place], ladder.steps[top]))
        place = max(0, top - figures.notches_back)
    return found


def minutes_of(drill: Drill, ladder: Ladder, figures: PracticeFigures, climb: tuple[int, int]) -> float:
    """Minutes a drill takes in one sitting: the notches of a climb, played cleanly so often, with breaths.

    In half minutes, within `item_least` and `item_most`.
    """
    steps = [step for step in ladder.steps if climb[0] <= step <= climb[1]]
    playing = sum(float(drill.lasts) * 4 * 60 / tempo for tempo in steps) * figures.clean_repeats
    seconds = playing + len(steps) * figures.clean_repeats * figures.breath
    halves = -(-round(seconds) // 30) / 2
    return min(figures.item_most, max(figures.item_least, halves))
