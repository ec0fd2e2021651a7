"""Other routes that differ: the least effort among those with another grip on enough notes.

A route must have, on at least so many of the counted notes, another grip than every route already
given. Multipliers reward each difference (a Lagrangian relaxation): they give a lower bound and
usually a good route. Then partial routes (labels: a count for each given route, capped, and the
cost) are carried from note to note; one is dropped when another of its node is no worse, or when
its best completion under the multipliers does not beat the best route known. The answer is proved
unless so many labels lived at once that some promising ones had to be dropped.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.route.joined import Joined, grip_name
from gripway.trellis.path import INF, Cost, backward, forward, nodes_of, trace_back

ROUNDS = 40
"""Steps of the multipliers."""

MOST_LABELS = 1_000
"""Labels that live at one note; the promising ones are kept when there are more."""

COMPARED = 300
"""Labels of one node up to which each is compared with each."""

Path = tuple[int, ...]
Counts = tuple[int, ...]
Label = tuple[Cost, Counts, "Label | None", int]
"""Cost so far, differences from every given route so far (capped), the label before, the node."""


@dataclass(frozen=True, slots=True)
class Found:
    """A route that differs, or (None) that there is none; `least` is a lower bound of its cost.

    `proved` is true when no such route costs less, or when it is sure that there is none.
    """

    path: Path | None
    cost: Cost
    least: Cost
    proved: bool


def differing(
    whole: Joined, counted: Sequence[bool], given: Sequence[Path], least: int, *, quick: bool = False
) -> Found:
    """The least route with another grip on `least` counted notes than each given route has there.

    A `quick` search ends after the multipliers: it may find a dearer route, or none, and a lower bound.
    """
    return _Differing(whole, counted, given, least).found(quick=quick)


class _Differing:
    """One search: what each node differs in, the multipliers, the labels."""

    def __init__(self, whole: Joined, counted: Sequence[bool], given: Sequence[Path], least: int) -> None:
        self.whole, self.least, self.routes = whole, least, range(len(given))
        self.differs = [
            _differing_nodes(whole, place, [path[place] for path in given], counts=counted[place])
            for place in range(len(whole.columns))
        ]
        self.most_after = self._most_after()
        self.path: Path | None = None
        self.cost: Cost = INF
        self.bound: Cost = -INF
        self.rewards = [0] * len(given)

    def found(self, *, quick: bool) -> Found:
        """The search itself."""
        if any(self.most_after[0][k] + max(d[k] for d in self.differs[0]) < self.least for k in self.routes):
            return Found(None, INF, INF, proved=True)
        self._reward()
        dropped = INF if self.bound >= self.cost else -INF if quick else self._labels()
        least = min(self.cost, max(dropped, self.bound))
        return Found(self.path, self.cost, least, proved=least >= self.cost)

    def _most_after(self) -> list[list[int]]:
        """For every place and given route: on how many later notes a difference is possible at all."""
        after = [[0] * len(self.routes)]
        for differs in reversed(self.differs[1:]):
            after.append([after[-1][k] + max(d[k] for d in differs) for k in self.routes])
        return after[::-1]

    def _nodes(self, rewards: Sequence[int]) -> list[list[Cost]]:
        """Holding costs less the reward of every difference."""
        return [
            [
                cost - sum(r for r, there in zip(rewards, d, strict=True) if there)
                for cost, d in zip(costs, differs, strict=True)
            ]
            for costs, differs in zip(self.whole.nodes, self.differs, strict=True)
        ]

    def _try(self, rewards: list[int]) -> tuple[Cost, Counts]:
        """The best route under these rewards: its bound and its counts; kept when it is good."""
        nodes, blocks = self._nodes(rewards), self.whole.blocks
        costs = forward(nodes, blocks)
        end, least = len(nodes) - 1, min(costs[-1])
        path = tuple(trace_back(costs, nodes, blocks, costs[-1].index(least), end))
        counts = tuple(
            sum(d[node][k] for d, node in zip(self.differs, path, strict=True)) for k in self.routes
        )
        cost = least + sum(r * n for r, n in zip(rewards, counts, strict=True))
        if min(counts) >= self.least and cost < self.cost:
            self.path, self.cost = path, cost
        bound = least + self.least * sum(rewards)
        if bound > self.bound:
            self.bound, self.rewards = bound, list(rewards)
        return bound, counts

    def _reward(self) -> None:
        """Find multipliers with a high bound, and a route that differs enough if one shows up."""
        large = sum(int(max(cost for cost in costs if cost != INF)) for costs in self.whole.nodes) + 1
        self._try([large] * len(self.routes))
        rewards = [0] * len(self.routes)
        for _ in range(ROUNDS):
            bound, counts = self._try(rewards)
            lacks = [self.least - count for count in counts]
            if self.bound >= self.cost or not any(lacks):
                return
            gap = min(self.cost, max(abs(self.bound), 1) * 2) - bound
            step = gap / sum(lack * lack for lack in lacks)
            rewards = [max(0, r + int(step * lack)) for r, lack in zip(rewards, lacks, strict=True)]

    def _labels(self) -> Cost:
        """Search on from note to note; the least bound of what was dropped for want of room."""
        self.rest = backward(self._nodes(self.rewards), self.whole.blocks)
        start: Label = (0, (0,) * len(self.routes), None, -1)
        labels: list[list[Label]] = [self._kept(0, node, [start], 0) for node in range(len(self.rest[0]))]
        dropped: Cost = INF
        for place in range(1, len(self.rest)):
            labels = [self._into(place, node, labels) for node in range(len(self.rest[place]))]
            if sum(map(len, labels)) > MOST_LABELS:
                dropped = min(dropped, self._thin(place, labels))
        ended = [label for column in labels for label in column if min(label[1]) >= self.least]
        if ended:
            best = min(ended, key=lambda label: label[0])
            self.path, self.cost = nodes_of(best), best[0]
        return dropped

    def _into(self, place: int, node: int, before: list[list[Label]]) -> list[Label]:
        row, arriving = self.whole.blocks[place][node], []
        for labels, moved in zip(before, row, strict=True):
            if labels and moved != INF:
                arriving += self._kept(place, node, labels, moved)
        return _undominated(arriving)

    def _kept(self, place: int, node: int, labels: list[Label], moved: Cost) -> list[Label]:
        """Labels carried to a node that can still differ enough and beat the best route known."""
        add, differs, after = (
            moved + self.whole.nodes[place][node],
            self.differs[place][node],
            self.most_after[place],
        )
        kept = []
        for label in labels:
            counts = tuple(min(self.least, n + d) for n, d in zip(label[1], differs, strict=True))
            reached = all(n + more >= self.least for n, more in zip(counts, after, strict=True))
            new: Label = (label[0] + add, counts, label, node)
            if reached and self._bound(place, new) < self.cost:
                kept.append(new)
        return kept

    def _bound(self, place: int, label: Label) -> Cost:
        """The least cost of a route that begins so and differs enough."""
        lacking = sum(r * (self.least - n) for r, n in zip(self.rewards, label[1], strict=True))
        return label[0] + self.rest[place][label[3]] + lacking

    def _thin(self, place: int, labels: list[list[Label]]) -> Cost:
        """Keep the most promising labels of a column; the least bound of the others."""
        bounds = sorted(self._bound(place, label) for column in labels for label in column)
        limit = bounds[MOST_LABELS]
        for node, column in enumerate(labels):
            labels[node] = [label for label in column if self._bound(place, label) < limit]
        return limit


def _differing_nodes(whole: Joined, place: int, given: list[int], *, counts: bool) -> list[Counts]:
    """For every node of a column: 1 for each given route that has another grip there."""
    names = [grip_name(candidate) for candidate in whole.columns[place]]
    return [tuple(int(counts and name != names[other]) for other in given) for name in names]


def _undominated(labels: list[Label]) -> list[Label]:
    """Those than which no other is as cheap with as many differences; of equal ones the first."""
    least: dict[Counts, Label] = {}
    for label in labels:
        known = least.get(label[1])
        if known is None or label[0] < known[0]:
            least[label[1]] = label
    ranked = sorted(least.values(), key=lambda label: label[0])
    if len(ranked) > COMPARED:
        return ranked
    kept: list[Label] = []
    for label in ranked:
        if not any(all(a >= b for a, b in zip(other[1], label[1], strict=True)) for other in kept):
            kept.append(label)
    return kept
