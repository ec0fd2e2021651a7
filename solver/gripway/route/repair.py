"""Routes that keep the limits, made from what prices show: figures first, then new grips, then the sums."""

from dataclasses import dataclass, field, replace

from gripway.route.path import INF, Cost, backward, forward
from gripway.route.prices import Look, Prices, Rows, look, no_prices, priced_nodes, rows_of
from gripway.route.puzzle import STEP, Puzzle

HALVINGS = 8
FIRST = 100 * STEP
DEARER = (1.0, 1.3, 2.0, 4.0, 10.0)
"""The first price tried where there is none, and how much dearer the sums are made to settle on less."""


@dataclass(slots=True)
class Repairer:
    """Keeps the best route found that keeps the limits: its nodes and its thousandths of effort."""

    puzzle: Puzzle
    rows: Rows
    path: list[int] = field(default_factory=list)
    milli: int | None = None

    def offer(self, path: list[int]) -> None:
        """Take a path if it keeps the limits and takes less effort than the best one so far."""
        if path and self.puzzle.keeps(path):
            milli = self.puzzle.milli(path)
            if self.milli is None or milli < self.milli:
                self.path, self.milli = list(path), milli

    def __call__(self, seen: Look, prices: Prices) -> int | None:
        """The thousandths of the best route known after a try from these prices."""
        self.offer(seen.path)
        for dearer in DEARER:
            asked = self.puzzle.budgets
            tried = replace(
                prices,
                unusual=0
                if asked.unusual is None
                else int((prices.unusual or FIRST * (dearer > 1)) * dearer),
                tenth=0 if asked.tenths is None else int((prices.tenth or STEP * (dearer > 1)) * dearer),
            )
            keep = _settled(self.puzzle, self.rows, seen, tried)
            if all(keep):
                part = replace(self.puzzle.only(keep), figures=())
                found = _within_sums(part, tried)
                self.offer([keep[p][k] for p, k in enumerate(found)])
                if found:
                    break
        return self.milli

    def settle(self, path: list[int]) -> None:
        """Take a path that keeps the limits, and the best one with its grips in figures and its new grips."""
        self.offer(path)
        chosen = list(zip(self.puzzle.counted, path, strict=True))
        new, in_figure = {c.new[k] for c, k in chosen}, {p for figure in self.puzzle.figures for p in figure}
        learnt = self.puzzle.budgets.learnt
        keep = [
            [
                n
                for n, (grip, own) in enumerate(zip(counted.grips, counted.new, strict=True))
                if (p not in in_figure or grip == counted.grips[k])
                and (learnt is None or own is None or own in new)
            ]
            for p, (counted, k) in enumerate(chosen)
        ]
        part = replace(self.puzzle.only(keep), figures=(), budgets=replace(self.puzzle.budgets, learnt=None))
        found = _within_sums(part, no_prices(rows_of(part)))
        self.offer([keep[p][k] for p, k in enumerate(found)])


def _settled(puzzle: Puzzle, rows: Rows, seen: Look, prices: Prices) -> list[list[int]]:
    """The nodes left when every figure has settled on a grip, and every new grip is in or out."""
    keep = [list(range(len(column))) for column in puzzle.nodes]
    if puzzle.budgets.learnt is not None:
        known = {rows.keys[number - 1] for number in seen.learn}
        keep = [
            [k for k in kept if puzzle.counted[p].new[k] in (None, *known)] for p, kept in enumerate(keep)
        ]
    if not puzzle.figures or not all(keep):
        return keep
    nodes = priced_nodes(rows, prices)
    nodes = [
        [cost if k in kept else INF for k, cost in enumerate(column)]
        for column, kept in zip(nodes, map(set, keep), strict=True)
    ]
    to, rest = forward(nodes, puzzle.blocks), backward(nodes, puzzle.blocks)
    for figure in puzzle.figures:
        sums: dict[int, Cost] = {}
        for p in figure:
            least: dict[int, Cost] = {}
            for k, grip in enumerate(puzzle.counted[p].grips):
                least[grip] = min(least.get(grip, INF), to[p][k] + rest[p][k])
            for grip, cost in least.items():
                sums[grip] = sums.get(grip, 0) + cost
        best = min(sums, key=lambda grip: (sums[grip], grip))
        for p in figure:
            keep[p] = [k for k in keep[p] if puzzle.counted[p].grips[k] == best]
    return keep


def _within_sums(part: Puzzle, prices: Prices) -> list[int]:
    """The least path found that keeps the sums of a puzzle whose figures are settled; [] for none."""
    budgets = replace(part.budgets, learnt=None)
    part = replace(part, budgets=budgets)
    rows, found = rows_of(part), list[int]()
    free = no_prices(rows)
    seen = look(part, rows, free).path
    if not seen or part.keeps(seen):
        return seen
    unusual = 0 if budgets.unusual is None else prices.unusual or FIRST
    tenth = 0 if budgets.tenths is None else prices.tenth or STEP
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        seen = look(part, rows, replace(free, unusual=int(unusual * high), tenth=int(tenth * high))).path
        if part.keeps(seen):
            found = seen
            break
        low, high = high, high * 2.0 + 0.25
    for _ in range(HALVINGS if found else 0):
        middle = (low + high) / 2.0
        seen = look(part, rows, replace(free, unusual=int(unusual * middle), tenth=int(tenth * middle))).path
        if part.keeps(seen):
            high, found = middle, seen
        else:
            low = middle
    return _spliced(part, found, rows, replace(free, unusual=int(unusual * low), tenth=int(tenth * low)))


def _spliced(part: Puzzle, found: list[int], rows: Rows, prices: Prices) -> list[int]:
    """The best of `found` and of paths that leave it for the dearer-to-keep neighbour and come back once.

    Both are least paths for neighbouring prices; where they part, each stretch is a step the
    sums may still afford. Stretches are taken over in playing order as long as the sums are kept.
    """
    if not found:
        return found
    other = look(part, rows, prices).path
    path, start = list(found), 0
    while start < len(path):
        if path[start] == other[start]:
            start += 1
            continue
        end = start
        while end < len(path) and found[end] != other[end]:
            end += 1
        tried = [*path[:start], *other[start:end], *path[end:]]
        if part.milli(tried) < part.milli(path) and part.keeps(tried):
            path = tried
        start = end
    return path
