"""Another grip on one note of a route under limits, all else left as it is: what it takes, what it breaks.

A note of a figure that must keep one grip takes the other notes of its figure along, unless only a free
finger differs. So that nothing is claimed that was not searched, every other note keeps its grip and its
hand position.
"""

from collections import Counter
from dataclasses import dataclass

from gripway.trellis.constrained_network import STEP, Budgets, ConstrainedNetwork, Key
from gripway.trellis.path import INF, Cost, least_path


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

    def __init__(self, network: ConstrainedNetwork, path: list[int]) -> None:
        self.network, self.path = network, path
        self.used: Budgets = network.used(path)
        self.learnt = Counter(
            new for c, k in zip(network.counted, path, strict=True) if (new := c.new[k]) is not None
        )
        self.returns: dict[int, list[tuple[int, int]]] = {}
        for p, q in network.returns:
            self.returns.setdefault(p, []).append((p, q))
            self.returns.setdefault(q, []).append((p, q))
        self.figure_of = {p: figure for figure in network.figures for p in figure}
        self._known: dict[tuple[object, ...], Swap | None] = {}

    def at(self, p: int) -> dict[int, Swap]:
        """The swaps of a column by the grip (its touches) they bring in; the chosen grip is left out."""
        counted, found = self.network.counted[p], dict[int, Swap]()
        for grip, row in dict.fromkeys(zip(counted.grips, counted.rows, strict=True)):
            if grip != counted.grips[self.path[p]]:
                swap = self._known_swap(p, grip, row)
                if swap is not None and (grip not in found or swap.milli_more < found[grip].milli_more):
                    found[grip] = swap
        return found

    def _known_swap(self, p: int, grip: int, row: int) -> Swap | None:
        """The swap to a grip; the notes of a figure share one where each has one grip of the row."""
        counted = self.network.counted[p]
        figure = self.figure_of.get(p, (p,)) if row != counted.rows[self.path[p]] else (p,)
        here = [
            k for k, own in enumerate(zip(counted.grips, counted.rows, strict=True)) if own == (grip, row)
        ]
        alone = len(here) == counted.rows.count(row)
        key = (figure, row, None if alone else (p, grip))
        if key not in self._known:
            allowed = {
                q: [k for k, own in enumerate(self.network.counted[q].rows) if own == row] for q in figure
            }
            self._known[key] = self._swap({**allowed, p: here})
        return self._known[key]

    def _swap(self, allowed: dict[int, list[int]]) -> Swap | None:
        """The swap to the best of the nodes allowed in some columns; None where a change is barred."""
        nodes: dict[int, int] = {}
        more: Cost = 0
        for run in _runs(tuple(allowed)):
            found, cost = self._run(run, allowed)
            if not found:
                return None
            nodes |= dict(zip(run, found, strict=True))
            more += cost
        return Swap(nodes, int(more) // STEP + self._charged_more(nodes), self._breaks(nodes))

    def _run(self, run: list[int], allowed: dict[int, list[int]]) -> tuple[list[int], Cost]:
        """The best nodes allowed for neighbouring columns, and how much more they take."""
        network, path = self.network, self.path
        if len(run) == 1:
            return self._one(run[0], allowed[run[0]])
        first, last = max(0, run[0] - 1), min(len(path) - 1, run[-1] + 1)
        keep = [allowed[p] if run[0] <= p <= run[-1] else [path[p]] for p in range(first, last + 1)]
        nodes = [[network.nodes[first + n][k] for k in kept] for n, kept in enumerate(keep)]
        blocks: list[list[list[Cost]]] = [[]]
        for n in range(1, len(keep)):
            block = network.blocks[first + n]
            blocks.append([[block[k][j] for j in keep[n - 1]] for k in keep[n]])
        cost, found = least_path(nodes, blocks)
        if cost == INF:
            return [], INF
        usual = sum(network.nodes[p][path[p]] for p in range(first, last + 1))
        usual += sum(network.blocks[p][path[p]][path[p - 1]] for p in range(first + 1, last + 1))
        return [keep[p - first][found[p - first]] for p in run], cost - usual

    def _one(self, p: int, allowed: list[int]) -> tuple[list[int], Cost]:
        """The same for a column alone."""
        costs = {k: self._through(p, k) for k in allowed}
        best = min(costs, key=lambda k: (costs[k], k))
        return ([], INF) if costs[best] == INF else ([best], costs[best] - self._through(p, self.path[p]))

    def _through(self, p: int, k: int) -> Cost:
        """The cost of a node with the changes from and to the path's nodes beside it."""
        network, path = self.network, self.path
        into = network.blocks[p][k][path[p - 1]] if p else 0
        out = network.blocks[p + 1][path[p + 1]][k] if p + 1 < len(path) else 0
        return network.nodes[p][k] + into + out

    def _breaks(self, nodes: dict[int, int]) -> str:
        asked, counted = self.network.budgets, self.network.counted
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
                if (new := self.network.counted[p].new[node]) is not None:
                    change[new] += step
        return sum((self.learnt[new] + step > 0) - (new in self.learnt) for new, step in change.items())

    def _charged_more(self, nodes: dict[int, int]) -> int:
        """Thousandths a swap is charged more, for its new grips and for pitches that change their grip."""
        more = self._learnt_more(nodes) * self.network.charge_milli
        if not self.network.return_milli:
            return more
        counted = self.network.counted
        for p, q in {pair for column in nodes for pair in self.returns.get(column, ())}:
            was = counted[p].rows[self.path[p]], counted[q].rows[self.path[q]]
            now = counted[p].rows[nodes.get(p, self.path[p])], counted[q].rows[nodes.get(q, self.path[q])]
            more += self.network.return_milli * ((now[0] != now[1]) - (was[0] != was[1]))
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
