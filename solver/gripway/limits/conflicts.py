"""Why no route keeps the limits: a few of them that cannot hold together, and where.

Reference: Junker (2004), QuickXplain, AAAI-04: halving until every member is needed; recalled.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin
from gripway.effort.candidate import Candidate
from gripway.limits.feasible import any_path, least_use
from gripway.limits.least_sums import LeastSums, least_worst
from gripway.route.result import Conflict, Least
from gripway.trellis.constrained_network import Budgets, ConstrainedNetwork
from gripway.trellis.path import first_blocked, forward

MOST_NOTES = 5
NAMES = {"unusual": "unusual", "tuning_cents": "tenths", "learnt": "learnt"}
"""The sum that a limit bounds."""

Build = Callable[[Limits, tuple[Pin, ...]], ConstrainedNetwork]
"""The network of some of the limits and pins."""

Worst = Callable[[Candidate, int], int]
"""The furthest lean (tenths of a cent) of a note of the passage with a grip, its ornament included."""


@dataclass(frozen=True, slots=True)
class Member:
    """One thing that was asked for: a limit by its name, or a pin by its place among the pins."""

    limit: str = ""
    pin: int = -1


class Conflicts:
    """Finds out which of the limits and pins conflict; what is not decided in time counts as possible."""

    def __init__(
        self,
        build: Build,
        limits: Limits,
        pins: tuple[Pin, ...],
        pin_words: Sequence[str],
        seconds: float,
        worst: Worst,
    ) -> None:
        self.build, self.limits, self.pins, self.pin_words = build, limits, pins, pin_words
        self.worst = worst
        self.ends = monotonic() + seconds

    def find(self) -> Conflict:
        """A set of limits and pins of which each is needed for the conflict, and where they meet."""
        words = self.limits.words()
        members = [Member(limit=name) for name in words] + [Member(pin=k) for k in range(len(self.pins))]
        core = self._needed([], members, fresh=False)
        network = self._network(core)
        return Conflict(
            tuple(words[m.limit] if m.limit else self.pin_words[m.pin] for m in core),
            tuple(network.places[p] for p in _columns(network, core)),
            tuple(self._least(network, core, words)),
        )

    def _network(self, members: Sequence[Member]) -> ConstrainedNetwork:
        pins = tuple(self.pins[m.pin] for m in members if not m.limit)
        return self.build(self.limits.only({m.limit for m in members}), pins)

    def possible(self, members: Sequence[Member]) -> bool:
        """Whether some route keeps these."""
        network = self._network(members)
        if not all(network.nodes) or first_blocked(forward(network.nodes, network.blocks)) is not None:
            return False
        if LeastSums(network).impossible():
            return False
        if network.budgets == Budgets() and not network.figures:
            return True
        return any_path(network, self.ends - monotonic()) != []

    def _needed(self, given: list[Member], members: list[Member], *, fresh: bool) -> list[Member]:
        """The members needed, beside those given, for the conflict; `fresh` when some were just given."""
        if fresh and not self.possible(given):
            return []
        if len(members) <= 1:
            return members
        half = len(members) // 2
        first, second = members[:half], members[half:]
        needed = self._needed([*given, *first], second, fresh=bool(first))
        return [*self._needed([*given, *needed], first, fresh=bool(needed)), *needed]

    def _least(
        self, network: ConstrainedNetwork, core: Sequence[Member], words: dict[str, str]
    ) -> list[Least]:
        """How little the passage can do with of each sum in conflict, or of a worst lean."""
        if core == [Member(limit="worst_cents")]:
            return self._least_worst(words)
        if not all(network.nodes):
            return []
        found = []
        for member in core:
            if member.limit in NAMES:
                use = least_use(network, NAMES[member.limit], self.ends - monotonic())
                if use is not None:
                    size = use.size / 10 if member.limit == "tuning_cents" else float(use.size)
                    found.append(Least(words[member.limit], size, use.proved))
        return found

    def _least_worst(self, words: dict[str, str]) -> list[Least]:
        """How far the worst note must lean at least, where that limit alone is impossible."""
        network = self._network([])
        worst = least_worst(network, lambda p, k: self.worst(network.columns[p][k], network.places[p]))
        return [] if worst is None else [Least(words["worst_cents"], worst / 10)]


def _columns(network: ConstrainedNetwork, core: Sequence[Member]) -> list[int]:
    """The columns where a conflict shows: emptied, behind a forbidden change, or dear in a sum."""
    if empty := [p for p, column in enumerate(network.nodes) if not column]:
        return empty[:MOST_NOTES]
    blocked = first_blocked(forward(network.nodes, network.blocks))
    if blocked is not None:
        return [blocked]
    least: dict[int, int] = {}
    for p, counted in enumerate(network.counted):
        if any(m.limit == "unusual" for m in core):
            least[p] = least.get(p, 0) + min(counted.unusual)
        if any(m.limit == "tuning_cents" for m in core):
            least[p] = least.get(p, 0) + min(counted.tenths)
        if any(m.limit == "learnt" for m in core) and None not in counted.new:
            least[p] = least.get(p, 0) + 1
    worst = sorted((p for p, size in least.items() if size), key=lambda p: (-least[p], p))
    return sorted(worst[:MOST_NOTES])
