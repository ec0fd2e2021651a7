"""Routes that keep the limits, made from what prices show: figures first, then new grips, then the sums."""

from dataclasses import dataclass, field, replace

from gripway.route.path import INF, Cost, backward, forward, trace_back
from gripway.route.prices import Look, Prices, Rows, look, no_prices, priced_nodes, rows_of
from gripway.route.puzzle import STEP, Puzzle

HALVINGS = 8
FIRST = 100 * STEP
DEARER = (1.0, 1.5, 4.0)
"""The first price tried where there is none, and how much dearer the sums are made to settle on less."""


@dataclass(slots=True)
class Repairer:
    """Keeps the best route found that keeps the limits: its nodes (by their ids) and its thousandths."""

    puzzle: Puzzle
    rows: Rows
    path: list[int] = field(default_factory=list)
    milli: int | None = None

    def offer(self, path: list[int]) -> None:
        """Take a path if it keeps the limits and takes less effort than the best one so far."""
        if path and self.puzzle.keeps(path):
            milli = self.puzzle.milli(path)
            if self.milli is None or milli < self.milli:
                self.path, self.milli = [self.puzzle.ids[p][k] for p, k in enumerate(path)], milli

    def __call__(self, seen: Look, prices: Prices) -> int | None:
        """The thousandths of the best route known after a try from these prices."""
        self.offer(seen.path)
        asked = self.puzzle.budgets
        sums = asked.unusual is not None or asked.tenths is not None
        for dearer in DEARER if sums else DEARER[:1]:
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
    nodes = [
        [cost if k in kept else INF for k, cost in enumerate(column)]
        for column, kept in zip(priced_nodes(rows, prices), map(set, keep), strict=True)
    ]
    return _Settling(puzzle, nodes).keep(keep)


class _Settling:
    """Settles figure after figure on one grip, as the least path under the prices has it."""

    def __init__(self, puzzle: Puzzle, nodes: list[list[Cost]]) -> None:
        self.puzzle, self.nodes = puzzle, nodes
        self.open = set(puzzle.figures)

    def keep(self, keep: list[list[int]]) -> list[list[int]]:
        """The nodes left when all have settled; an empty column when they could not.

        All at once where that leaves a path, else step by step.
        """
        before, figures = [list(column) for column in self.nodes], set(self.open)
        to, rest = forward(self.nodes, self.puzzle.blocks), backward(self.nodes, self.puzzle.blocks)
        for figure in figures:
            self._settle(figure, self._order(figure, to, rest)[0])
        if self._passable():
            return self._left(keep)
        self.nodes, self.open = before, figures
        while True:
            to = forward(self.nodes, self.puzzle.blocks)
            if min(to[-1]) == INF:
                return [[]]
            path = trace_back(to, self.nodes, self.puzzle.blocks, to[-1].index(min(to[-1])), len(to) - 1)
            grips = {f: {self.puzzle.counted[p].grips[path[p]] for p in f} for f in self.open}
            for figure, own in grips.items():
                if len(own) == 1:
                    self._settle(figure, next(iter(own)))
            if not self.open:
                return self._left(keep)
            self._settle_some(to)

    def _left(self, keep: list[list[int]]) -> list[list[int]]:
        return [[k for k in kept if self.nodes[p][k] != INF] for p, kept in enumerate(keep)]

    def _settle_some(self, to: list[list[Cost]]) -> None:
        """Settle a third of the open figures, the longest first; one alone where that leaves no path."""
        rest = backward(self.nodes, self.puzzle.blocks)
        ranked = sorted(self.open, key=lambda figure: (-len(figure), figure))
        before, open_before = [list(column) for column in self.nodes], set(self.open)
        for figure in ranked[: 1 + len(ranked) // 3]:
            self._settle(figure, self._order(figure, to, rest)[0])
        if self._passable():
            return
        first = ranked[0]
        for grip in self._order(first, to, rest):
            self.nodes, self.open = [list(column) for column in before], set(open_before)
            self._settle(first, grip)
            if self._passable():
                return

    def _passable(self) -> bool:
        return min(forward(self.nodes, self.puzzle.blocks)[-1]) != INF

    def _order(self, figure: tuple[int, ...], to: list[list[Cost]], rest: list[list[Cost]]) -> list[int]:
        """The grips of a figure, those first whose best routes through each of its notes add up to least."""
        sums: dict[int, Cost] = {}
        for p in figure:
            least: dict[int, Cost] = {}
            for k, grip in enumerate(self.puzzle.counted[p].grips):
                least[grip] = min(least.get(grip, INF), to[p][k] + rest[p][k])
            for grip, cost in least.items():
                sums[grip] = sums.get(grip, 0) + cost
        return sorted(sums, key=lambda grip: (sums[grip], grip))

    def _settle(self, figure: tuple[int, ...], grip: int) -> None:
        self.open.discard(figure)
        for p in figure:
            own = self.puzzle.counted[p].grips
            self.nodes[p] = [
                cost if other == grip else INF for cost, other in zip(self.nodes[p], own, strict=True)
            ]


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
