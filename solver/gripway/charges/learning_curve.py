"""The learning curve: the least effort with no new grip, with one, with two, and so on.

Of every number of new grips a route is found by taking grips away from (or adding them to) the answer;
what each step saves is then tried as the charge of a grip. The least route under a charge is a lower
bound for every number of grips, so that most points are proved, and the others stand with their bound.

Reference: Everett (1963), Generalized Lagrange multiplier method, Operations Research 11(3): what a
charge makes least is least for what it uses; recalled, not read again.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from gripway.charges.charged_route import Charged
from gripway.charges.least_path import evened, least_charged
from gripway.charges.search_start import Start, start_of
from gripway.trellis.constrained_network import ConstrainedNetwork, Key
from gripway.trellis.trellis import effort_of

MOST_POINTS = 12
"""So many new grips are looked at at most, counted from none."""

CHEAPER = 0.5
"""Share of the charge that is tried for what more grips would save."""

MOST_BRANCHES = 12
"""Branches of the search for one point: where they do not prove it, it stands with its bound."""


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The least effort found with these new grips, charges for learning left out (thousandths).

    `path` goes through the whole network of the charged route; `bound_milli` is what every route
    with as many new grips takes at least.
    """

    learnt: frozenset[Key]
    path: tuple[int, ...]
    effort_milli: int
    bound_milli: int

    @property
    def proved(self) -> bool:
        """Whether no route with as many new grips takes less effort."""
        return self.bound_milli >= self.effort_milli


def learning_curve(charged: Charged, *, ends: bool = False) -> tuple[CurvePoint, ...]:
    """The points of the curve from no new grip on, each with more grips and less effort than the last.

    With `ends` only the answer's own point and the one without new grips are worked out.
    """
    curve = _Curve(charged)
    return curve.ends() if ends else curve.points()


class _Curve:
    def __init__(self, charged: Charged) -> None:
        self.charged, self.part = charged, charged.part
        self.unpaid = without_learning(charged.part)
        self.paths: dict[int, tuple[int, list[int]]] = {}  # by new grips: effort, path
        self.bounds: list[tuple[int, int]] = []  # charge, bound of effort and charges
        self.none_milli = 0

    @cached_property
    def start(self) -> Start | None:
        """The plain look, which serves every charge; the path is that of one charge only."""
        known = self.charged.start
        return replace(known, path=()) if known and known.plain else start_of(self.part)

    def ends(self) -> tuple[CurvePoint, ...]:
        """The point without new grips, and that of the answer."""
        self._own()
        self._none()
        return tuple(self._point(grips) for grips in self._falling())

    def points(self) -> tuple[CurvePoint, ...]:
        """Every point."""
        own = self._own()
        charge = self.part.charge_milli
        self._take_away(self.part.learnt(own))
        self._solve(round(charge * CHEAPER))
        tried = {charge}
        for slope in self._slopes():
            if slope not in tried:
                tried.add(slope)
                self._solve(slope)
        self._none()
        return tuple(self._point(grips) for grips in self._falling())

    def _own(self) -> list[int]:
        """The path of the answer, offered with its bound."""
        own = [ids.index(k) for ids, k in zip(self.charged.ids, self.charged.path, strict=True)]
        self._offer(own)
        self.bounds.append((self.part.charge_milli, self.charged.bound_milli))
        return own

    def _falling(self) -> list[int]:
        """Numbers of grips whose effort is below that of every smaller number."""
        kept: list[int] = []
        for grips in sorted(self.paths):
            if grips <= MOST_POINTS and (not kept or self.paths[grips][0] < self.paths[kept[-1]][0]):
                kept.append(grips)
        return kept

    def _slopes(self) -> Sequence[int]:
        """What a grip saves from each point to the next, where that is to be proved."""
        kept = self._falling()
        return [(self.paths[a][0] - self.paths[b][0]) // (b - a) for a, b in pairwise(kept) if a]

    def _take_away(self, keys: frozenset[Key]) -> None:
        """Routes with fewer and fewer of these grips, the least useful one away first."""
        while keys:
            found = [(self._with(keys - {key}), key) for key in sorted(keys)]
            ranked = [(self._effort(path), key) for path, key in found if path]
            if not ranked:
                return
            keys = keys - {min(ranked)[1]}

    def _with(self, keys: frozenset[Key]) -> list[int]:
        keep = self.part.learning(keys)
        if not keep:
            return []
        path = [keep[p][k] for p, k in enumerate(evened(self.part.only(keep)))]
        self._offer(path)
        return path

    def _solve(self, charge_milli: int) -> None:
        network = replace(self.part, charge_milli=charge_milli)
        found = least_charged(network, MOST_BRANCHES, self.start)
        self._offer(found.path)
        self.bounds.append((charge_milli, effort_of(found.bound)))

    def _none(self) -> None:
        """The least route with no new grip at all, searched by itself."""
        if keep := self.part.learning(()):
            found = least_charged(self.part.only(keep), MOST_BRANCHES)
            if found.path:
                self._offer([keep[p][k] for p, k in enumerate(found.path)])
                self.none_milli = effort_of(found.bound)

    def _offer(self, path: list[int]) -> None:
        if path:
            grips, effort = len(self.part.learnt(path)), self._effort(path)
            if grips not in self.paths or effort < self.paths[grips][0]:
                self.paths[grips] = effort, path

    def _effort(self, path: list[int]) -> int:
        """Thousandths of a path without what learning charges."""
        return self.unpaid.milli(path)

    def _point(self, grips: int) -> CurvePoint:
        effort, path = self.paths[grips]
        bound = max(least - charge * grips for charge, least in self.bounds)
        bound = bound if grips else max(bound, self.none_milli)
        ids = self.charged.ids
        whole = tuple(ids[p][k] for p, k in enumerate(path))
        return CurvePoint(self.part.learnt(path), whole, effort, min(bound, effort))


def without_learning(network: ConstrainedNetwork) -> ConstrainedNetwork:
    """The network with grips learnt for nothing."""
    return replace(network, charge_milli=0)
