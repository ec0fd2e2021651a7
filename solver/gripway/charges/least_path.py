"""The least path when new grips and changes of a pitch's grip are charged for: a path with fixed charges.

Every new grip that a path uses is paid for once; every pair of columns in which a pitch returns with
another grip is paid for as well. Both bind notes far apart, so that a plain least path cannot see them:

1. A lower bound shares the charges out over the notes (`lower_bound.py`).
2. The new grips of that path, taken as learnt, give a route; nodes whose bound lies above it are left out.
3. What is left is searched exactly: by labels for the pitches that return (`label_search.py`), and by
   branching over the new grips, learnt or left out, for what the shares leave open.

Work is counted, never clocked: the same passage gets the same answer everywhere. Where the count runs
out, the best route stands with its bound.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gripway.charges.label_search import least_labels
from gripway.charges.lower_bound import (
    NONE,
    Keys,
    Look,
    Multipliers,
    Shares,
    charged_bound,
    keyed_columns,
    with_shares,
)
from gripway.charges.search_start import Start
from gripway.charges.shrunk_network import Part
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork, Key
from gripway.trellis.path import INF, Cost, forward, least_path, trace_back
from gripway.trellis.repaired_path_costs import NodesAndBlocks, UsedUp, renewed_forward

ROUNDS = 5
"""How often a route's pitches are evened out at most."""

FIRST_ROUNDS = 1
LAST_ROUNDS = 6
"""Rounds of multipliers before the first nodes are left out, and after."""

SHORT = 3_000
"""Columns above which what a look has found is packed before anything else is done."""

MOST_BRANCHES = 200
MOST_LABELS = 400_000
"""Branches and labels after which the search stops with what it has."""


@dataclass(frozen=True, slots=True)
class ChargedPath:
    """A path (none: empty), its cost with all charges, a lower bound of every path's cost."""

    path: list[int]
    cost: Cost
    bound: Cost

    @property
    def proved(self) -> bool:
        """Whether no path costs less."""
        return self.bound >= self.cost


def least_charged(
    network: ConstrainedNetwork,
    most_branches: int = MOST_BRANCHES,
    start: Start | None = None,
    near: Sequence[int] = (),
    below: Cost = INF,
) -> ChargedPath:
    """The least path of a network with its charges; limits of the network are not looked at.

    `start` is what is known of the network already. `near` is a path that may be near the least
    one: what costs more than it is left out from the beginning, and where the count of work runs out, none
    that costs more is given. Of a network that is known to have a path that costs less than `below`,
    whatever costs as much is left out at once.
    """
    if below < INF:
        found = _ChargedSearch(network, most_branches, start, near, below).answer()
        if found.path:
            return found
    return _ChargedSearch(network, most_branches, start, near).answer()


