"""The least path when new grips and changes of a pitch's grip are charged for: a path with fixed charges.

Every new grip that a path uses is paid for once; every pair of columns in which a pitch returns with
another grip is paid for as well. Both bind notes far apart, so that a plain least path cannot see them:

1. Each new grip's charge is shared out over the notes that could use it, in proportion to what it saves
   there. The least path under the shares is a lower bound: they are multipliers of the charges.
2. The new grips of that path, taken as learnt, give a route; nodes whose bound lies above it are left out.
3. What is left is searched exactly: by labels for the pitches that return (charged_labels.py), and by
   branching over the new grips, learnt or left out, for what the shares leave open.

Work is counted, never clocked: the same passage gets the same answer everywhere. Where the count runs
out, the best route stands with its bound.

Reference: Erlenkotter (1978), A dual-based procedure for uncapacitated facility location, Operations
Research 26(6): fixed charges shared out over their users; recalled, not read again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.route.charged_labels import least_labels
from gripway.route.path import INF, Cost, backward, forward, trace_back
from gripway.route.puzzle import STEP, Key, Puzzle

ROUNDS = 5
"""How often the shares are made anew for one bound."""

MOST_BRANCHES = 400
MOST_LABELS = 400_000
"""Branches and labels after which the search stops with what it has."""

Keys = frozenset[Key]
Shares = dict[tuple[int, Key], Cost]
Nodes = Sequence[Sequence[Cost]]


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


def least_charged(puzzle: Puzzle) -> ChargedPath:
    """The least path of a puzzle with its charges; limits of the puzzle are not looked at."""
    return _Search(puzzle).answer()


class _Search:
    """One search: the best route so far (by the puzzle's own places), and the work done."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.charge = puzzle.charge_milli * STEP
        self.path: list[int] = []
        self.cost: Cost = INF
        self.labels = self.branches = 0

    def answer(self) -> ChargedPath:
        """The best route found and the least bound of what was left unsearched."""
        whole = [list(range(len(column))) for column in self.puzzle.nodes]
        bound = self._branch(self.puzzle, whole, frozenset())
        return ChargedPath(self.path, self.cost, min(bound, self.cost))

    def _branch(self, part: Puzzle, ids: list[list[int]], learnt: Keys) -> Cost:
        """Search the routes of a part (its nodes' places are `ids`) in which these grips are paid for.

        Gives a lower bound of all of them; INF where none is below the best route.
        """
        self.branches += 1
        seen = _shared(part, learnt, self.charge)
        paid = self.charge * len(learnt)
        self._offer(part, ids, seen.path)
        self._settle(part, ids, frozenset(part.learnt(seen.path)) | learnt)
        if not seen.path or seen.bound + paid >= self.cost:
            return INF
        keep = [[k for k, cost in enumerate(column) if cost + paid < self.cost] for column in seen.through]
        if not all(keep):
            return INF
        small = part.only(keep)
        own = [[ids[p][k] for k in kept] for p, kept in enumerate(keep)]
        nodes = [[seen.nodes[p][k] for k in kept] for p, kept in enumerate(keep)]
        found = least_labels(small, nodes, self.cost - paid, MOST_LABELS - self.labels)
        if found is None or self.branches >= MOST_BRANCHES:
            self.labels = MOST_LABELS
            return seen.bound + paid
        self.labels += found.tried
        if not found.path:
            return INF
        self._offer(small, own, found.path)
        if found.cost + paid >= self.cost:
            return INF
        key = self._open_key(small, found.path, learnt, seen.shares)
        if key is None:
            return found.cost + paid
        without = [[k for k, new in enumerate(c.new) if new != key] for c in small.counted]
        bounds = [self._branch(small, own, learnt | {key})]
        if all(without):
            rest = [[own[p][k] for k in kept] for p, kept in enumerate(without)]
            bounds.append(self._branch(small.only(without), rest, learnt))
        return max(found.cost + paid, min(bounds))

    def _open_key(self, part: Puzzle, path: list[int], learnt: Keys, shares: Shares) -> Key | None:
        """The new grip of a path whose shares pay least of its charge; None where all are paid in full."""
        paid: dict[Key, Cost] = {}
        for p, (counted, k) in enumerate(zip(part.counted, path, strict=True)):
            if (key := counted.new[k]) is not None and key not in learnt:
                paid[key] = paid.get(key, 0) + shares.get((p, key), 0)
        open_keys = {key: cost for key, cost in paid.items() if cost < self.charge}
        return min(open_keys, key=lambda key: (open_keys[key], key)) if open_keys else None

    def _settle(self, part: Puzzle, ids: list[list[int]], keys: Keys) -> None:
        """Offer routes with these new grips at most: the least one, its pitches evened out, one grip fewer."""
        while True:
            keep = [[k for k, new in enumerate(c.new) if new is None or new in keys] for c in part.counted]
            if not all(keep):
                return
            small = part.only(keep)
            own = [[ids[p][k] for k in kept] for p, kept in enumerate(keep)]
            path = evened(small)
            self._offer(small, own, path)
            used = small.learnt(path) if path else frozenset()
            if used >= keys:
                return
            keys = used

    def _offer(self, part: Puzzle, ids: list[list[int]], path: list[int]) -> None:
        """Keep a route that costs less than the best one so far."""
        if not path:
            return
        cost = part.cost(path) + part.charges_milli(path) * STEP
        if cost < self.cost:
            self.cost, self.path = cost, [ids[p][k] for p, k in enumerate(path)]


@dataclass(frozen=True, slots=True)
class _Shared:
    """What shares show: node costs with them, the least path, its cost, and the least through each node."""

    nodes: Nodes
    path: list[int]
    bound: Cost
    through: list[list[Cost]]
    shares: Shares


def _shared(puzzle: Puzzle, learnt: Keys, charge: Cost) -> _Shared:
    """The best bound that a few rounds of shares give; grips in `learnt` are free."""
    keyed = _keyed(puzzle, learnt)
    best = seen = _look(puzzle, keyed, {})
    for _ in range(ROUNDS):
        shares = _made_anew(keyed, seen, charge)
        if shares == seen.shares or not seen.path:
            break
        seen = _look(puzzle, keyed, shares)
        if seen.bound > best.bound:
            best = seen
    return best


Keyed = list[tuple[int, dict[Key, list[int]]]]
"""Columns in which new grips could be used: the places of each new grip's nodes."""


def _keyed(puzzle: Puzzle, learnt: Keys) -> Keyed:
    known: dict[int, dict[Key, list[int]]] = {}
    keyed: Keyed = []
    for p, counted in enumerate(puzzle.counted):
        if id(counted) not in known:
            places: dict[Key, list[int]] = {}
            for k, key in enumerate(counted.new):
                if key is not None and key not in learnt:
                    places.setdefault(key, []).append(k)
            known[id(counted)] = places
        if known[id(counted)]:
            keyed.append((p, known[id(counted)]))
    return keyed


def _look(puzzle: Puzzle, keyed: Keyed, shares: Shares) -> _Shared:
    """The least path and the bound through every node under shares."""
    nodes: list[Sequence[Cost]] = list(puzzle.nodes)
    for p, places in keyed:
        asked = [(share, own) for key, own in places.items() if (share := shares.get((p, key), 0))]
        if asked:
            column = list(nodes[p])
            for share, own in asked:
                for k in own:
                    column[k] += share
            nodes[p] = column
    to, rest = forward(nodes, puzzle.blocks), backward(nodes, puzzle.blocks)
    least = min(to[-1])
    if least == INF:
        return _Shared(nodes, [], INF, [], shares)
    path = trace_back(to, nodes, puzzle.blocks, to[-1].index(least), len(nodes) - 1)
    through = [[a + b for a, b in zip(x, y, strict=True)] for x, y in zip(to, rest, strict=True)]
    return _Shared(nodes, path, least, through, shares)


def _made_anew(keyed: Keyed, seen: _Shared, charge: Cost) -> Shares:
    """Every new grip's charge over its columns, in proportion to what it saves there under today's shares."""
    saved: dict[Key, dict[int, Cost]] = {}
    for p, places in keyed:
        through = seen.through[p]
        for key, own in places.items():
            share = seen.shares.get((p, key), 0)
            mine = min(through[k] for k in own)
            other = min((cost for k, cost in enumerate(through) if k not in own), default=INF)
            gain = other - mine + share
            if gain > 0:
                saved.setdefault(key, {})[p] = min(gain, charge)
    shares: Shares = {}
    for key, gains in saved.items():
        total, left = int(sum(gains.values())), charge
        for p, gain in gains.items():
            shares[p, key] = int(charge * gain) // total
            left -= shares[p, key]
        shares[p, key] += left
    return shares


def evened(puzzle: Puzzle) -> list[int]:
    """A good path for a puzzle whose new grips are all free: pitches that return are evened out in rounds.

    In every round a note is charged for each of its neighbours of the same pitch that has another grip
    in the path so far; the best path of all rounds by its true charges is given. [] where there is none.
    """
    best, least = list[int](), INF
    nodes: list[Sequence[Cost]] = list(puzzle.nodes)
    for _ in range(ROUNDS):
        to = forward(nodes, puzzle.blocks)
        if min(to[-1]) == INF:
            return best
        path = trace_back(to, nodes, puzzle.blocks, to[-1].index(min(to[-1])), len(nodes) - 1)
        cost = puzzle.cost(path) + puzzle.charges_milli(path) * STEP
        if cost >= least:
            return best
        best, least = path, cost
        nodes = _charged_for(puzzle, path)
    return best


def _charged_for(puzzle: Puzzle, path: list[int]) -> list[Sequence[Cost]]:
    """Node costs in which every note is charged for neighbours of its pitch with another grip in `path`."""
    charge, nodes = puzzle.return_milli * STEP, list[Sequence[Cost]](puzzle.nodes)
    for a, b in puzzle.returns:
        rows = puzzle.counted[a].rows, puzzle.counted[b].rows
        if rows[0][path[a]] != rows[1][path[b]]:
            for here, its_rows, other in ((a, rows[0], rows[1][path[b]]), (b, rows[1], rows[0][path[a]])):
                nodes[here] = [
                    cost if row == other else cost + charge
                    for cost, row in zip(nodes[here], its_rows, strict=True)
                ]
    return nodes
