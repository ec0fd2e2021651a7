"""The least path that keeps the limits: prices first, then what they leave over, proved by a flow.

1. The free path; when it keeps the limits it is the answer.
2. Prices give a lower bound, repairs give a route.
3. The prices bound every node from below; a window just above the bound is solved exactly by the flow
   model. What it finds inside the window is the least there is; what it cannot find there lifts the
   bound to the window's rim, and the window is widened.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from time import monotonic

from gripway.route.ascent import Climb, climb
from gripway.route.dominance import without_dominated
from gripway.route.feasible import any_path
from gripway.route.flow_model import Proof, prove, relaxed_prices
from gripway.route.least_sums import LeastSums
from gripway.route.path import INF, Block, Cost, Nodes, least_path
from gripway.route.prices import Rows, look, named, prices_of, rows_of
from gripway.route.puzzle import STEP, Puzzle, milli_at_least
from gripway.route.repair import Repairer
from gripway.route.residual import below, bounds_through, common, edges, window

STEPS = 60
WORTH = 0.02
"""Steps of the ascent before the puzzle is cut; the share of the gap each further round must close."""

SMALL = 2_500
"""So many changes a flow model may have at first; it grows with every widening."""

WIDE = 12_000
ROUNDS = 1
"""Changes of the relaxed flow, and how often its prices are asked for."""

LEAST_SECONDS = 3.0
"""However little time there is, so much is given to finding any route at all."""

GUIDING = 0.2
CLIMBING = 0.25
"""Shares of the time that a guided route and the ascent may take."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A path that keeps the limits (None: none was found), a bound in thousandths, whether it is proved.

    `conflict` is true when it is proved that no path keeps the limits.
    """

    path: list[int] | None
    bound: int
    proved: bool
    conflict: bool = False


def limited_path(puzzle: Puzzle, seconds: float) -> Answer:
    """The least path of a puzzle that keeps its limits, as far as the seconds allow."""
    first, ends = puzzle, monotonic() + seconds
    _, path = least_path(puzzle.nodes, puzzle.blocks)
    if not path:
        return Answer(None, 0, proved=True, conflict=True)
    if puzzle.keeps(path):
        return Answer(path, puzzle.milli(path), proved=True)
    if LeastSums(puzzle).impossible():
        return Answer(None, 0, proved=True, conflict=True)
    puzzle = without_dominated(replace(first, ids=tuple(tuple(range(len(c))) for c in first.nodes)))
    return _Search(puzzle, seconds, ends).answer()


class _Search:
    """The search for one puzzle, which grows smaller as the bound and the best route close in."""

    def __init__(self, puzzle: Puzzle, seconds: float, ends: float) -> None:
        self.puzzle, self.seconds, self.ends = puzzle, seconds, ends
        self.late = ends - (1.0 - CLIMBING) * seconds
        self.rows = rows_of(puzzle)
        self.best = Repairer(puzzle, self.rows)

    def answer(self) -> Answer:
        """Prices, a smaller puzzle, better prices, and at last the windows."""
        high = climb(self.puzzle, self.rows, self.best, steps=STEPS, enough=self._enough)
        while self.best.milli is not None and not self._enough(high):
            keep = common(self.puzzle, below(self._through(high), self.best.milli - 1))
            if not all(keep) or not least_path(*self._only(keep, high))[1]:
                return Answer(self.best.path, self.best.milli, proved=True)
            before = high.seen.bound
            high = self._again()
            if high.seen.bound - before < (self.best.milli * STEP - before) * WORTH:
                break
        if self.best.milli is None:
            found = any_path(self.puzzle, max(LEAST_SECONDS, self.ends - monotonic()))
            if found is not None and not found:
                return Answer(None, milli_at_least(high.seen.bound), proved=True, conflict=True)
            if found:
                self.best.settle(found)
                self._guided(high)
        return _Window(self.puzzle, self.best, self.rows, high, self.ends).search()

    def _through(self, high: Climb) -> list[list[Cost]]:
        return bounds_through(self.puzzle, self.rows, high.prices)

    def _small(self, high: Climb) -> bool:
        """Whether what the prices leave over fits one small model."""
        return self.best.milli is not None and (
            edges(below(self._through(high), self.best.milli - 1)) <= SMALL
        )

    def _enough(self, high: Climb) -> bool:
        return monotonic() > self.late or self._small(high)

    def _only(self, keep: list[list[int]], high: Climb) -> tuple[Nodes, Sequence[Block]]:
        """Go on with these nodes alone; the prices stay what they were. Gives the new trellis."""
        found = named(self.puzzle, self.rows, high.prices)
        self.puzzle = self.puzzle.only(keep)
        self.rows = rows_of(self.puzzle)
        self.best = Repairer(self.puzzle, self.rows, self.best.path, self.best.milli)
        self.start = prices_of(self.puzzle, self.rows, found)
        return self.puzzle.nodes, self.puzzle.blocks

    def _again(self) -> Climb:
        return climb(self.puzzle, self.rows, self.best, steps=STEPS, enough=self._enough, start=self.start)

    def _guided(self, high: Climb) -> None:
        """A route from grips alone, near the bound: a node weighs what it is above its column's least."""
        through = self._through(high)
        most = None if self.best.milli is None else self.best.milli - 1
        rim = _rim(through, milli_at_least(high.seen.bound), most, WIDE)
        weights = [[bound - min(column) if bound <= rim else INF for bound in column] for column in through]
        found = any_path(self.puzzle, GUIDING * self.seconds, weights)
        if found:
            self.best.settle(found)


