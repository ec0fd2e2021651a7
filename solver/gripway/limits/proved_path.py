"""The least path that keeps the limits, charges included, by one method.

1. The free path; when it keeps the limits and is charged nothing it is the answer.
2. What uses any of a sum of nothing is left out. Where no sum and no figure is left, the least path with
   charges is the answer, as without limits (`charges/least_path.py`).
3. Candidates that others beat everywhere are left out.
4. The flow without whole numbers gives prices, which bound every node and change from below; where the
   least path under them keeps the limits at its bound it is the answer.
5. A window just above the bound is solved exactly by the flow model. What it finds inside is the least
   there is; what it cannot find there lifts the bound to the rim, and the window is widened.

Work is counted, so that the answer is the same on any machine; the seconds are only a stop.
"""

from dataclasses import dataclass, replace
from operator import attrgetter
from time import monotonic

from gripway.charges.least_path import least_charged
from gripway.limits.dominance import without_dominated
from gripway.limits.feasible import any_path
from gripway.limits.flow_model import Proof, prove, relaxed
from gripway.limits.least_sums import LeastSums
from gripway.limits.multipliers import priced
from gripway.limits.one_sum import one_sum
from gripway.limits.side_rows import side_rows
from gripway.limits.windows import Windows, common, edges
from gripway.trellis.constrained_network import Budgets, ConstrainedNetwork
from gripway.trellis.path import least_path

LOWEST = 1_000
WIDER = 3
"""The first window reaches a share of one in so many above the bound, each next one so many times as high."""

BRANCHES = 20
"""Branches over new grips where nothing but charges binds notes far apart."""

STEPS = 400_000
"""Steps of the simplex method for the prices: several times what 5,000 notes take."""

NODES = 5_000_000
"""Nodes of the tree times changes of the window, for one window."""

LEAST_SECONDS = 3.0
"""However little time there is, so much is given to finding any route at all."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A path that keeps the limits (None: none was found), a bound in thousandths, whether it is proved.

    `conflict` is true when it is proved that no path keeps the limits.
    """

    path: list[int] | None
    bound: int
    proved: bool
    conflict: bool = False


def limited_path(network: ConstrainedNetwork, seconds: float) -> Answer:
    """The least path of a network that keeps its limits, as far as work and seconds allow."""
    ends = monotonic() + seconds
    _, path = least_path(network.nodes, network.blocks)
    if not path:
        return NONE
    if network.keeps(path) and not network.charges_milli(path):
        return Answer(path, network.milli(path), proved=True)
    if LeastSums(network).impossible():
        return NONE
    keep = common(network, _within_nothing(network))
    first = replace(
        network,
        ids=tuple(tuple(range(len(column))) for column in network.nodes),
        budgets=network.budgets.above_nothing,
    ).only(keep)
    if not all(keep) or not least_path(first.nodes, first.blocks)[1]:
        return NONE
    if first.budgets == Budgets() and not first.figures:
        charged = least_charged(first, BRANCHES)
        if charged.proved:
            found = [keep[p][k] for p, k in enumerate(charged.path)]
            return Answer(found, network.milli(found), proved=True)
    return _LimitedSearch(without_dominated(first), ends).answer()


def _within_nothing(network: ConstrainedNetwork) -> list[list[int]]:
    """The nodes that use nothing of sums of which nothing may be used."""
    asked = network.budgets
    barred = (
        (asked.unusual == 0, attrgetter("unusual")),
        (asked.tenths == 0, attrgetter("tenths")),
        (asked.learnt == 0, attrgetter("new")),
    )
    used = [uses for nothing, uses in barred if nothing]
    return [
        [k for k in range(len(counted.rows)) if not any(uses(counted)[k] for uses in used)]
        for counted in network.counted
    ]


NONE = Answer(None, 0, proved=True, conflict=True)


class _LimitedSearch:
    """The search between the bound and the best route known, whose nodes `best` has by their ids."""

    def __init__(self, network: ConstrainedNetwork, ends: float) -> None:
        self.network, self.ends = network, ends
        self.best: list[int] = []
        self.milli: int | None = None
        self.bound, self.impossible = 0, False

    def answer(self) -> Answer:
        """Prices, then windows above the bound, until the best route is proved or work or time is up."""
        windows = self._windows()
        if windows is None:
            return NONE
        self.bound, height = max(0, windows.bound), 1 + windows.bound // LOWEST
        while self._open() and monotonic() < self.ends and self._search(windows, height):
            height *= WIDER
        if self.milli is None and not self.impossible:
            self._any(windows)
        if self.impossible:
            return NONE
        return Answer(self.best or None, self.bound, proved=not self._open())

    def _windows(self) -> Windows | None:
        """The network under the best prices; None where not even fractions of paths keep the limits."""
        rows, prices = list(side_rows(self.network)), list[float]()
        if len(rows) == 1 and rows[0].owner is None:
            price, path = one_sum(self.network, rows[0])
            prices.append(price)
            self._offer(path)
        else:
            found = relaxed(self.network, self.ends - monotonic(), STEPS)
            if found.none:
                return None
            prices += found.prices or [0.0] * len(rows)
        windows = Windows(self.network, priced(self.network, rows, prices))
        self._offer(windows.least())
        return windows

    def _open(self) -> bool:
        """Whether a better route than the best one known is still possible."""
        return not self.impossible and (self.milli is None or self.bound < self.milli)

    def _search(self, windows: Windows, height: int) -> bool:
        """One window solved by the flow model: a better route, a higher bound. False when work ran out."""
        rim = self._rim(windows, height)
        keep = windows.within(rim)
        proof = Proof([], None, none=True)
        if all(keep):
            part = windows.part(keep, rim)
            proof = prove(part, self.ends - monotonic(), NODES // max(1, edges(part)))
        self._offer([keep[p][k] for p, k in enumerate(proof.path)])
        if proof.none and rim is None:
            self.impossible = True
        elif proof.none or proof.bound is not None:
            found = [bound for bound in (proof.bound, None if rim is None else rim + 1) if bound is not None]
            self.bound = max(self.bound, min(found))
        return proof.done

    def _rim(self, windows: Windows, height: int) -> int | None:
        """How high the window is: up to the best route known where that is not much higher; None: no end."""
        if self.milli is not None and self.milli - windows.bound <= WIDER * height:
            return self.milli - 1
        rim = windows.bound + height
        return None if windows.reach(rim) else rim

    def _offer(self, path: list[int]) -> None:
        """Take a path if it keeps the limits and takes less effort than the best one so far."""
        if path and self.network.keeps(path):
            milli = self.network.milli(path)
            if self.milli is None or milli < self.milli:
                self.best = [self.network.ids[p][k] for p, k in enumerate(path)]
                self.milli = milli

    def _any(self, windows: Windows) -> None:
        """Any route that keeps the limits, where no window had one: by grips alone, led by the prices."""
        found = any_path(self.network, max(LEAST_SECONDS, self.ends - monotonic()), windows.heights())
        self.impossible = found == []
        self._offer(found or [])
