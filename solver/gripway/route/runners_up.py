"""Runners-up and reasons: the best route through every other grip of every note.

One pass forward and one backward give, for every node, the least effort of a route through
it; the difference to the best route is what that grip would cost. For a note whose grip is
not standard the route through its standard grip is traced, and the terms that differ say why.
"""

from collections import Counter

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.grip import Grip
from gripway.route.ground import Ground, Piece
from gripway.route.result import Other
from gripway.route.words.reasons import why_no_standard, why_other_than_standard, why_standard
from gripway.trellis.path import INF, Cost, backward, following, forward, path_cost, previous
from gripway.trellis.trellis import effort_of

NOTHING: tuple[tuple[Other, ...], str] = ((), "")
"""No other grips and no reason: what is said of a note nobody asks about."""


class Explainer:
    """Everything the reasons of one stretch with its chosen path need, note by note."""

    def __init__(self, piece: Piece, ground: Ground) -> None:
        trellis, path = piece.shown, piece.path
        self.trellis, self.path = trellis, path
        self.costs = forward(trellis.nodes, trellis.blocks)
        self.rest = backward(trellis.nodes, trellis.blocks)
        self.builder, self.about, self.between = ground.builder, ground.settings, ground.links
        self.best = path_cost(trellis.nodes, trellis.blocks, path)
        self._parts: dict[tuple[int, ...], dict[str, int]] = {}
        self._others: dict[tuple[int, float], Other] = {}

    def note(self, place: int, most: int) -> tuple[tuple[Other, ...], str]:
        """Other grips of one note, nearest first, and why the chosen one was chosen."""
        through = self._through(place)
        others = self._ranked(place, through, most)
        return others, self._why(place, others, through)

    def beside(self, place: int, grip: Grip) -> tuple[Candidate | None, Candidate | None]:
        """The grips before and after a note on the best route through a grip of it; None without that."""
        column, through = self.trellis.columns[place], self._through(place)
        nodes = [k for k, candidate in enumerate(column) if candidate.grip == grip and through[k] != INF]
        if not nodes:
            return None, None
        node = min(nodes, key=lambda k: (through[k], k))
        around = {**self._before(place, node), **self._after(place, node)}
        columns = self.trellis.columns
        before, after = (columns[k][around[k]] if k in around else None for k in (place - 1, place + 1))
        return before, after

    def _through(self, place: int) -> list[Cost]:
        """Cost of the best route through every node of a column."""
        return [a + b for a, b in zip(self.costs[place], self.rest[place], strict=True)]

    def _ranked(self, place: int, through: list[Cost], most: int) -> tuple[Other, ...]:
        column, chosen = self.trellis.columns[place], self.path[place]
        nearest: dict[int, tuple[Cost, int]] = {}
        for k, (candidate, cost) in enumerate(zip(column, through, strict=True)):
            known = nearest.get(candidate.grip.mask)
            if cost != INF and (known is None or cost < known[0]):
                nearest[candidate.grip.mask] = (cost, k)
        nearest.pop(column[chosen].grip.mask, None)
        return tuple(
            [self._other(column[k], self._more(cost)) for cost, k in sorted(nearest.values())[:most]]
        )

    def _other(self, candidate: Candidate, more: float) -> Other:
        """One object for equal ones: a long part has many."""
        key = (id(candidate), more)
        if key not in self._others:
            self._others[key] = Other(candidate, more)
        return self._others[key]

    def _more(self, cost: Cost) -> float:
        """Effort that a cost is above the chosen path's; the tie order in their low bits is left out.

        Never below 0: two changes of grip at once can look better from here than they are.
        """
        return max(0, effort_of(cost) - effort_of(self.best)) / MILLI

    def _why(self, place: int, others: tuple[Other, ...], through: list[Cost]) -> str:
        column, chosen = self.trellis.columns[place], self.path[place]
        candidate = column[chosen]
        if candidate.kind == "standard":
            return why_standard(candidate, others)
        standards = [k for k, c in enumerate(column) if c.kind == "standard" and through[k] != INF]
        if not standards:
            return why_no_standard(column)
        standard = min(standards, key=lambda k: (through[k], k))
        more = self._more(through[standard])
        return why_other_than_standard(
            candidate, column[standard], more, self._difference(place, standard), self.builder.model.unit
        )

    def _difference(self, place: int, node: int) -> Counter[str]:
        """Thousandths of effort, term by term, that the route through `node` has more."""
        detour = {place: node, **self._before(place, node), **self._after(place, node)}
        first, last = min(detour), max(detour)
        usual = {k: self.path[k] for k in range(first, last + 1)}
        difference = self._terms(detour, first, last)
        difference.subtract(self._terms(usual, first, last))
        return difference

    def _before(self, place: int, node: int) -> dict[int, int]:
        """The nodes before `node` on its best route, back to where that joins the chosen path."""
        nodes, blocks, found = self.trellis.nodes, self.trellis.blocks, {}
        while place > 0:
            node = previous(self.costs, nodes, blocks, node, place)
            place -= 1
            found[place] = node
            if node == self.path[place]:
                break
        return found

    def _after(self, place: int, node: int) -> dict[int, int]:
        """The nodes after `node` on its best route, on to where that joins the chosen path."""
        nodes, blocks, found = self.trellis.nodes, self.trellis.blocks, {}
        while place < len(self.path) - 1:
            node = following(self.rest, nodes, blocks, node, place)
            place += 1
            found[place] = node
            if node == self.path[place]:
                break
        return found

    def _terms(self, path: dict[int, int], first: int, last: int) -> Counter[str]:
        """Ledger parts of the notes `first` to `last` and of the changes between them."""
        terms: Counter[str] = Counter()
        for k in range(first, last + 1):
            terms.update(self._part((k, path[k])))
            if k > first:
                terms.update(self._part((k, path[k - 1], path[k])))
        return terms

    def _part(self, key: tuple[int, ...]) -> dict[str, int]:
        """Parts of holding (place, node), or of the change into it (place, node before, node)."""
        if key not in self._parts:
            self._parts[key] = self._held(*key) if len(key) == 2 else self._moved(*key)
        return self._parts[key]

    def _held(self, place: int, node: int) -> dict[str, int]:
        """Parts of holding a node's grip, and what it would charge besides."""
        candidate, setting = self.trellis.columns[place][node], self.about[self.trellis.start + place]
        held = self.builder.model.holding(candidate, setting)
        if held is None:
            return {}
        charges = effort_of(self.trellis.nodes[place][node]) - held.total
        return {**dict(held.parts), "charges": charges} if charges else dict(held.parts)

    def _moved(self, place: int, before: int, after: int) -> dict[str, int]:
        """Parts of the change from a node of the column before to one of column `place`."""
        columns, model = self.trellis.columns, self.builder.model
        step = model.step(columns[place - 1][before], columns[place][after])
        moved = model.moving(step, self.between[self.trellis.start + place])
        return dict(moved.parts) if moved else {}