class _Window:
    """The search between the bound and the best route known."""

    def __init__(self, puzzle: Puzzle, best: Repairer, rows: Rows, high: Climb, ends: float) -> None:
        self.puzzle, self.best, self.rows, self.ends = puzzle, best, rows, ends
        self.bound = milli_at_least(high.seen.bound)
        self.prices = high.prices
        self.through = bounds_through(puzzle, rows, high.prices)

    def open(self) -> bool:
        """Whether a better route than the best one known is still possible."""
        return self.best.milli is None or self.bound < self.best.milli

    def search(self) -> Answer:
        """Windows above the bound, each solved exactly, until the best route is proved or time is up."""
        if (
            self.open()
            and self._wide()
            and (self.puzzle.figures or self.puzzle.budgets.learnt is not None or self._two_sums())
        ):
            self._better_prices()
        size = SMALL
        while self.open():
            if monotonic() > self.ends:
                return Answer(self.best.path or None, self.bound, proved=False)
            self._prove(size)
            size *= 4
        return Answer(self.best.path, self.best.milli or 0, proved=True)

    def _wide(self) -> bool:
        """Whether too much is left over for one small model."""
        return self.best.milli is None or edges(below(self.through, self.best.milli - 1)) > SMALL

    def _two_sums(self) -> bool:
        return None not in (self.puzzle.budgets.unusual, self.puzzle.budgets.tenths)

    def _rim(self, size: int) -> int:
        return _rim(self.through, self.bound, None if self.best.milli is None else self.best.milli - 1, size)

    def _better_prices(self) -> None:
        """Prices from the relaxed flow over a wide window: they may lift the bound of every node."""
        for _ in range(ROUNDS):
            keep = below(self.through, self._rim(WIDE))
            if not all(keep) or not self.open() or monotonic() > self.ends:
                return
            found = relaxed_prices(self.puzzle.only(keep), self.ends - monotonic())
            if found is None:
                return
            prices = prices_of(self.puzzle, self.rows, found)
            seen = look(self.puzzle, self.rows, prices)
            before = self.bound
            if milli_at_least(seen.bound) > self.bound:
                self.bound, self.prices = milli_at_least(seen.bound), prices
            other = bounds_through(self.puzzle, self.rows, prices)
            self.through = [list(map(max, a, b)) for a, b in zip(self.through, other, strict=True)]
            self.best(seen, prices)
            if self.bound <= before:
                return

    def _prove(self, size: int) -> None:
        """One window solved by the flow model: a better route, or a higher bound."""
        rim = self._rim(size)
        keep = below(self.through, rim)
        time = self.ends - monotonic()
        if all(keep):
            proof = prove(window(self.puzzle, self.rows, self.prices, keep, rim), time)
        else:
            proof = Proof([], None, none=True)
        self.best.offer([keep[p][k] for p, k in enumerate(proof.path)])
        if proof.none:
            self.bound = max(self.bound, rim + 1)
        elif proof.bound is not None:
            self.bound = max(self.bound, min(proof.bound, rim + 1))


def _rim(through: list[list[Cost]], bound: int, most: int | None, size: int) -> int:
    """How far above the bound a window may reach for a model of this size; at most to `most`."""
    if most is not None and edges(below(through, most)) <= size:
        return most
    low, high = bound, most if most is not None else 2 * bound + 1000
    while high - low > 1:
        middle = (low + high) // 2
        if edges(below(through, middle)) <= size:
            low = middle
        else:
            high = middle
    return low
