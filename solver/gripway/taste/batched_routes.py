"""The routes of a part under many dials at once, as arrays.

A route is a least path; what is charged for notes far apart (new grips, a pitch that returns with another
grip) is put on the notes in rounds: a new grip's charge is shared out over the notes that took it in the
round before, a return is charged where the other note's grip differs. Of all rounds the route that costs
least with its charges counts. This is quick and nearly the route of the search; what is advised is always
decided by the search itself.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gripway.taste.dial_costs import BARRED, DialCosts, Floats

AT_ONCE = 256
"""Dial settings in one pass: their costs of a block stay in the processor's cache."""

BOTH, EARLIER, LATER = "both", "earlier", "later"
SIDES = (BOTH, BOTH, EARLIER, EARLIER, BOTH, LATER, LATER)
"""What a note of a pitch that returns is held to in each round: its neighbours' grips of the round before on
both sides, or on one (which carries a grip along a chain of returns)."""


def rows_under(costs: DialCosts, dials: Floats) -> NDArray[np.int64]:
    """The row of the tables (its touches) that every column gets, axes (column, setting).

    `dials` has the axes (setting, dial), in the order of `costs.dials`.
    """
    found = [_Batch(costs, dials[at : at + AT_ONCE]).rows() for at in range(0, len(dials), AT_ONCE)]
    return np.concatenate(found, axis=1)


