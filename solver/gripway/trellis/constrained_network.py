"""A passage under whole-passage limits, as numbers: one trellis over all its stretches, and what is counted.

Costs are those of the trellis without their tie order: thousandths of an effort shifted left by
TIE_BITS, so that multipliers have room below a thousandth and every bound is a whole number.
Gaps do not part a network: the change over a gap costs nothing, and limits bind across it.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TypeVar

from gripway.trellis.path import INF, Block, Cost, each_once, path_cost
from gripway.trellis.trellis import TIE_BITS, Column, effort_of

One = TypeVar("One")

STEP = 1 << TIE_BITS
"""One thousandth of an effort in the costs of a network."""

Key = tuple[int, int]
"""A grip somebody must learn: pitch and touches (the grip of the table's row)."""


@dataclass(frozen=True, slots=True)
class Budgets:
    """The sums asked for: unusual grips, tenths of a cent, new grips; None where no limit is."""

    unusual: int | None = None
    tenths: int | None = None
    learnt: int | None = None

    @property
    def above_nothing(self) -> "Budgets":
        """The same without the sums of which nothing may be used."""
        return Budgets(self.unusual or None, self.tenths or None, self.learnt or None)


@dataclass(frozen=True, slots=True)
class Counted:
    """What each candidate of a column counts for: unusual 0 or 1, tenths of a cent, grip, new grip, row.

    `rows` are the touches of the grip of the tables a candidate comes from, whatever fingers it holds.
    """

    unusual: tuple[int, ...]
    tenths: tuple[int, ...]
    grips: tuple[int, ...]
    new: tuple[Key | None, ...]
    rows: tuple[int, ...]

    def only(self, keep: Sequence[int]) -> "Counted":
        """The same of some candidates."""
        if len(keep) == len(self.new):
            return self
        return Counted(
            tuple(self.unusual[k] for k in keep),
            tuple(self.tenths[k] for k in keep),
            tuple(self.grips[k] for k in keep),
            tuple(self.new[k] for k in keep),
            tuple(self.rows[k] for k in keep),
        )


@dataclass(frozen=True, slots=True)
class ConstrainedNetwork:
    """Columns of all notes with grips, their costs, what they count for, and the limits.

    `places` are the notes' indices in the passage, `ids` the places of the nodes in the first
    network (a network may be a part of another), `figures` the columns that must share one grip of the
    tables, whatever fingers stay down.
    `charge_milli` is what a route pays once for every new grip (key of `counted.new`) it uses;
    `returns` are pairs of columns (earlier, later) of one pitch, for each of which a route pays
    `return_milli` when their grips come from different rows of the tables; a column is the earlier one of one
    pair at most, and the later one of one at most.
    """

    columns: tuple[Column, ...]
    places: tuple[int, ...]
    nodes: tuple[tuple[Cost, ...], ...]
    blocks: tuple[Block, ...]
    counted: tuple[Counted, ...]
    figures: tuple[tuple[int, ...], ...] = ()
    budgets: Budgets = Budgets()
    ids: tuple[tuple[int, ...], ...] = ()
    charge_milli: int = 0
    returns: tuple[tuple[int, int], ...] = ()
    return_milli: int = 0

    def only(self, keep: Sequence[Sequence[int]]) -> "ConstrainedNetwork":
        """The network with some nodes of every column; the others are taken out.

        What was one object stays one, so that what is worked out of it serves all its places.
        """
        kept = [tuple(column) for column in keep]
        less = [
            p
            for p, (column, all_of_it) in enumerate(zip(kept, self.nodes, strict=True))
            if len(column) != len(all_of_it)
        ]
        blocks = list(self.blocks)
        known: dict[tuple[int, tuple[int, ...], tuple[int, ...]], Block] = {}
        for p in sorted({*less, *(p + 1 for p in less)}):
            if 0 < p < len(kept):
                before, after, block = kept[p - 1], kept[p], blocks[p]
                key = id(block), before, after
                if key not in known:
                    known[key] = [[row[j] for j in before] for row in [block[k] for k in after]]
                blocks[p] = known[key]
        return replace(
            self,
            columns=_cut(self.columns, kept, less, _some),
            nodes=_cut(self.nodes, kept, less, _some),
            blocks=((), *blocks[1:]),
            counted=_cut(self.counted, kept, less, Counted.only),
            ids=_cut(self.ids, kept, less, _some),
        )

    def without(self, keys: Collection[Key | None]) -> list[list[int]]:
        """The nodes without these new grips; nothing where a column would be left empty."""
        return self._places(lambda key: key not in keys)

    def learning(self, keys: Collection[Key | None]) -> list[list[int]]:
        """The nodes with no other new grips than these; nothing where a column would be left empty."""
        return self._places(lambda key: key is None or key in keys)

    def elsewhere(self, keys: Collection[Key | None]) -> list[list[int]]:
        """The nodes without these new grips; a column that has no others, of a pinned note, keeps its own."""
        return each_once(
            self.counted,
            lambda counted: (
                [k for k, key in enumerate(counted.new) if key not in keys] or [*range(len(counted.new))]
            ),
        )

    def _places(self, allowed: Callable[[Key | None], bool]) -> list[list[int]]:
        keep = each_once(
            self.counted, lambda counted: [k for k, key in enumerate(counted.new) if allowed(key)]
        )
        return keep if all(keep) else []

    def cost(self, path: Sequence[int]) -> Cost:
        """The cost of a path; INF where it makes a change that is not allowed."""
        return path_cost(self.nodes, self.blocks, path)

    def charged_cost(self, path: Sequence[int]) -> Cost:
        """The cost of a path with all its charges."""
        return self.cost(path) + self.charges_milli(path) * STEP

    def milli(self, path: Sequence[int]) -> int:
        """Thousandths of an effort of an allowed path: preferences of rules and all charges included."""
        return effort_of(self.charged_cost(path))

    def charges_milli(self, path: Sequence[int]) -> int:
        """Thousandths of an effort a path pays for its new grips, and for pitches that change their grip."""
        learnt = len(self.learnt(path)) * self.charge_milli if self.charge_milli else 0
        return learnt + self.return_milli * len(self.changed(path))

    @property
    def same_charges(self) -> bool:
        """Whether every path pays the same charges: each column has grips of one row, new or not."""
        columns = {id(counted): counted for counted in self.counted}.values()
        return all(len(set(counted.new)) == len(set(counted.rows)) == 1 for counted in columns)

    def changed(self, path: Sequence[int]) -> list[tuple[int, int]]:
        """The pairs of columns in which a path has one pitch with grips of different rows."""
        if not self.returns:
            return []
        rows = [counted.rows[k] for counted, k in zip(self.counted, path, strict=True)]
        return [(p, q) for p, q in self.returns if rows[p] != rows[q]]

    def learnt(self, path: Sequence[int]) -> frozenset[Key]:
        """The new grips a path uses."""
        return frozenset(
            new for counted, k in zip(self.counted, path, strict=True) if (new := counted.new[k]) is not None
        )

    def used(self, path: Sequence[int]) -> "Budgets":
        """What a path uses of every budget, asked for or not."""
        chosen = list(zip(self.counted, path, strict=True))
        return Budgets(
            sum(counted.unusual[k] for counted, k in chosen),
            sum(counted.tenths[k] for counted, k in chosen),
            len(self.learnt(path)),
        )

    def broken_figures(self, path: Sequence[int]) -> list[tuple[int, ...]]:
        """The figures whose notes a path gives different grips of the tables."""
        return [figure for figure in self.figures if len({self.counted[p].rows[path[p]] for p in figure}) > 1]

    def keeps(self, path: Sequence[int]) -> bool:
        """Whether a path keeps every limit."""
        used, asked = self.used(path), self.budgets
        pairs = (
            (used.unusual, asked.unusual),
            (used.tenths, asked.tenths),
            (used.learnt, asked.learnt),
        )
        within = all(most is None or (has is not None and has <= most) for has, most in pairs)
        return within and not self.broken_figures(path)


@cache
def every_place(size: int) -> tuple[int, ...]:
    """All places of a column of a size: one object for all columns."""
    return tuple(range(size))


def without_ties(costs: Sequence[Cost]) -> tuple[Cost, ...]:
    """Costs of nodes with their tie order cleared."""
    return tuple(cost if cost == INF else (int(cost) >> TIE_BITS) << TIE_BITS for cost in costs)


def milli_at_least(bound: Cost) -> int:
    """The least whole number of thousandths a cost above this bound can have."""
    return -(-int(bound) // STEP)


def _some(column: tuple[One, ...], keep: tuple[int, ...]) -> tuple[One, ...]:
    return tuple([column[k] for k in keep])


def _cut(
    whole: Sequence[One],
    kept: Sequence[tuple[int, ...]],
    less: Sequence[int],
    only: Callable[[One, tuple[int, ...]], One],
) -> tuple[One, ...]:
    """What is kept of each column, `less` than all of these; columns that were one object stay one."""
    known: dict[tuple[int, tuple[int, ...]], One] = {}
    found = list(whole)
    for p in less:
        key = id(found[p]), kept[p]
        some = known.get(key)
        if some is None:
            some = known[key] = only(found[p], kept[p])
        found[p] = some
    return tuple(found)
