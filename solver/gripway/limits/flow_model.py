"""A network as a flow with side rows: the proof in whole numbers, and its relaxation, whose duals are prices.

A node is a variable that is 0 or 1, a change between two columns that both leave a choice is a flow
variable; changes into a column of one node cost what the node before them says. In whole numbers the
notes of a figure share one variable a grip; relaxed each has its own, so that its row has a dual.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from gripway.limits.linear_model import LinearModel
from gripway.limits.side_rows import NEW, RETURN, Owner, SideRow, side_rows
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork
from gripway.trellis.path import INF, Cost


@dataclass(frozen=True, slots=True)
class Proof:
    """What the flow model found: a path of the network (empty for none), and its bound in thousandths.

    `none` is true when it is proved that no path keeps the limits, `done` when all was searched.
    """

    path: list[int]
    bound: int | None
    none: bool = False
    done: bool = True


def prove(network: ConstrainedNetwork, seconds: float, nodes: int) -> Proof:
    """The least path of a network that keeps its limits, as far as nodes of the tree and time allow."""
    flow = _Flow(network, whole=True)
    found = flow.model.solve(seconds, nodes)
    path = flow.path(found.values) if found.values else []
    bound = network.milli(path) if found.best else found.bound
    return Proof(path, bound, found.none, done=found.best or found.none)


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The prices (thousandths) of the side rows of a network, in their order.

    `none` is true when not even fractions of paths keep the limits.
    """

    prices: tuple[float, ...]
    none: bool = False


def relaxed(network: ConstrainedNetwork, seconds: float, steps: int) -> Relaxed:
    """What the flow without whole numbers charges for its side rows; no prices where it was cut short."""
    flow = _Flow(network, whole=False)
    found = flow.model.solve(seconds, steps)
    if found.none or not found.best:
        return Relaxed((), found.none)
    return Relaxed(tuple(-found.prices.get(row, 0.0) for row in flow.rows))


class _Flow:
    """The model of one network: the variables of its nodes, and the numbers of its side rows."""

    def __init__(self, network: ConstrainedNetwork, *, whole: bool) -> None:
        self.network, self.whole, self.model = network, whole, LinearModel()
        self.owners: dict[Owner, int] = {}
        sides = list(side_rows(network))
        alone = [row for row in sides if whole and row.equal and len(row.terms) == 1]
        self.shared = {row.terms[0][:2]: row.owner for row in alone if row.owner}
        self.nodes = [self._column(p, column) for p, column in enumerate(network.nodes)]
        for variables in dict.fromkeys(map(tuple, self.nodes)):
            self.model.row(dict.fromkeys(variables, 1.0), 1.0, 1.0)
        for p in range(1, len(self.nodes)):
            self._changes(p)
        self.rows = [self._side(row) for row in sides]
        if network.budgets.learnt is not None:
            learnt = {v: 1.0 for owner, v in self.owners.items() if owner[0] == NEW}
            self.model.row(learnt, -inf, network.budgets.learnt)

    def _column(self, p: int, costs: tuple[Cost, ...]) -> list[int]:
        """The variables of a column: a node alone with a grip of its figure is that of all its notes."""
        variables = []
        for k, cost in enumerate(costs):
            owner = self.shared.get((p, k))
            variables.append(self._owner(owner) if owner else self.model.variable(whole=self.whole))
            self.model.costs[variables[-1]] += int(cost) // STEP
        return variables

    def _owner(self, owner: Owner) -> int:
        """The variable of a grip learnt, a grip of a figure, a pitch that changes its grip."""
        if owner not in self.owners:
            cost = {NEW: self.network.charge_milli, RETURN: self.network.return_milli}.get(owner[0], 0)
            self.owners[owner] = self.model.variable(cost, whole=self.whole and owner[0] != RETURN)
        return self.owners[owner]

    def _changes(self, p: int) -> None:
        """The changes into a column."""
        before, after, block = self.nodes[p - 1], self.nodes[p], self.network.blocks[p]
        model = self.model
        if len(before) == 1 or len(after) == 1:
            for k, row in enumerate(block):
                for j, cost in enumerate(row):
                    variable = after[k] if len(before) == 1 else before[j]
                    if cost == INF:
                        model.most[variable] = 0.0
                    else:
                        model.costs[variable] += int(cost) // STEP
            return
        out: list[list[int]] = [[] for _ in before]
        for variable, row in zip(after, block, strict=True):
            into = []
            for j, cost in enumerate(row):
                if cost != INF:
                    into.append(model.variable(int(cost) // STEP))
                    out[j].append(into[-1])
            model.flow(variable, into)
        for variable, going in zip(before, out, strict=True):
            model.flow(variable, going)

    def _side(self, row: SideRow) -> int:
        """The number of a side row; -1 where sharing has left nothing of it."""
        terms: dict[int, float] = defaultdict(float)
        for p, k, weight in row.terms:
            terms[self.nodes[p][k]] += weight
        if row.owner is not None:
            terms[self._owner(row.owner)] -= 1.0
        if not any(terms.values()):
            return -1
        return self.model.row(terms, 0.0 if row.equal else -inf, float(row.most))

    def path(self, values: Mapping[int, float]) -> list[int]:
        """The nodes the solution chose."""
        return [max(range(len(own)), key=lambda k: values.get(own[k], 0.0)) for own in self.nodes]
