"""The route of a passage with its charges: what new grips cost, which are steady, what the answer shows.

The stretches of a passage are searched together, since a grip learnt in one serves all. A new grip that
does not keep its worth when the judged figures are shaken is left out, and the route searched anew.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gripway.charges.least_path import ChargedPath, evened, least_charged
from gripway.charges.robustness import Pays
from gripway.charges.search_start import Start, start_of
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork, Key, every_place
from gripway.trellis.path import INF, Cost
from gripway.trellis.trellis import Trellis, effort_of

Keys = frozenset[Key]
NOTHING: Keys = frozenset()

Steady = Callable[[ConstrainedNetwork, Sequence[int], Sequence[int]], Pays]
"""Whether one path of a network is worth a new grip that another goes without, when tables are shaken."""


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
    """A charged route: the network, the path, a bound (thousandths) of every route's effort, the new grips.

    `left_out` are grips that would have paid by the tables as they stand but not by most shaken ones
    (one that is pinned: beyond its pinned notes);
    `part` is the network without them, `ids` the places of its nodes in the whole one. `closed` says
    that the number of new grips was asked for: no other may be learnt. `starts` are what the searches began
    from, by the grips left out before each: for the learning curve, and for the next search.
    """

    network: ConstrainedNetwork
    path: tuple[int, ...]
    part: ConstrainedNetwork
    ids: Sequence[tuple[int, ...]]
    bound_milli: int
    new: tuple[NewGrip, ...]
    left_out: tuple[NewGrip, ...] = ()
    closed: bool = False
    starts: Mapping[Keys, Start | None] = field(default_factory=dict, compare=False, repr=False)

    @property
    def start(self) -> Start | None:
        """What the search of `part` began from, where that is kept."""
        return self.starts.get(frozenset(grip.key for grip in self.left_out))

    @property
    def milli(self) -> int:
        """Effort of the route with its charges."""
        return self.network.milli(self.path)

    @property
    def charges_milli(self) -> int:
        """Effort of its charges."""
        return self.network.charges_milli(self.path)

    def with_left_out(self, path: Sequence[int]) -> int:
        """Effort of any path with its charges; what is left out as unsteady charges what it saves."""
        columns = zip(self.network.counted, path, self.path, strict=True)
        used = {counted.new[k] for counted, k, own in columns if counted.new[k] != counted.new[own]}
        learnt = self.network.learnt(self.path)
        return self.network.milli(path) + sum(
            max(0, grip.saves_milli - self.network.charge_milli * (grip.key not in learnt))
            for grip in self.left_out
            if grip.key in used
        )

    @property
    def proved(self) -> bool:
        """Whether no route with the grips that are left takes less effort."""
        return self.bound_milli >= self.milli


def charged_route(
    network: ConstrainedNetwork,
    steady: Steady,
    least: ChargedPath | None = None,
    near: Sequence[int] = (),
    below: Cost = INF,
    last: Charged | None = None,
) -> Charged | None:
    """The least route with its charges, of grips that stay worth it; None where there is no route.

    `least` is the answer of `least_charged` to the whole network, where that is known, `near` a path
    to begin from, `below` as there, `last` the answer under other pins, whose looks are gone on with.
    """
    left_out: list[NewGrip] = []
    known = last.starts if last else {}
    part, ids = network, [every_place(len(column)) for column in network.nodes]
    start = None if least else start_of(part, known.get(NOTHING))
    answer = least or least_charged(part, start=start, near=near, below=below)
    starts = {NOTHING: start and replace(start, path=answer.path)}
    if not answer.path:
        return None
    while True:
        new = new_grips(part, answer.path, steady)
        weak = {grip.key for grip in new if not grip.named}
        if not weak:
            break
        less = part.elsewhere(weak)
        smaller = part.only(less)
        without = frozenset(weak).union(*starts)
        start = start_of(smaller, known.get(without) or (start if last else None))
        near = _within(less, near)
        sure = least_charged(smaller, start=start, near=near)
        if not sure.path:  # no route does without all of them
            break
        left_out += [grip for grip in new if grip.key in weak]
        ids = [tuple([ids[p][k] for k in kept]) for p, kept in enumerate(less)]
        part, answer, starts[without] = smaller, sure, start and replace(start, path=sure.path)
    path = tuple(ids[p][k] for p, k in enumerate(answer.path))
    bound = effort_of(answer.bound)
    return Charged(network, path, part, ids, bound, tuple(new), tuple(left_out), starts=starts)


def _within(keep: Sequence[Sequence[int]], path: Sequence[int]) -> list[int]:
    """A path where only these nodes are kept; empty where one of its own is not, and for an empty one."""
    here = path and all(k in kept for kept, k in zip(keep, path, strict=True))
    return [kept.index(k) for kept, k in zip(keep, path, strict=True)] if here else []


def nothing_learnt(network: ConstrainedNetwork) -> Charged | None:
    """A good route with no grip to learn but the pinned ones; None where no route does without.

    It takes little of the time of the search, and nothing is proved of it: the bound is no effort at all.
    """
    new = {key for counted in network.counted for key in counted.new} - {None}
    keep = network.elsewhere(new)
    places = evened(network.only(keep))
    if not places:
        return None
    path = tuple([keep[p][k] for p, k in enumerate(places)])
    pinned = tuple(NewGrip(key, 0, 1.0, named=True) for key in sorted(network.learnt(path)))
    ids = [every_place(len(column)) for column in network.nodes]
    return Charged(network, path, network, ids, 0, pinned)


def new_grips(network: ConstrainedNetwork, path: Sequence[int], steady: Steady) -> list[NewGrip]:
    """The new grips of a path, the one that saves most first."""
    learnt = network.learnt(path)
    new = {key for counted in network.counted for key in counted.new} - {None}
    chosen = {
        counted.new[k] for counted, k in zip(network.counted, path, strict=True) if len(set(counted.new)) > 1
    }
    found = []
    for key in sorted(learnt):
        keep = network.elsewhere(new - (learnt - {key}))
        other = evened(network.only(keep)) if key in chosen else []
        if not other:  # only where it is pinned, or nothing else can be reached
            found.append(NewGrip(key, 0, 1.0, named=True))
            continue
        without = [keep[p][k] for p, k in enumerate(other)]
        saves = network.milli(without) - network.milli(path)
        saves += network.charge_milli * (key not in network.learnt(without))
        pays = steady(network, path, without)
        found.append(NewGrip(key, saves, pays.share, pays.steady))
    return sorted(found, key=lambda grip: (-grip.saves_milli, grip.key))


def shown_trellises(charged: Charged, trellises: Sequence[Trellis]) -> list[tuple[Trellis, tuple[int, ...]]]:
    """The trellises as seen from a charged route, each with its part of the path.

    A node costs besides what changing to it would charge: its grip where the route has not learnt it,
    and the notes of its pitch nearby that have another grip. Nodes of the path cost nothing more.
    """
    nodes, found, at = shown_nodes(charged), [], 0
    for trellis in trellises:
        end = at + len(trellis.columns)
        found.append((replace(trellis, nodes=nodes[at:end]), charged.path[at:end]))
        at = end
    return found


def shown_nodes(charged: Charged) -> tuple[tuple[Cost, ...], ...]:
    """The node costs of a network as seen from a charged route."""
    extra = _asides(charged)
    return tuple(
        tuple([cost + more if more else cost for cost, more in zip(costs, extra[p], strict=True)])
        if p in extra
        else costs
        for p, costs in enumerate(charged.network.nodes)
    )


def _asides(charged: Charged) -> dict[int, list[Cost]]:
    """What every node would charge besides, for columns where any does; nothing on the path itself.

    Never less than the charges of a path through it are more than the answer's, so that the answer is
    the least path of what is shown. A grip left out as unsteady charges what it would have saved; where
    the number of grips is `closed`, one that the path has not learnt may not be learnt at all.
    """
    network, path = charged.network, charged.path
    learnt, left_out = network.learnt(path), {grip.key: grip.saves_milli for grip in charged.left_out}
    extra: dict[int, list[Cost]] = {}

    def beside(key: Key | None, own: Key | None) -> Cost:
        if key is None or key == own:
            return 0
        if key in learnt:  # where it was left out, by its pin
            return STEP * left_out.get(key, 0)
        return INF if charged.closed else STEP * max(network.charge_milli, left_out.get(key, 0))

    known: dict[tuple[int, Key | None], list[Cost]] = {}
    for p, (counted, k) in enumerate(zip(network.counted, path, strict=True)):
        own = counted.new[k]
        if (id(counted), own) not in known:
            known[id(counted), own] = [beside(key, own) for key in counted.new]
        if any(known[id(counted), own]):
            extra[p] = known[id(counted), own]
    for a, b in network.returns:
        for here, there in ((a, b), (b, a)):
            rows, other = network.counted[here].rows, network.counted[there].rows[path[there]]
            if rows[path[here]] == other and any(row != other for row in rows):
                charge = network.return_milli * STEP
                column = extra.get(here, [0] * len(rows))
                extra[here] = [more + charge * (row != other) for more, row in zip(column, rows, strict=True)]
    return extra