@dataclass
class _Batch:
    """One pass: settings in `dials`, axes (setting, dial)."""

    costs: DialCosts
    dials: Floats

    def __post_init__(self) -> None:
        costs, turned = self.costs, np.ascontiguousarray(self.dials.T)
        self.size = len(self.dials)
        learning = turned[costs.dials.index("learning")]
        self.grip_charge, self.return_charge = learning * costs.grip_milli, learning * costs.return_milli
        self.held = [(c.held @ turned + c.fixed[:, None]).astype(np.float32) for c in costs.columns]
        self.blocks = [
            self._block(block, barred, turned)
            for block, barred in zip(costs.blocks, costs.barred, strict=True)
        ]
        self.every = np.arange(self.size)
        self.own_keys = [sorted({*column.keys.tolist()} - {-1}) for column in costs.columns]
        pitches = [pitch for pitch, _ in costs.keys]
        by_pitch = [
            [k for k, other in enumerate(pitches) if other == pitch] for pitch in dict.fromkeys(pitches)
        ]
        self.same_pitch = [np.array(same) for same in by_pitch if len(same) > 1]

    @staticmethod
    def _block(block: Floats, barred: NDArray[np.bool_] | None, turned: Floats) -> Floats:
        moved = (block @ turned).astype(np.float32)
        if barred is not None:
            moved[barred] = BARRED
        return moved

    def rows(self) -> NDArray[np.int64]:
        """The rows of the best round."""
        off = np.zeros((len(self.costs.keys), self.size), dtype=np.bool_)
        best = np.zeros((len(self.costs.columns), self.size), dtype=np.int64)
        last: NDArray[np.int64] | None = None
        least = np.full(self.size, np.inf)
        for side in SIDES if self.costs.keys or self.costs.returns else SIDES[:1]:
            extra = self._extra(last, off, side)
            to = self._forward(extra)
            path = self._path(to, extra)
            last = self._rows(path)
            total = self._total(path) + self._charges(path, last)
            best = np.where(total < least, last, best)
            least = np.minimum(total, least)
            if side != LATER and self.costs.keys:
                off |= self._weak(self._gains(to, extra), off)
        return best

    def _total(self, path: NDArray[np.intp]) -> NDArray[np.float64]:
        """The costs of paths without charges."""
        total = np.zeros(self.size)
        for p, column in enumerate(self.costs.columns):
            total += self.held[p][path[p], self.every]
            if column.into is not None:
                total += self.blocks[column.into][path[p], path[p - 1], self.every]
        return total

    def _charges(self, path: NDArray[np.intp], rows: NDArray[np.int64]) -> NDArray[np.float64]:
        """What paths are charged for new grips and for returns."""
        uses = np.zeros((len(self.costs.keys) + 1, self.size), dtype=np.bool_)
        for p, column in enumerate(self.costs.columns):
            if self.own_keys[p]:
                uses[column.keys[path[p]], self.every] = True  # -1 is the last row, which is cut off
        changed = np.zeros(self.size)
        for a, b in self.costs.returns:
            changed += rows[a] != rows[b]
        charges: NDArray[np.float64] = self.grip_charge * uses[:-1].sum(axis=0) + self.return_charge * changed
        return charges

    def _held(self, p: int, extra: dict[int, Floats]) -> Floats:
        return self.held[p] + extra[p] if p in extra else self.held[p]

    def _forward(self, extra: dict[int, Floats]) -> list[Floats]:
        """Least costs to every node, that included; of each column less the least of them."""
        found: list[Floats] = []
        for p, column in enumerate(self.costs.columns):
            held = self._held(p, extra)
            if column.into is not None:
                held = held + (self.blocks[column.into] + found[-1][None]).min(axis=1)
            found.append(held - held.min(axis=0))  # only differences matter, and small numbers are exact
        return found

    def _path(self, to: list[Floats], extra: dict[int, Floats]) -> NDArray[np.intp]:
        """The nodes of the least paths, axes (column, setting)."""
        columns = self.costs.columns
        path = np.zeros((len(columns), self.size), dtype=np.intp)
        for p in range(len(columns) - 1, -1, -1):
            after = columns[p + 1].into if p + 1 < len(columns) else None
            if after is None:
                path[p] = to[p].argmin(axis=0)
            else:
                into = self.blocks[after][path[p + 1], :, self.every].T
                path[p] = (to[p] + into).argmin(axis=0)
        return path

    def _gains(self, to: list[Floats], extra: dict[int, Floats]) -> Floats:
        """What each new grip saves over all its notes, every other left as it is; axes (key, setting)."""
        columns = self.costs.columns
        gains = np.zeros((len(self.costs.keys), self.size), dtype=np.float32)
        rest = np.zeros_like(to[-1])
        for p in range(len(columns) - 1, -1, -1):
            after = columns[p + 1].into if p + 1 < len(columns) else None
            if after is None:
                rest = np.zeros_like(to[p])
            else:
                behind = rest + self._held(p + 1, extra)
                rest = (self.blocks[after] + behind[:, None]).min(axis=0)
                rest = rest - rest.min(axis=0)
            keys = columns[p].keys
            for key in self.own_keys[p]:
                through, mine = to[p] + rest, keys == key
                if mine.all():
                    gains[key] = BARRED
                else:
                    gains[key] += np.maximum(0, through[~mine].min(axis=0) - through[mine].min(axis=0))
        return gains

    def _weak(self, gains: Floats, off: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """The new grips to go without: those that save too little; of several of a pitch the worst first."""
        weak: NDArray[np.bool_] = (gains < self.grip_charge) & ~off
        for same in self.same_pitch:
            used = np.where(weak[same] & (gains[same] > 0), gains[same], np.inf)
            worst = used.argmin(axis=0)
            keep = (gains[same] > 0) & (np.arange(len(same))[:, None] != worst)
            weak[same] &= ~keep
        return weak

    def _rows(self, path: NDArray[np.intp]) -> NDArray[np.int64]:
        return np.stack([column.rows[path[p]] for p, column in enumerate(self.costs.columns)])

    def _extra(self, rows: NDArray[np.int64] | None, off: NDArray[np.bool_], side: str) -> dict[int, Floats]:
        """What the nodes cost besides: new grips that are off, and other grips than a pitch had nearby."""
        price: Floats = np.zeros((len(off) + 1, self.size), dtype=np.float32)
        price[:-1][off] = BARRED / 100
        extra: dict[int, Floats] = {
            p: price[self.costs.columns[p].keys] for p, keys in enumerate(self.own_keys) if keys
        }
        if rows is None:
            return extra
        for a, b in self.costs.returns:
            for here, there, held_to in ((a, b, LATER), (b, a, EARLIER)):
                own = self.costs.columns[here].rows
                if len(own) > 1 and side in (BOTH, held_to):
                    more = self.return_charge * (own[:, None] != rows[there][None, :])
                    extra[here] = extra[here] + more if here in extra else more
        return extra
