"""The costs of a part apart by dial: what each candidate and each change would cost with that dial at 1.

A route's effort is a sum over the ledger's parts, and each part belongs to one dial. So the effort under
any dials is a weighted sum of these, and the trellis need be built once only. What a trill takes depends on
dials in a way of its own (its other note is chosen by them); here it stands as the player's dials have it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.effort_figures import EffortTables
from gripway.charges.joined_network import new_key
from gripway.effort.costs import MOVING, EffortModel
from gripway.effort.ledger import MILLI, NO_COST
from gripway.effort.setting import Setting
from gripway.route.ground import Ground
from gripway.route.solve import Solver
from gripway.trellis.constrained_network import Key
from gripway.trellis.path import INF
from gripway.trellis.trellis import Column, TrellisBuilder, effort_of

Floats = NDArray[np.float32]

BARRED = np.float32(1e7)
"""Thousandths of an effort above every route's: what no route may take."""

TIE = 0.02
"""Of equal routes the one nearer to the standard grips wins, as in the trellis."""

FIXED = "trill"
"""The part of a ledger that stands as it is under all dials."""


@dataclass(frozen=True, slots=True)
class DialColumn:
    """One note: its index in the passage, and its candidates' costs, axes (candidate, dial).

    `fixed` are costs no dial scales, `rows` the touches of the table's row of each candidate, `keys` the
    place in `DialCosts.keys` of the new grip it is (-1: none). `into` is the place in `DialCosts.blocks` of
    what moving from the column before costs; None at the start of a stretch.
    """

    index: int
    held: Floats
    fixed: Floats
    rows: NDArray[np.int64]
    keys: NDArray[np.int64]
    into: int | None


@dataclass(frozen=True, slots=True)
class DialCosts:
    """A part as columns and shared blocks, all costs in thousandths of an effort at dials of 1.

    `dials` are their names in the order of the axes; `blocks` have (candidate, candidate before, dial), and
    `barred` is None or what is not allowed of each. `keys` are the new grips, `returns` pairs of columns that
    are charged `return_milli` where they have grips of different rows; a new grip is charged `grip_milli`.
    """

    dials: tuple[str, ...]
    columns: tuple[DialColumn, ...]
    blocks: tuple[Floats, ...]
    barred: tuple[NDArray[np.bool_] | None, ...]
    keys: tuple[Key, ...]
    returns: tuple[tuple[int, int], ...]
    grip_milli: float
    return_milli: float


def dial_costs(solver: Solver, ground: Ground, grip_milli: float, return_milli: float) -> DialCosts:
    """The costs of what a solver has searched, apart by dial; the charges as with their dial at 1."""
    tables = solver.tables
    names = tuple(tables.dials)
    apart = _Apart(solver, ground, names)
    keys: dict[Key, int] = {}
    columns: list[DialColumn] = []
    for piece in ground.pieces:
        before: Column = ()
        for k, column in enumerate(piece.trellis.columns):
            index = piece.trellis.start + k
            held, fixed = apart.held(column, ground.settings[index])
            own = [new_key(candidate) for candidate in column]
            columns.append(
                DialColumn(
                    index=index,
                    held=held,
                    fixed=fixed,
                    rows=np.array([c.row_grip.mask for c in column], dtype=np.int64),
                    keys=np.array([-1 if key is None else keys.setdefault(key, len(keys)) for key in own]),
                    into=apart.block(before, column, index) if before else None,
                )
            )
            before = column
    place = {column.index: p for p, column in enumerate(columns)}
    network = ground.charged.network if ground.charged else None
    returns = [(network.places[a], network.places[b]) for a, b in network.returns] if network else []
    return DialCosts(
        dials=names,
        columns=tuple(columns),
        blocks=tuple(apart.blocks),
        barred=tuple(apart.barred),
        keys=tuple(keys),
        returns=tuple((place[a], place[b]) for a, b in returns),
        grip_milli=grip_milli,
        return_milli=return_milli,
    )


class _Apart:
    """Takes costs apart and remembers what comes again."""

    def __init__(self, solver: Solver, ground: Ground, names: Sequence[str]) -> None:
        self.names, self.ground = names, ground
        tables, player = solver.tables, solver.knowledge.player
        dials = dict(player.dials)
        self.plain = _model(solver, dict.fromkeys(names, 1.0))
        self.of_term = {term: k for k, name in enumerate(names) for term in tables.dials[name].terms}
        self.trilled = _model(solver, {name: dials.get(name, tables.dials[name].default) for name in names})
        self.builders = {
            d: _builder(solver, ground, name, names)
            for d, name in enumerate(names)
            if not set(MOVING).isdisjoint(tables.dials[name].terms)
        }
        self.blocks: list[Floats] = []
        self.barred: list[NDArray[np.bool_] | None] = []
        self._known: dict[tuple[object, ...], int] = {}
        self._held: dict[tuple[int, Setting], tuple[Floats, Floats]] = {}

    def held(self, column: Column, setting: Setting) -> tuple[Floats, Floats]:
        """Holding costs, axes (candidate, dial), and what no dial scales."""
        key = id(column), setting
        if key not in self._held:
            costs = np.zeros((len(column), len(self.names)), dtype=np.float32)
            fixed = np.zeros(len(column), dtype=np.float32)
            for k, candidate in enumerate(column):
                fixed[k] = TIE * candidate.rank
                for term, amount in (self.plain.holding(candidate, setting) or NO_COST).parts:
                    if term != FIXED:
                        costs[k, self.of_term[term]] += amount
                if setting.trill is not None or setting.auxiliaries:
                    adorned = self.trilled.ornament(candidate, setting)
                    fixed[k] += adorned[0] if adorned else BARRED
            self._held[key] = costs, fixed
        return self._held[key]

    def block(self, before: Column, after: Column, index: int) -> int:
        """The place among the blocks of the one into a note."""
        link = self.ground.links[index]
        key = id(before), id(after), link
        if key not in self._known:
            costs = np.zeros((len(after), len(before), len(self.names)), dtype=np.float32)
            barred = np.zeros((len(after), len(before)), dtype=np.bool_)
            for d, builder in self.builders.items():
                for k, row in enumerate(builder.block(before, after, link)):
                    for j, cost in enumerate(row):
                        if cost == INF:
                            barred[k, j] = True
                        else:
                            costs[k, j, d] = effort_of(cost)
            self._known[key] = len(self.blocks)
            self.blocks.append(costs)
            self.barred.append(barred if barred.any() else None)
        return self._known[key]


def _model(solver: Solver, dials: Mapping[str, float]) -> EffortModel:
    """The solver's model with other dials."""
    base = solver.model
    model = EffortModel(
        base.tables,
        replace(base.player, dials=tuple(dials.items())),
        base.grips_of,
        base.unsafe,
        base.pair_points,
    )
    model.times = base.times
    return model


def _builder(solver: Solver, ground: Ground, name: str, names: Sequence[str]) -> TrellisBuilder:
    """What builds blocks with one dial at 1 and the others at 0."""
    builder = TrellisBuilder(_model(solver, {each: float(each == name) for each in names}))
    builder.share_steps(ground.builder)
    return builder


def charges_at_one(tables: EffortTables, notes: int) -> tuple[float, float]:
    """Thousandths that a new grip, and a pitch's other grip, charge a passage with their dial at 1."""
    figures = tables.figures
    share = min(1.0, notes / figures.learning_notes)
    grip = figures.learning_charge_effort * share * tables.shaking.steady_margin_factor
    return MILLI * grip, MILLI * figures.return_charge_effort
