"""Candidates that another one of their column beats wherever the route comes from and goes to.

Such a candidate can be left out of a network without losing its least effort: a route through it
can pass the other one for no more effort, charges included, and without using more of any limit.
Mostly they are hand positions that differ only in where an idle finger rests. What is left out
narrows what the others can meet, so that the thinning goes on until nothing more goes.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gripway.trellis.constrained_network import STEP, Budgets, ConstrainedNetwork, Counted, Key
from gripway.trellis.path import INF, Block, Cost

Rows = list[list[float]]
"""By candidate and other candidate."""

Pair = tuple[int, int]
"""Two grips of the tables: the one that may stand for the other, and the other."""


def without_dominated(network: ConstrainedNetwork) -> ConstrainedNetwork:
    """The network without candidates that another one beats everywhere, and grips of figures likewise.

    A candidate is beaten whatever its neighbours are, so that it may go at the same time as they.
    """
    size, worst = 0, _Worst()
    while size != (size := sum(map(len, network.nodes))):
        network = _settled_figures(_thinned(network, worst), worst)
    return network


class _Worst:
    """How much more one candidate takes than another, at most, wherever a route passes; by block, remembered.

    So is what follows from it for a place: most places are as they were when the network is looked at again.
    Costs are whole numbers below 2^53, so that the sums of floats here are exact.
    """

    def __init__(self) -> None:
        self._known: dict[tuple[int, bool], tuple[Block, Any]] = {}  # holds the blocks that keys name by id
        self._kept: dict[tuple[object, ...], tuple[_Place, list[int]]] = {}  # as do places
        self._grips: dict[tuple[object, ...], tuple[_Place, dict[Pair, Cost]]] = {}
        self._beaten: dict[tuple[int, ...], set[int]] = {}

    def kept(self, network: ConstrainedNetwork, place: "_Place", *, alike: bool) -> list[int]:
        """The candidates of a place that no other one beats."""
        key = (*place.key, alike)
        if key not in self._kept:
            self._kept[key] = place, _kept(network, place, self.more(place), alike=alike)
        return self._kept[key][1]

    def beaten(
        self, network: ConstrainedNetwork, figure: tuple[int, ...], places: Sequence["_Place"]
    ) -> set[int]:
        """The grips of a figure that another grip beats over all its notes together."""
        grips = [self._more_of_grips(network, places[p]) for p in figure]
        key = tuple(map(id, grips))
        if key not in self._beaten:
            self._beaten[key] = _beaten(network, figure, grips)
        return self._beaten[key]

    def _more_of_grips(self, network: ConstrainedNetwork, place: "_Place") -> dict[Pair, Cost]:
        key = place.key
        if key not in self._grips:
            self._grips[key] = place, _more_of_grips(network, place, self.more(place))
        return self._grips[key][1]

    def more(self, place: "_Place") -> Rows:
        """For one candidate (outer) and another (inner): what holding and all changes take more, at most."""
        import numpy as np

        costs = np.array(place.costs, dtype=float)
        more = costs[:, None] - costs[None, :]
        for block, leaving in ((place.into, False), (place.out, True)):
            if block:
                more += self._changes(block, leaving=leaving)
        rows: Rows = more.tolist()
        return rows

    def _changes(self, block: Block, *, leaving: bool) -> Any:
        key = (id(block), leaving)
        if key not in self._known:
            self._known[key] = block, _worst(block, leaving=leaving)
        return self._known[key][1]


def _worst(block: Block, *, leaving: bool) -> Any:
    """How much more a change into (or from) one candidate can cost than into another, at most: an array.

    A change that the other does not allow is not looked at; 0 where it allows none.
    """
    import numpy as np

    costs = np.array(block, dtype=float)
    costs = costs.T if leaving else costs
    if costs.max() < INF:
        return np.maximum.reduce(costs[:, None, :] - costs[None, :, :], axis=2)
    with np.errstate(invalid="ignore"):
        more = costs[:, None, :] - costs[None, :, :]
    more[:, costs == INF] = -INF
    worst = more.max(axis=2, initial=-INF)
    worst[worst == -INF] = 0.0
    return worst


@dataclass(frozen=True, slots=True)
class _Place:
    """What a column's candidates meet: the changes into and out of it (empty at the ends), its returns.

    `returns` are, for every column that is charged together with it, the rows to be had there.
    """

    costs: tuple[Cost, ...]
    counted: Counted
    into: Block
    out: Block
    returns: tuple[frozenset[int], ...]

    @property
    def key(self) -> tuple[object, ...]:
        """The same for places where the same candidates are beaten."""
        return id(self.into), id(self.out), self.costs, id(self.counted), self.returns


def _places(network: ConstrainedNetwork) -> list[_Place]:
    rows = [frozenset(counted.rows) for counted in network.counted]
    returns: list[list[frozenset[int]]] = [[] for _ in rows]
    for p, q in network.returns:
        returns[p].append(rows[q])
        returns[q].append(rows[p])
    blocks: list[Block] = [(), *network.blocks[1:], ()]
    return [
        _Place(costs, counted, blocks[p], blocks[p + 1], tuple(returns[p]))
        for p, (costs, counted) in enumerate(zip(network.nodes, network.counted, strict=True))
    ]


def _thinned(network: ConstrainedNetwork, worst: _Worst) -> ConstrainedNetwork:
    """The network without candidates that another one of their column beats."""
    in_figure = {p for figure in network.figures for p in figure}
    return network.only(
        [
            [0] if len(place.costs) == 1 else worst.kept(network, place, alike=p in in_figure)
            for p, place in enumerate(_places(network))
        ]
    )


def _kept(network: ConstrainedNetwork, place: _Place, more: Rows, *, alike: bool) -> list[int]:
    """The candidates of a column that nothing kept before them beats; the least effort first."""
    costs, rows = place.costs, place.counted.rows
    kept: list[int] = []
    for k in sorted(range(len(costs)), key=lambda k: (costs[k], k)):
        beaten = any(
            more[other][k] <= 0  # charges only add to it
            and (not alike or rows[other] == rows[k])
            and more[other][k] + _charged(network, place, other, k) <= 0
            for other in kept
        )
        if not beaten:
            kept.append(k)
    return sorted(kept)


def _charged(network: ConstrainedNetwork, place: _Place, one: int, other: int) -> Cost:
    """What standing for another candidate can be charged at most; INF where it uses more of a limit."""
    counted, budgets = place.counted, network.budgets
    if not _within(counted, one, other, budgets):
        return INF
    new = counted.new[one] not in (None, counted.new[other])
    if new and budgets.learnt is not None:
        return INF
    return new * network.charge_milli * STEP + _returning(network, place, one, other)


def _returning(network: ConstrainedNetwork, place: _Place, one: int, other: int) -> Cost:
    """What pitches that change their grip can be charged more when one candidate stands for another."""
    rows = place.counted.rows
    left = 0 if rows[one] == rows[other] else sum(rows[other] in rows_there for rows_there in place.returns)
    return left * network.return_milli * STEP


def _within(counted: Counted, one: int, other: int, budgets: Budgets) -> bool:
    """Whether one candidate uses no more of the sums than another; new grips are not looked at."""
    if budgets.unusual is not None and counted.unusual[one] > counted.unusual[other]:
        return False
    return budgets.tenths is None or counted.tenths[one] <= counted.tenths[other]


def _settled_figures(network: ConstrainedNetwork, worst: _Worst) -> ConstrainedNetwork:
    """The network without those grips of figures that another grip beats over all their notes together."""
    if not network.figures:
        return network
    keep = [list(range(len(column))) for column in network.nodes]
    places = _places(network)
    for figure in network.figures:
        if len(set(network.counted[figure[0]].rows)) == 1:
            continue
        beaten = worst.beaten(network, figure, places)
        for p in figure if beaten else ():
            keep[p] = [k for k in keep[p] if network.counted[p].rows[k] not in beaten]
    return network.only(keep)


def _beaten(
    network: ConstrainedNetwork, figure: tuple[int, ...], grips: Sequence[dict[Pair, Cost]]
) -> set[int]:
    """The grips of a figure that another beats; `grips` is what they take more at each of its notes."""
    more: dict[Pair, Cost] = {}
    times = Counter(map(id, grips))
    for each in {id(each): each for each in grips}.values():
        for pair, cost in each.items():
            more[pair] = more.get(pair, 0) + times[id(each)] * cost
    beaten: set[int] = set()
    for one, other in sorted(pair for pair, cost in more.items() if cost <= 0):
        open_ = one not in beaten and other not in beaten
        if open_ and more[one, other] + _learning(network, figure, one, other) <= 0:
            beaten.add(other)
    return beaten


def _more_of_grips(network: ConstrainedNetwork, place: _Place, more: Rows) -> dict[Pair, Cost]:
    """How much more a grip takes than another in one column, at most, but for what it takes to learn it.

    INF where it uses more of a limit.
    """
    counted, budgets = place.counted, network.budgets
    nodes: dict[int, list[int]] = {}
    for k, grip in enumerate(counted.rows):
        nodes.setdefault(grip, []).append(k)
    summed = budgets.unusual is not None or budgets.tenths is not None

    def least(ones: Sequence[int], other: int) -> Cost:
        if not summed:
            return min([more[one][other] for one in ones])
        return min([more[one][other] if _within(counted, one, other, budgets) else INF for one in ones])

    return {
        (a, b): max([least(ones, other) for other in others]) + _returning(network, place, ones[0], others[0])
        for a, ones in nodes.items()
        for b, others in nodes.items()
        if a != b
    }


def _learning(network: ConstrainedNetwork, figure: tuple[int, ...], one: int, other: int) -> Cost:
    """What a figure's new grips are charged when one grip stands for another; INF against a limit."""
    mine, others = (_keys(network, figure, grip) for grip in (one, other))
    sure = others if len(others) == 1 else set()
    more = len(mine - sure - {None})
    if network.budgets.learnt is not None:
        return INF if more else 0
    return more * network.charge_milli * STEP


def _keys(network: ConstrainedNetwork, figure: tuple[int, ...], grip: int) -> set[Key | None]:
    """What a grip is to learn over the notes of a figure."""
    return {
        new
        for p in figure
        for own, new in zip(network.counted[p].rows, network.counted[p].new, strict=True)
        if own == grip
    }
