"""The trellis: one column of candidates a note, holding costs on nodes, moving costs on edges.

Costs are integers: thousandths of an effort shifted left, with the tie order in the low bits,
so that of two equal routes the one nearer to the standard grips and the tables wins. Blocks
of edges are shared between places where the same grips meet in the same link.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel, Numbers
from gripway.effort.setting import Link, Setting
from gripway.trellis.path import INF, Block, Cost

TIE_BITS = 24
"""Low bits that hold the tie order; column places are below 100, passages below 100,000 notes."""

Column = tuple[Candidate, ...]

HoldingKey = tuple[object, ...]
"""What the holding costs of a column depend on: the column's identity and parts of a Setting."""


def no_pulse() -> None:
    """Called between two steps of long work by who need not stop it."""


@dataclass(frozen=True, slots=True)
class Trellis:
    """Columns of allowed candidates and their costs (see path.py), one segment without gaps.

    `start` is the index in the passage of the first column.
    """

    start: int
    columns: tuple[Column, ...]
    nodes: tuple[tuple[Cost, ...], ...]
    blocks: tuple[Block, ...]


def effort_of(cost: Cost) -> int:
    """Thousandths of an effort in a cost of the trellis."""
    return int(cost) >> TIE_BITS


class _Costs(dict[int, int]):
    """The cost of so many thousandths of an effort: one object wherever it stands, as few are different."""

    def __missing__(self, milli: int) -> int:
        cost = self[milli] = milli << TIE_BITS
        return cost


_COSTS = _Costs()


class TrellisBuilder:
    """Builds columns and blocks for one effort model and remembers them by what they depend on.

    `pulse` is called whenever new steps are worked out; what it raises stops the work.
    """

    def __init__(self, model: EffortModel) -> None:
        self.model = model
        self._held: dict[HoldingKey, tuple[Column, tuple[Cost, ...]]] = {}
        self._adorned: dict[HoldingKey, tuple[Column, tuple[Cost, ...]]] = {}
        self._partners: dict[int, tuple[frozenset[int], bool]] = {}
        self._steps: dict[tuple[int, int], list[list[Numbers]]] = {}
        self._blocks: dict[tuple[int, int, Link], Block] = {}
        self._columns: dict[tuple[int, tuple[int, ...]], Column] = {}
        self._alive: dict[int, Column] = {}  # keeps the ids above from being used again
        self.pulse: Callable[[], None] = no_pulse

    @property
    def remembered(self) -> int:
        """How many blocks or steps are remembered, whichever are more."""
        return max(len(self._blocks), len(self._steps))

    def forget_places(self) -> None:
        """Forget what was worked out for settings and links, as music has ever more; steps are kept."""
        self._held.clear()
        self._adorned.clear()
        self._blocks.clear()

    def share_moves(self, other: "TrellisBuilder") -> None:
        """Remember together with another builder what moving costs; what holding costs stays apart."""
        self._steps, self._blocks = other._steps, other._blocks
        self._columns, self._alive = other._columns, other._alive

    def share_steps(self, other: "TrellisBuilder") -> None:
        """Remember together with a builder of other preferences what a step is.

        And what steps, or grips of notes without an ornament, cost, where no preference for these differs.
        """
        self._steps, self._columns, self._alive = other._steps, other._columns, other._alive
        self._partners = other._partners
        if self.model.moves_as(other.model):
            self._blocks = other._blocks
        if self.model.holds_as(other.model):
            self._held = other._held

    def column(self, candidates: Column, setting: Setting) -> tuple[Column, tuple[Cost, ...]]:
        """The candidates allowed in this setting, and what holding each costs."""
        key = self._holding_key(candidates, setting)
        known = self._adorned if setting.trill is not None or setting.auxiliaries else self._held
        if key not in known:
            ledgers = [(c, self.model.holding(c, setting)) for c in candidates]
            kept = tuple(c for c, held in ledgers if held is not None)
            costs = tuple((held.total << TIE_BITS) | c.rank for c, held in ledgers if held is not None)
            if setting.from_upper:
                kept = tuple(self.model.entered(c, setting) for c in kept)
                self._alive[id(kept)] = kept
            known[key] = kept if setting.from_upper else self._one(candidates, kept), costs
        return known[key]

    def _holding_key(self, candidates: Column, setting: Setting) -> HoldingKey:
        """A setting without what makes no difference to these candidates."""
        known = self._partners.get(id(candidates))
        if known is None:
            self._alive[id(candidates)] = candidates
            partners = frozenset(pitch for c in candidates for pitch in (*c.partners, c.fundamental) if pitch)
            known = partners, any(c.form or c.thumb_held for c in candidates)
            self._partners[id(candidates)] = known
        partners, near_matters = known
        return (
            id(candidates),
            setting.exposure,
            setting.sustain,
            setting.drift_cents,
            setting.uses,
            setting.neighbours & partners,
            setting.partners & partners,
            setting.alternation,
            setting.near if near_matters or setting.trill or setting.auxiliaries else "",
            setting.trill,
            setting.trill_grip,
            setting.auxiliaries,
            setting.auxiliary_ms,
            setting.from_upper,
        )

    def _one(self, candidates: Column, kept: Column) -> Column:
        """One object for equal columns, so that what is remembered of it serves them all."""
        if len(kept) == len(candidates):
            return candidates
        key = (id(candidates), tuple(c.rank for c in kept))
        return self._columns.setdefault(key, kept)

    def steps(self, before: Column, after: Column) -> list[list[Numbers]]:
        """The step from every candidate of `before` (inner) to every one of `after` (outer)."""
        key = (id(before), id(after))
        if key not in self._steps:
            self.pulse()
            self._alive |= {id(before): before, id(after): after}
            self._steps[key] = [self.model.steps(before, b) for b in after]
        return self._steps[key]

    def block(self, before: Column, after: Column, link: Link) -> Block:
        """Costs of moving from every candidate of `before` to every one of `after`."""
        key = (id(before), id(after), link)
        if key not in self._blocks:
            steps = self.steps(before, after)
            barred = self.model.thumb_effort(link) is None
            rows = [self._row(row, link, barred) for row in steps]
            self._blocks[key] = _kept_only(before, after, rows) if link.kept else rows
        return self._blocks[key]

    def _row(self, steps: list[Numbers], link: Link, barred: bool) -> list[Cost]:
        totals = self.model.moving_totals(steps, link)
        if not barred:
            return [_COSTS[total] for total in totals]
        return [INF if step[2] else _COSTS[total] for step, total in zip(steps, totals, strict=True)]

    def segment(
        self,
        start: int,
        columns: Sequence[Column],
        settings: Sequence[Setting],
        links: Sequence[Link],
    ) -> Trellis:
        """The trellis of the columns from note `start` on; settings and links are the passage's."""
        held = [self.column(column, settings[start + k]) for k, column in enumerate(columns)]
        kept = tuple(column for column, _ in held)
        blocks: list[Block] = [()]
        blocks += [self.block(kept[k - 1], kept[k], links[start + k]) for k in range(1, len(kept))]
        return Trellis(start, kept, tuple(costs for _, costs in held), tuple(blocks))


def _kept_only(before: Column, after: Column, block: list[list[Cost]]) -> Block:
    """The changes of a block in which the grip stays as it is."""
    return [
        [cost if a.grip == b.grip else INF for a, cost in zip(before, row, strict=True)]
        for b, row in zip(after, block, strict=True)
    ]
