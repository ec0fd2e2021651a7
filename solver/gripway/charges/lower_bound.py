"""A lower bound of a network's charges: shares of what new grips cost, and leanings of pitches that return.

The charge of a new grip is shared out over the columns that could use it, in proportion to what it saves
there. Of a pair of columns in which a pitch returns with another grip, each is made to lean towards the
grip of the other, by no more than the pair's charge together. Both are multipliers of the charges, so that
the least path under them costs no more than any path with its charges.

Reference: Erlenkotter (1978), A dual-based procedure for uncapacitated facility location, Operations
Research 26(6): fixed charges shared out over their users; recalled, not read again.
"""

from array import array
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from operator import add

from gripway.trellis.constrained_network import STEP, ConstrainedNetwork, Key
from gripway.trellis.path import INF, Block, Cost, backward, forward, trace_back
from gripway.trellis.repaired_path_costs import UsedUp, renewed_backward, renewed_forward

ENOUGH = 64
"""Rounds end when a bound rises by less than this part of what it lacks of the best route."""

Keys = frozenset[Key]
Shares = dict[tuple[int, Key], Cost]
Leanings = dict[tuple[int, int], dict[int, Cost]]
"""By pair: what each row costs more in the first column and less in the second."""

Keyed = list[tuple[int, dict[Key, list[int]]]]
"""Columns in which new grips could be used: the places of each new grip's nodes."""


@dataclass(frozen=True, slots=True)
class Look:
    """Node costs under some multipliers, and the least costs to and from every node (as path.py).

    The next look uses up the costs: of long parts there is no room for those of several looks.
    """

    nodes: Sequence[Sequence[Cost]]
    blocks: Sequence[Block]
    to: list[list[Cost]]
    rest: list[list[Cost]]

    def through(self, place: int) -> list[Cost]:
        """The least cost through each node of a column."""
        return list(map(add, self.to[place], self.rest[place]))

    def copy(self) -> "Look":
        """The same to be used up."""
        return Look(self.nodes, self.blocks, [*self.to], [*self.rest])


@dataclass(frozen=True, slots=True)
class Bound:
    """What multipliers show: the least path under them, its cost, and the least through each node.

    `look` is what it was read from, so that the next look costs only what has changed; `kept` is what
    was read of it before it was used up.
    """

    path: list[int]
    cost: Cost
    multipliers: "Multipliers"
    look: Look
    kept: "tuple[array[int], ...] | None" = None

    @property
    def through(self) -> Iterator[Sequence[Cost]]:
        """The least cost through each node, column by column."""
        return map(_unpacked, self.kept) if self.kept else map(self.look.through, range(len(self.look.to)))

    def packed(self) -> "Bound":
        """The same with its look let go of: the costs through the nodes are kept in little room."""
        if self.kept:
            return replace(self, look=NO_LOOK)
        return replace(self, look=NO_LOOK, kept=tuple(map(_packed, self.through)))


FORBIDDEN = 2**63 - 1
"""What INF is among packed costs."""


def _packed(costs: Sequence[Cost]) -> "array[int]":
    try:
        return array("q", costs)  # type: ignore[arg-type]
    except TypeError:  # INF is no whole number
        return array("q", [FORBIDDEN if cost == INF else int(cost) for cost in costs])


def _unpacked(costs: "array[int]") -> Sequence[Cost]:
    return [INF if cost == FORBIDDEN else cost for cost in costs] if FORBIDDEN in costs else costs


@dataclass(frozen=True, slots=True)
class Multipliers:
    """Shares and leanings of the columns of one network."""

    shares: Shares = field(default_factory=dict)
    leanings: Leanings = field(default_factory=dict)

    def of_part(self, part: ConstrainedNetwork, where: Mapping[int, int]) -> "Multipliers":
        """The same for a part of the network; `where` says which of its columns each column has become.

        A pair that is settled there has its charge in the costs of its nodes and leans no more.
        """
        open_pairs = set(part.returns)
        leanings = {(where.get(a), where.get(b)): leaning for (a, b), leaning in self.leanings.items()}
        return Multipliers(
            {(where[p], key): share for (p, key), share in self.shares.items() if p in where},
            {pair: leaning for pair, leaning in leanings.items() if pair in open_pairs},
        )


NONE = Multipliers()
NO_LOOK = Look((), (), [], [])


def charged_bound(
    network: ConstrainedNetwork,
    learnt: Keys,
    start: Multipliers,
    rounds: int,
    best_known: Cost,
    plain: Look | None = None,
) -> Bound:
    """The best bound after so many rounds from a start; grips in `learnt` are free.

    `best_known` is the cost of the best route known (charges for `learnt` taken off), `plain` the network's
    plain look where it is known, which is not used up.
    """
    keyed = keyed_columns(network, learnt)
    if plain and start == NONE:
        best = seen = _seen(network, start, plain.copy())
    else:
        best = seen = looked(network, keyed, start)
    for _ in range(rounds):
        if not seen.path or best.cost >= best_known:
            break
        tried = raised(network, keyed, seen)
        if tried == seen.multipliers:
            break
        if best is seen:
            best = replace(best, kept=tuple(map(_packed, best.through)))
        seen, before = looked(network, keyed, tried, seen.look), best.cost
        if seen.cost > best.cost:
            best = seen
        if best_known < INF and seen.cost - before < (best_known - before) // ENOUGH:
            break
    return best


