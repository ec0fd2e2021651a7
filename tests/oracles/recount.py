"""A route counted again: its total re-added, and the least total by networkx on the whole graph.

Nothing of the search is used here: no trellis, no block, no pass. The columns are restated from
the rules, each ledger is asked for one by one, and networkx finds the least path.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import networkx as nx

from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link, Setting, links, settings
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.route.solve import Solver

SOURCE, SINK = "source", "sink"
B_FLATS = {70, 82}
RANK_BASE = 10**7
"""Above any sum of ranks in a short passage: of equal efforts the lower ranks win."""


@dataclass(frozen=True)
class Recount:
    """The graph of a passage: nodes (place, candidate), weights effort x RANK_BASE + rank."""

    graph: nx.DiGraph
    columns: list[list[Candidate]]

    def least(self) -> int | None:
        """The least weight from end to end; None when there is no way."""
        try:
            return int(nx.dijkstra_path_length(self.graph, SOURCE, SINK))
        except nx.NetworkXNoPath:
            return None

    def least_milli(self) -> int | None:
        """The least effort in thousandths."""
        least = self.least()
        return None if least is None else least // RANK_BASE

    def through(self) -> list[dict[Candidate, int]]:
        """For every place: the candidates a route can pass, with the least weight through each."""
        to = nx.single_source_dijkstra_path_length(self.graph, SOURCE)
        back = nx.single_source_dijkstra_path_length(self.graph.reverse(copy=False), SINK)
        return [
            {c: int(to[k, c] + back[k, c]) for c in column if (k, c) in to and (k, c) in back}
            for k, column in enumerate(self.columns)
        ]


def columns_of(passage: Passage, solver: Solver) -> list[list[Candidate]]:
    """Every candidate of every note by the stated rule.

    The thumb's place matters when some grip of the passage presses Tb, R1's on a B-flat and beside
    one. A finger the note does not need may stay as a standard grip of a neighbour has it.
    """
    pitches = [note.pitch.number for note in passage.notes]
    thumb = any(row.grip.has("Tb") for pitch in set(pitches) for row in solver.book.usable(pitch))
    columns = []
    for k, pitch in enumerate(pitches):
        beside = frozenset(pitches[max(0, k - 1) : k] + pitches[k + 1 : k + 2])
        lever = bool(B_FLATS & {pitch, *beside})
        columns.append(list(solver.book.column(pitch, thumb, lever, free_grips(pitch, beside, solver))))
    return columns


def free_grips(pitch: int, beside: Iterable[int], solver: Solver) -> tuple[Grip, ...]:
    """Free variants of a pitch's standard grips that differ only where a neighbour's standard grip does.

    Restated touch by touch from the rule: each touch that is more or less than in the table's
    grip is pressed, or not, as in one and the same standard grip of a neighbour.
    """
    near = [set(grip.touches) for other in beside for grip in _standard(other, solver)]
    found = []
    for grip in _standard(pitch, solver):
        own = set(grip.touches)
        for free in solver.book.free_of(pitch, grip):
            changed = own ^ set(free.touches)
            if any(changed <= own ^ other for other in near):
                found.append(free)
    return tuple(dict.fromkeys(found))


def _standard(pitch: int, solver: Solver) -> list[Grip]:
    return [row.grip for row in solver.book.usable(pitch) if row.kind == "standard"]


def recount(passage: Passage, solver: Solver, columns: list[list[Candidate]] | None = None) -> Recount:
    """The whole graph of a passage, every ledger asked for one by one."""
    tables, model = solver.tables, solver.model
    between = links(passage.notes, tables.figures)
    about = settings(passage.notes, between, tables)
    columns = columns or columns_of(passage, solver)
    graph = nx.DiGraph()
    graph.add_nodes_from((SOURCE, SINK))
    held = [_held(column, about[k], solver) for k, column in enumerate(columns)]
    for k, column in enumerate(held):
        for b, weight in column.items():
            if k == 0:
                graph.add_edge(SOURCE, (0, b), weight=weight)
            for a in held[k - 1] if k else ():
                moved = model.moving(model.step(a, b), between[k])
                if moved is not None:
                    graph.add_edge((k - 1, a), (k, b), weight=weight + moved.total * RANK_BASE)
            if k == len(held) - 1:
                graph.add_edge((k, b), SINK, weight=0)
    return Recount(graph, [list(column) for column in held])


def _held(column: list[Candidate], setting: Setting, solver: Solver) -> dict[Candidate, int]:
    ledgers = {c: solver.model.holding(c, setting) for c in column}
    return {c: held.total * RANK_BASE + c.rank for c, held in ledgers.items() if held is not None}


def re_added(route: Route, solver: Solver) -> int:
    """Thousandths of an effort of a route without gaps, from its candidates alone."""
    model, notes = solver.model, route.passage.notes
    between: tuple[Link, ...] = links(notes, solver.tables.figures)
    about = settings(notes, between, solver.tables)
    total = 0
    chosen = [note.candidate for note in route.notes]
    for k, candidate in enumerate(chosen):
        held = model.holding(candidate, about[k])
        total += sum(amount for _, amount in held.parts)
        if k:
            moved = model.moving(model.step(chosen[k - 1], candidate), between[k])
            total += sum(amount for _, amount in moved.parts)
    return total
