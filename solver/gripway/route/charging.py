"""The route of a passage with its charges: what new grips cost, which are steady, what the answer shows.

The stretches of a passage are searched together, since a grip learnt in one serves all. A new grip that
does not keep its worth when the judged figures are shaken is left out, and the route searched anew.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gripway.route.charged_path import ChargedPath, evened, least_charged
from gripway.route.path import Cost
from gripway.route.puzzle import STEP, Key, Puzzle
from gripway.route.steadiness import Pays
from gripway.route.trellis import Trellis

Keys = frozenset[Key]

Steady = Callable[[Puzzle, Sequence[int], Sequence[int]], Pays]
"""Whether one path of a puzzle is worth a new grip that another goes without, when tables are shaken."""


@dataclass(frozen=True, slots=True)
class NewGrip:
    """A grip to learn: its key, what it saves (thousandths, its own charge not taken off), how steady.

    `steady` is the share of the shaken tables in which learning it still pays, `named` whether that and
    what it saves on average is enough.
    """

    key: Key
    saves_milli: int
    steady: float
    named: bool


@dataclass(frozen=True, slots=True)
class Charged:
    """A charged route: the puzzle, the path, a bound (thousandths) of every route's effort, the new grips.

    `left_out` are grips that would have paid by the tables as they stand but not by most shaken ones;
    `part` is the puzzle without them, `ids` the places of its nodes in the whole one.
    """

    puzzle: Puzzle
    path: tuple[int, ...]
    part: Puzzle
    ids: list[list[int]]
    bound_milli: int
    new: tuple[NewGrip, ...]
    left_out: tuple[NewGrip, ...] = ()

    @property
    def milli(self) -> int:
        """Effort of the route with its charges."""
        return self.puzzle.milli(self.path)

    @property
    def charges_milli(self) -> int:
        """Effort of its charges."""
        return self.puzzle.charges_milli(self.path)

    @property
    def proved(self) -> bool:
        """Whether no route with the grips that are left takes less effort."""
        return self.bound_milli >= self.milli


def charged_route(puzzle: Puzzle, steady: Steady) -> Charged | None:
    """The least route with its charges, of grips that stay worth it; None where there is no route."""
    left_out: list[NewGrip] = []
    part, ids = puzzle, [list(range(len(column))) for column in puzzle.nodes]
    while True:
        answer = least_charged(part)
        if not answer.path:
            return None
        new = _new_grips(part, answer, steady)
        weak = {grip.key for grip in new if not grip.named}
        if not weak or not (less := _without(part, weak)):
            break
        left_out += [grip for grip in new if grip.key in weak]
        ids = [[ids[p][k] for k in kept] for p, kept in enumerate(less)]
        part = part.only(less)
    path = tuple(ids[p][k] for p, k in enumerate(answer.path))
    return Charged(puzzle, path, part, ids, _at_least(answer.bound), tuple(new), tuple(left_out))


def _at_least(bound: Cost) -> int:
    """Whole thousandths of a bound."""
    return int(bound) // STEP


def _without(puzzle: Puzzle, keys: set[Key]) -> list[list[int]]:
    """The nodes without these grips; nothing where a column would be left empty."""
    keep = [[k for k, new in enumerate(c.new) if new not in keys] for c in puzzle.counted]
    return keep if all(keep) else []


def _new_grips(puzzle: Puzzle, answer: ChargedPath, steady: Steady) -> list[NewGrip]:
    """The new grips of a path, the one that saves most first."""
    learnt = puzzle.learnt(answer.path)
    known = [[k for k, new in enumerate(c.new) if new is None or new in learnt] for c in puzzle.counted]
    found = []
    for key in sorted(learnt):
        keep = [[k for k in kept if c.new[k] != key] for c, kept in zip(puzzle.counted, known, strict=True)]
        if not all(keep):  # pinned: nothing to choose
            found.append(NewGrip(key, 0, 1.0, named=True))
            continue
        other = evened(puzzle.only(keep))
        if not other:
            found.append(NewGrip(key, 0, 1.0, named=True))
            continue
        path = [keep[p][k] for p, k in enumerate(other)]
        saves = puzzle.milli(path) - puzzle.milli(answer.path) + puzzle.charge_milli
        pays = steady(puzzle, answer.path, path)
        found.append(NewGrip(key, saves, pays.share, pays.steady))
    return sorted(found, key=lambda grip: (-grip.saves_milli, grip.key))


def shown_trellises(charged: Charged, trellises: Sequence[Trellis]) -> list[tuple[Trellis, tuple[int, ...]]]:
    """The trellises as seen from a charged route, each with its part of the path.

    A node costs besides what changing to it would charge: its grip where the route has not learnt it,
    and the notes of its pitch nearby that have another grip. Nodes of the path cost nothing more.
    """
    extra = _asides(charged.puzzle, charged.path)
    found, at = [], 0
    for trellis in trellises:
        end = at + len(trellis.columns)
        nodes = tuple(
            tuple(cost + more for cost, more in zip(costs, extra[p], strict=True)) if p in extra else costs
            for p, costs in enumerate(trellis.nodes, at)
        )
        found.append((replace(trellis, nodes=nodes), charged.path[at:end]))
        at = end
    return found


def _asides(puzzle: Puzzle, path: Sequence[int]) -> dict[int, list[Cost]]:
    """What every node would charge more than the path's own, for columns where any does."""
    learnt = puzzle.learnt(path)
    extra: dict[int, list[Cost]] = {}
    for p, counted in enumerate(puzzle.counted):
        if puzzle.charge_milli and any(new is not None and new not in learnt for new in counted.new):
            charge = puzzle.charge_milli * STEP
            extra[p] = [charge if new is not None and new not in learnt else 0 for new in counted.new]
    for a, b in puzzle.returns:
        for here, there in ((a, b), (b, a)):
            rows, other = puzzle.counted[here].rows, puzzle.counted[there].rows[path[there]]
            if any(row != other for row in rows):
                now = rows[path[here]] != other
                column = extra.setdefault(here, [0] * len(rows))
                for k, row in enumerate(rows):
                    column[k] += puzzle.return_milli * STEP * ((row != other) - now)
    return extra