def keyed_columns(network: ConstrainedNetwork, learnt: Keys) -> Keyed:
    """The columns with nodes of new grips that are not learnt."""
    known: dict[int, dict[Key, list[int]]] = {}
    keyed: Keyed = []
    for p, counted in enumerate(network.counted):
        if id(counted) not in known:
            places: dict[Key, list[int]] = {}
            for k, key in enumerate(counted.new):
                if key is not None and key not in learnt:
                    places.setdefault(key, []).append(k)
            known[id(counted)] = places
        if known[id(counted)]:
            keyed.append((p, known[id(counted)]))
    return keyed


def with_shares(network: ConstrainedNetwork, keyed: Keyed, shares: Shares) -> list[Sequence[Cost]]:
    """The node costs with the shares of new grips."""
    nodes: list[Sequence[Cost]] = list(network.nodes)
    for p, places in keyed:
        asked = [(share, own) for key, own in places.items() if (share := shares.get((p, key), 0))]
        if asked:
            column = list(nodes[p])
            for share, own in asked:
                for k in own:
                    column[k] += share
            nodes[p] = column
    return nodes


def nodes_under(network: ConstrainedNetwork, keyed: Keyed, under: Multipliers) -> list[Sequence[Cost]]:
    """The node costs under multipliers: no path costs more than with its charges."""
    nodes = with_shares(network, keyed, under.shares)
    for (a, b), leaning in under.leanings.items():
        for p, sign in ((a, 1), (b, -1)):
            rows = network.counted[p].rows
            nodes[p] = [
                cost + sign * leaning[row] if row in leaning else cost
                for cost, row in zip(nodes[p], rows, strict=True)
            ]
    return nodes


def looked(network: ConstrainedNetwork, keyed: Keyed, under: Multipliers, last: Look | None = None) -> Bound:
    """The least path and the bound through every node under these multipliers; `last` looked at others."""
    return _seen(network, under, _renewed(nodes_under(network, keyed, under), network.blocks, last))


def plain_look(network: ConstrainedNetwork) -> Look:
    """The look under no multipliers, which is the same whatever is charged."""
    return _renewed(network.nodes, network.blocks, None)


def _seen(network: ConstrainedNetwork, under: Multipliers, look: Look) -> Bound:
    """The least path and the bound that a look shows."""
    to = look.to
    least = min(to[-1])
    if least == INF:
        return Bound([], INF, under, look)
    path = trace_back(to, look.nodes, network.blocks, to[-1].index(least), len(look.nodes) - 1)
    return Bound(path, least, under, look)


def _renewed(nodes: Sequence[Sequence[Cost]], blocks: Sequence[Block], last: Look | None) -> Look:
    """The least costs under these node costs, from those of the last look where there was one."""
    if last is None:
        return Look(nodes, blocks, forward(nodes, blocks), backward(nodes, blocks))
    now = Look(nodes, blocks, [], [])
    to, rest = renewed_forward(last, UsedUp(last.to), now), renewed_backward(last, UsedUp(last.rest), now)
    return Look(nodes, blocks, to, rest)


def raised(network: ConstrainedNetwork, keyed: Keyed, seen: Bound) -> Multipliers:
    """Multipliers that may show a better bound than the one seen."""
    return Multipliers(_shares(keyed, seen, network.charge_milli * STEP), _leanings(network, seen))


def _shares(keyed: Keyed, seen: Bound, charge: Cost) -> Shares:
    """Every new grip's charge over its columns, in proportion to what it saves there under today's shares."""
    saved: dict[Key, dict[int, Cost]] = {}
    today = seen.multipliers.shares
    for p, places in keyed if charge else ():
        through = seen.look.through(p)
        least = min(through)
        for key, own in places.items():
            mine = min([through[k] for k in own])
            if mine > least:
                other = least
            else:
                other = min([cost for k, cost in enumerate(through) if k not in own], default=INF)
            gain = other - mine + today.get((p, key), 0)
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


def _leanings(network: ConstrainedNetwork, seen: Bound) -> Leanings:
    """The leanings with more for every pair whose grips the path has different.

    Between what the two columns would lose by changing, so that the one that loses less changes.
    """
    charge, leanings = network.return_milli * STEP, dict(seen.multipliers.leanings)
    for a, b in network.returns:
        rows, other_rows = network.counted[a].rows, network.counted[b].rows
        here, there = rows[seen.path[a]], other_rows[seen.path[b]]
        if here == there:
            continue
        loss_here = _least(seen.look.through(a), rows, there) - seen.cost
        loss_there = _least(seen.look.through(b), other_rows, here) - seen.cost
        low, high = sorted((loss_here, loss_there))
        more = int(min(charge, (low + min(high, low + charge)) // 2 if high < INF else low + charge)) // 2
        leaning = dict(leanings.get((a, b), {}))
        leaning[here] = min(charge // 2, leaning.get(here, 0) + more)
        leaning[there] = max(-(charge // 2), leaning.get(there, 0) - more)
        leanings[a, b] = leaning
    return leanings


def _least(through: Sequence[Cost], rows: Sequence[int], row: int) -> Cost:
    """The least through the nodes of a row; INF where the column has none."""
    return min((cost for cost, own in zip(through, rows, strict=True) if own == row), default=INF)