class _ChargedSearch:
    """One search: the best route so far (by the network's own places), and the work done."""

    def __init__(
        self,
        network: ConstrainedNetwork,
        most_branches: int,
        start: Start | None,
        near: Sequence[int],
        below: Cost = INF,
    ) -> None:
        self.network, self.start = network, start
        self.plain: Look | None = None
        self.most_branches, self.most_labels = most_branches, MOST_LABELS
        self.charge = network.charge_milli * STEP
        self.path: list[int] = []
        self.cost: Cost = below
        self.labels = self.branches = 0
        self.tried: set[Keys] = set()
        for path in (near, start.path if start else ()):
            if path:
                self._keep(list(path))

    def answer(self) -> ChargedPath:
        """The best route found and the least bound of what was left unsearched."""
        if self.network.same_charges:
            _, path = least_path(self.network.nodes, self.network.blocks)
            cost = self.network.charged_cost(path) if path else INF
            return ChargedPath(path, cost, cost)
        part, under = Part.of(self.network), NONE
        if self.start and self.cost < INF:
            keep = self._under(map(self.start.look.through, part.columns), self.cost)
            if not all(keep):
                return ChargedPath(self.path, self.cost, self.cost)
            part, where = part.only(keep)
            under = self.start.multipliers.of_part(part.network, where)
        elif self.start:
            self.plain = self.start.plain
        bound = self._branch(part, frozenset(), under)
        return ChargedPath(self.path, self.cost, min(bound, self.cost))

    def _branch(self, part: Part, learnt: Keys, start: Multipliers) -> Cost:
        """Search the routes of a part in which these grips are paid for, from these multipliers on.

        Gives a lower bound of all of them; INF where none is below the best route.
        """
        self.branches += 1
        paid = self.charge * len(learnt)
        for rounds in (FIRST_ROUNDS, LAST_ROUNDS):
            plain, self.plain = self.plain, None  # only the first look is at the whole network
            seen = charged_bound(part.network, learnt, start, rounds, self.cost - paid, plain)
            if not seen.path:
                return INF
            if len(part.network.nodes) > SHORT:
                seen = seen.packed()
            if self.cost - paid - seen.cost > self.charge:  # a closer route leaves out enough
                self._settle(part, part.network.learnt(seen.path) | learnt)
            keep = self._under(seen.through, self.cost - paid)
            if not all(keep):
                return INF
            part, where = part.only(keep)
            start, bound = seen.multipliers.of_part(part.network, where), seen.cost + paid
            del seen  # of a long part there is no room for what it looked at beside the next look
        nodes = with_shares(part.network, keyed_columns(part.network, learnt), start.shares)
        found = least_labels(part.network, nodes, self.cost - paid, self.most_labels - self.labels)
        if found is None or self.branches >= self.most_branches:
            self.labels = self.most_labels
            return bound
        self.labels += found.tried
        if not found.path:
            return INF
        self._offer(part, found.path)
        if found.cost + paid >= self.cost:
            return INF
        key = self._open_key(part.network, found.path, learnt, start.shares)
        if key is None:
            return found.cost + paid
        return max(found.cost + paid, self._both_ways(part, learnt, key, start))

    @staticmethod
    def _under(through: Iterable[Sequence[Cost]], most: Cost) -> list[tuple[int, ...]]:
        """The nodes through which a path may cost less; equal columns of them are one object."""
        equal: dict[tuple[int, ...], tuple[int, ...]] = {}
        under = (tuple([k for k, cost in enumerate(column) if cost < most]) for column in through)
        return [equal.setdefault(column, column) for column in under]

    def _both_ways(self, part: Part, learnt: Keys, key: Key, start: Multipliers) -> Cost:
        """The bound of a part whose grip `key` is learnt, or left out."""
        bounds = [self._branch(part, learnt | {key}, start)]
        if without := part.network.without({key}):
            less, where = part.only(without)
            bounds.append(self._branch(less, learnt, start.of_part(less.network, where)))
        return min(bounds)

    def _open_key(
        self, part: ConstrainedNetwork, path: list[int], learnt: Keys, shares: Shares
    ) -> Key | None:
        """The new grip of a path whose shares pay least of its charge; None where all are paid in full."""
        paid: dict[Key, Cost] = {}
        for p, (counted, k) in enumerate(zip(part.counted, path, strict=True)):
            if (key := counted.new[k]) is not None and key not in learnt:
                paid[key] = paid.get(key, 0) + shares.get((p, key), 0)
        open_keys = {key: cost for key, cost in paid.items() if cost < self.charge}
        return min(open_keys, key=lambda key: (open_keys[key], key)) if open_keys else None

    def _settle(self, part: Part, keys: Keys) -> None:
        """Offer routes with these new grips at most, its pitches evened out; then with those it used."""
        while keys not in self.tried:
            self.tried.add(keys)
            keep = part.network.learning(keys)
            if not keep:
                return
            small, _ = part.only(keep)
            path = evened(small.network)
            self._offer(small, path)
            used = small.network.learnt(path) if path else frozenset()
            if used >= keys:
                return
            keys = used

    def _offer(self, part: Part, path: list[int]) -> None:
        """Keep a route that costs less than the best one so far."""
        if path:
            self._keep(part.path(path))

    def _keep(self, path: list[int]) -> None:
        cost = self.network.charged_cost(path)
        if cost < self.cost:
            self.cost, self.path = cost, path


def evened(network: ConstrainedNetwork) -> list[int]:
    """A good path for a network whose new grips are all free: pitches that return are evened out in rounds.

    In every round a note is charged for each of its neighbours of the same pitch that has another grip
    in the path so far; the best path of all rounds by its true charges is given. [] where there is none.
    """
    best, least = list[int](), INF
    now = NodesAndBlocks(network.nodes, network.blocks)
    to = forward(now.nodes, now.blocks)
    for _ in range(ROUNDS):
        if min(to[-1]) == INF:
            return best
        path = trace_back(to, now.nodes, now.blocks, to[-1].index(min(to[-1])), len(to) - 1)
        cost = network.charged_cost(path)
        if cost >= least:
            return best
        best, least = path, cost
        last, now = now, NodesAndBlocks(_charged_for(network, path), network.blocks)
        to = renewed_forward(last, UsedUp(to), now)
    return best


def _charged_for(network: ConstrainedNetwork, path: list[int]) -> list[Sequence[Cost]]:
    """Node costs in which every note is charged for neighbours of its pitch with another grip in `path`."""
    charge, nodes = network.return_milli * STEP, list[Sequence[Cost]](network.nodes)
    for a, b in network.returns:
        rows = network.counted[a].rows, network.counted[b].rows
        if rows[0][path[a]] != rows[1][path[b]]:
            for here, its_rows, other in ((a, rows[0], rows[1][path[b]]), (b, rows[1], rows[0][path[a]])):
                nodes[here] = [
                    cost if row == other else cost + charge
                    for cost, row in zip(nodes[here], its_rows, strict=True)
                ]
    return nodes
