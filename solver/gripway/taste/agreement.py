"""Which marks come out under some dials: about so for many settings at once, exactly for one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gripway.asked.wishes import Wishes
from gripway.model.instrument import Instrument
from gripway.route.ground import Ground, Piece
from gripway.route.solve import Solver
from gripway.taste.batched_routes import rows_under
from gripway.taste.dial_costs import DialCosts, Floats, charges_at_one, dial_costs
from gripway.taste.dial_settings import Dials
from gripway.taste.mark import MarkedPart

Bools = NDArray[np.bool_]

Rows = dict[int, int]
"""The touches of the table's row that a note gets, by its index."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """A note (number of the part, index in it) and the rows (touches) that agree with what it was given."""

    part: int
    index: int
    rows: frozenset[int]


class Agreement:
    """Says of every piece of evidence whether it comes out under some dials.

    Solvers for other dials share candidates and steps with the first one of their flute, so that only what
    depends on dials is worked out again; what was asked once is kept. `dials` are the names in their order.
    """

    def __init__(
        self, parts: Sequence[MarkedPart], evidence: Sequence[Evidence], dials: tuple[str, ...]
    ) -> None:
        self.parts, self.evidence, self.dials = tuple(parts), tuple(evidence), dials
        self._bases: dict[Instrument, Solver] = {}
        self._exact: dict[Dials, Bools] = {}
        self._rows: dict[Dials, tuple[Rows, ...]] = {}
        self._costs: tuple[DialCosts, ...] | None = None
        self._grounds: dict[int, Ground] = {}

    def exact(self, dials: Dials) -> Bools:
        """Which evidence the search gives under these dials, axis (evidence)."""
        if dials not in self._exact:
            rows = self.rows(dials)
            right = [rows[each.part].get(each.index) in each.rows for each in self.evidence]
            self._exact[dials] = np.array(right, dtype=np.bool_)
        return self._exact[dials]

    def rows(self, dials: Dials) -> tuple[Rows, ...]:
        """What every note gets under these dials, part by part; nothing where it has no grip."""
        if dials not in self._rows:
            self._rows[dials] = tuple(self._searched(number, dials) for number in range(len(self.parts)))
        return self._rows[dials]

    def quick(self, settings: Floats) -> Bools:
        """About the same for many settings, axes (setting, evidence)."""
        if self._costs is None:
            self._costs = tuple(map(self._apart, range(len(self.parts))))
        found = np.zeros((len(settings), len(self.evidence)), dtype=np.bool_)
        for number, costs in enumerate(self._costs):
            rows = rows_under(costs, settings)
            column = {each.index: p for p, each in enumerate(costs.columns)}
            for k, each in enumerate(self.evidence):
                if each.part == number and each.index in column:
                    found[:, k] = np.isin(rows[column[each.index]], list(each.rows))
        return found

    def _base(self, number: int) -> tuple[Solver, Ground]:
        """The solver of a part's flute and what it found with the player's own dials."""
        part = self.parts[number]
        flute, player = part.knowledge.instrument, part.knowledge.player
        if flute not in self._bases:
            self._bases[flute] = Solver(part.knowledge)
        solver = self._bases[flute]
        if number not in self._grounds:
            self._grounds[number] = solver.ground(part.passage, Wishes(player=player, others=0))
        return solver, self._grounds[number]

    def _searched(self, number: int, dials: Dials) -> Rows:
        """What a part gets under these dials: columns, settings and links are as with any others."""
        part, (base, ground) = self.parts[number], self._base(number)
        player = replace(part.knowledge.player, dials=tuple(zip(self.dials, dials, strict=True)))
        solver = Solver(replace(part.knowledge, player=player), dialled=base)
        wishes = Wishes(player=player, others=0)
        builder = solver.builder(wishes)
        trellises = []
        for start, length in ((piece.trellis.start, len(piece.path)) for piece in ground.pieces):
            columns = [each.candidates for each in ground.columns[start : start + length]]
            trellises.append(builder.segment(start, columns, ground.settings, ground.links))
        return _rows(solver.pieces(part.passage.notes, trellises, ground.links, wishes)[0])

    def _apart(self, number: int) -> DialCosts:
        solver, ground = self._base(number)
        notes = len(self.parts[number].passage.notes)
        return dial_costs(solver, ground, *charges_at_one(solver.tables, notes))


def _rows(pieces: Sequence[Piece]) -> Rows:
    return {index: grip.row_grip.mask for piece in pieces for index, grip in piece.chosen.items()}
