"""Fronts and distances counted again: every route of a small passage, one by one, and networkx."""

from collections.abc import Iterator, Sequence
from itertools import product

import networkx as nx
from tests.oracles.recount import charging_of, linked, moved

from gripway.effort.candidate import Candidate
from gripway.effort.setting import settings
from gripway.model.passage import Passage
from gripway.route.solve import Solver

Key = tuple[int, int]


def lean_of(passage: Passage, columns: Sequence[Sequence[Candidate]], route: Sequence[Candidate]) -> int:
    """Sum of |cents| as printed x length in ms, in tenths; unknown counts as the furthest of its note."""
    total = 0
    for note, column, chosen in zip(passage.notes, columns, route, strict=True):
        known = [abs(round(10 * c.tendency.cents)) for c in column if c.tendency.cents is not None]
        cents = chosen.tendency.cents
        size = max(known, default=0) if cents is None else abs(round(10 * cents))
        total += size * max(1, round(note.length_ms))
    return total


class Counted:
    """Every holding and moving of a passage asked one by one, in thousandths, the tuning part apart.

    As questions about whole routes see it: a grip that the normal answer does not use costs besides
    what it charges there by itself.
    """

    def __init__(self, passage: Passage, solver: Solver, columns: list[list[Candidate]]) -> None:
        model, between = solver.model, linked(passage, solver)
        about = settings(passage.notes, tuple(between), solver.tables)
        route = solver.solve(passage)
        self.charging, self.left_out = charging_of(passage, solver), route.charges.left_out
        self.more = more = self.charging.beside([note.candidate for note in route.notes], self.left_out)
        self.held: list[dict[Candidate, tuple[int, int]]] = []
        for k, column in enumerate(columns):
            ledgers = {c: model.holding(c, about[k]) for c in column}
            parts = {c: dict(held.parts) for c, held in ledgers.items() if held is not None}
            self.held.append(
                {
                    c: (more(k, c) + sum(p.values()), more(k, c) + sum(p.values()) - p.get("tuning", 0))
                    for c, p in parts.items()
                }
            )
        self.passage, self.columns = passage, [list(column) for column in self.held]
        self.moved = [
            {(a, b): moved(solver, a, b, between[k]) for a in self.columns[k - 1] for b in self.columns[k]}
            for k in range(1, len(columns))
        ]

    def value(self, route: Sequence[Candidate]) -> tuple[int, int, int] | None:
        """Effort, effort without tuning, lean; None where a change is not allowed."""
        moves = [self.moved[k - 1][route[k - 1], route[k]] for k in range(1, len(route))]
        if any(move is None for move in moves):
            return None
        moved = sum(move.total for move in moves)
        held = [column[c] for column, c in zip(self.held, route, strict=True)]
        full, plain = (moved + sum(each[i] for each in held) for i in (0, 1))
        return full, plain, lean_of(self.passage, self.columns, route)

    def truly(self, route: Sequence[Candidate]) -> int:
        """Effort of an allowed route with its charges as they are, each new grip's once."""
        asides = sum(self.more(k, c) for k, c in enumerate(route))
        return self.value(route)[0] - asides + self.charging.truly(route, self.left_out)

    def routes(self) -> Iterator[tuple[tuple[Candidate, ...], tuple[int, int, int]]]:
        """Every route there is, with its values."""
        for route in product(*self.columns):
            value = self.value(route)
            if value is not None:
                yield route, value

    def least(self, a: int, b: int) -> int:
        """The least a x effort without tuning + b x lean, by networkx."""
        graph = nx.DiGraph()
        for k, column in enumerate(self.columns):
            known = [abs(round(10 * c.tendency.cents)) for c in column if c.tendency.cents is not None]
            for c in column:
                cents = c.tendency.cents
                size = max(known, default=0) if cents is None else abs(round(10 * cents))
                weight = a * self.held[k][c][1] + b * size * max(1, round(self.passage.notes[k].length_ms))
                before = ["start"] if k == 0 else [(k - 1, p) for p in self.columns[k - 1]]
                for node in before:
                    moved = None if k == 0 else self.moved[k - 1][node[1], c]
                    if k == 0 or moved is not None:
                        graph.add_edge(node, (k, c), weight=weight + (a * moved.total if moved else 0))
        for c in self.columns[-1]:
            graph.add_edge((len(self.columns) - 1, c), "end", weight=0)
        return int(nx.dijkstra_path_length(graph, "start", "end"))


def undominated(keys: set[Key]) -> list[Key]:
    """The keys that no other equals or beats in both, by looking at every pair."""
    return sorted(k for k in keys if not any(o != k and o[0] <= k[0] and o[1] <= k[1] for o in keys))


def hull(front: Sequence[Key]) -> list[Key]:
    """The corners of the lower hull of a front, ends included (monotone chain)."""
    kept: list[Key] = []
    for x, y in sorted(front):
        while len(kept) > 1 and _turn(kept[-2], kept[-1], (x, y)) <= 0:
            kept.pop()
        kept.append((x, y))
    return kept


def _turn(a: Key, b: Key, c: Key) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def distance(passage: Passage, one: Sequence[Candidate], other: Sequence[Candidate]) -> int:
    """On how many written notes two routes have other grips, each note the first time it is played."""
    seen: set[str] = set()
    count = 0
    for note, a, b in zip(passage.notes, one, other, strict=True):
        count += note.id not in seen and (a.row_grip, a.kind) != (b.row_grip, b.kind)
        seen.add(note.id)
    return count
