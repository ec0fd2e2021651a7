"""Another grip on one note of a route under limits, all else left as it is: what it takes, what it breaks.

A note of a figure that must keep one grip takes the other notes of its figure along. So that nothing is
claimed that was not searched, every other note keeps its grip and its hand position.
"""

from collections import Counter
from dataclasses import dataclass

from gripway.route.path import INF, Cost, least_path
from gripway.route.puzzle import STEP, Budgets, Key, Puzzle


@dataclass(frozen=True, slots=True)
class Swap:
    """Other nodes for some columns, how much more effort that takes (thousandths), and what it breaks.

    Charges are part of that effort. `breaks` is the name of the first sum that would be too large:
    unusual, tenths, learnt or empty.
    """

    nodes: dict[int, int]
    milli_more: int
    breaks: str


class Swaps:
    """All swaps of a path."""

    def __init__(self, puzzle: Puzzle, path: list[int]) -> None:
        self.puzzle, self.path = puzzle, path
        self.used: Budgets = puzzle.used(path)
        self.learnt = Counter(
            new for c, k in zip(puzzle.counted, path, strict=True) if (new := c.new[k]) is not None
        )
        self.returns: dict[int, list[tuple[int, int]]] = {}
        for p, q in puzzle.returns:
            self.returns.setdefault(p, []).append((p, q))
            self.returns.setdefault(q, []).append((p, q))
        self.figure_of = {p: figure for figure in puzzle.figures for p in figure}
        self._known: dict[tuple[int, ...], dict[int, Swap]] = {}

    def at(self, p: int) -> dict[int, Swap]:
        """The swaps of a column by the grip (its touches) they bring in; the chosen grip is left out."""
        figure = self.figure_of.get(p, (p,))
        if figure not in self._known:
            own = self.puzzle.counted[p].grips[self.path[p]]
            grips = dict.fromkeys(self.puzzle.counted[p].grips)
            found = ((grip, self._swap(figure, grip)) for grip in grips if grip != own)
            self._known[figure] = {grip: swap for grip, swap in found if swap is not None}
        return self._known[figure]

    def _swap(self, figure: tuple[int, ...], grip: int) -> Swap | None:
        nodes: dict[int, int] = {}
        more: Cost = 0
        for run in _runs(figure):
            found, cost = self._run(run, grip)
            if not found:
                return None
            nodes |= dict(zip(run, found, strict=True))
            more += cost
        return Swap(nodes, int(more) // STEP + self._charged_more(nodes), self._breaks(nodes))

    def _run(self, run: list[int], grip: int) -> tuple[list[int], Cost]:
        """The best nodes with this grip for neighbouring columns, and how much more they take."""
        puzzle, path = self.puzzle, self.path
        if len(run) == 1:
            return self._one(run[0], grip)
        first, last = max(0, run[0] - 1), min(len(path) - 1, run[-1] + 1)
        inside = set(run)
        keep = [
            [k for k, own in enumerate(puzzle.counted[p].grips) if own == grip] if p in inside else [path[p]]
            for p in range(first, last + 1)
        ]
        nodes = [[puzzle.nodes[first + n][k] for k in kept] for n, kept in enumerate(keep)]
        blocks: list[list[list[Cost]]] = [[]]
        for n in range(1, len(keep)):
            block = puzzle.blocks[first + n]
            blocks.append([[block[k][j] for j in keep[n - 1]] for k in keep[n]])
        cost, found = least_path(nodes, blocks)
        if cost == INF:
            return [], INF
        usual = sum(puzzle.nodes[p][path[p]] for p in range(first, last + 1))
        usual += sum(puzzle.blocks[p][path[p]][path[p - 1]] for p in range(first + 1, last + 1))
        return [keep[p - first][found[p - first]] for p in run], cost - usual

    def _one(self, p: int, grip: int) -> tuple[list[int], Cost]:
        """The same for a column alone."""
        costs = {k: self._through(p, k) for k, own in enumerate(self.puzzle.counted[p].grips) if own == grip}
        best = min(costs, key=lambda k: (costs[k], k))
        return ([], INF) if costs[best] == INF else ([best], costs[best] - self._through(p, self.path[p]))

    def _through(self, p: int, k: int) -> Cost:
        """The cost of a node with the changes from and to the path's nodes beside it."""
        puzzle, path = self.puzzle, self.path
        into = puzzle.blocks[p][k][path[p - 1]] if p else 0
        out = puzzle.blocks[p + 1][path[p + 1]][k] if p + 1 < len(path) else 0
        return puzzle.nodes[p][k] + into + out

    def _breaks(self, nodes: dict[int, int]) -> str:
        asked, counted = self.puzzle.budgets, self.puzzle.counted
        unusual, tenths = self.used.unusual or 0, self.used.tenths or 0
        for p, k in nodes.items():
            was = self.path[p]
            unusual += counted[p].unusual[k] - counted[p].unusual[was]
            tenths += counted[p].tenths[k] - counted[p].tenths[was]
        if asked.unusual is not None and unusual > asked.unusual:
            return "unusual"
        if asked.tenths is not None and tenths > asked.tenths:
            return "tenths"
        if asked.learnt is not None and len(self.learnt) + self._learnt_more(nodes) > asked.learnt:
            return "learnt"
        return ""

    def _learnt_more(self, nodes: dict[int, int]) -> int:
        """How many new grips more a swap has."""
        change: Counter[Key] = Counter()
        for p, k in nodes.items():
            for node, step in ((self.path[p], -1), (k, 1)):
                if (new := self.puzzle.counted[p].new[node]) is not None:
                    change[new] += step
        return sum((self.learnt[new] + step > 0) - (new in self.learnt) for new, step in change.items())

    def _charged_more(self, nodes: dict[int, int]) -> int:
        """Thousandths a swap is charged more, for its new grips and for pitches that change their grip."""
        more = self._learnt_more(nodes) * self.puzzle.charge_milli
        if not self.puzzle.return_milli:
            return more
        counted = self.puzzle.counted
        for p, q in {pair for column in nodes for pair in self.returns.get(column, ())}:
            was = counted[p].rows[self.path[p]], counted[q].rows[self.path[q]]
            now = counted[p].rows[nodes.get(p, self.path[p])], counted[q].rows[nodes.get(q, self.path[q])]
            more += self.puzzle.return_milli * ((now[0] != now[1]) - (was[0] != was[1]))
        return more


def _runs(columns: tuple[int, ...]) -> list[list[int]]:
    """Neighbouring columns drawn together."""
    runs: list[list[int]] = []
    for p in columns:
        if runs and p == runs[-1][-1] + 1:
            runs[-1].append(p)
        else:
            runs.append([p])
    return runs
