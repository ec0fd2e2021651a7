"""A route counted again: its total re-added, and the least total by networkx on the whole graph.

Nothing of the search is used here: no trellis, no block, no pass, no network. The columns, the links and
the charges are restated from the rules, each ledger is asked for one by one, and networkx finds the least
path; with charges every route that could still be the least is followed from note to note.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import networkx as nx

from gripway.charges.charges_paid import Learnt
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import Ledger
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


def linked(passage: Passage, solver: Solver, asked: Iterable[int] = ()) -> list[Link]:
    """The links with what single changes do not show, restated from the rules.

    Fresh are the fingers that the plain grips of the two notes before move, where no rest parts these; a
    repeated note keeps its grip unless somebody asked for a grip of one of the two.
    """
    pitches = [note.pitch.number for note in passage.notes]
    plain = [solver.book.standard_row(pitch) for pitch in pitches]
    lacks = solver.knowledge.instrument.mechanism.missing
    places = [
        solver.book.plain(row).position.places if row and not lacks(row.grip) else None for row in plain
    ]
    between = list(links(passage.notes, solver.tables.figures))
    for k in range(1, len(pitches)):
        fresh, asked_here = 0, {k - 1, k} & set(asked)
        one, other = passage.notes[max(0, k - 2)], passage.notes[k - 1]
        if k > 1 and places[k - 2] and places[k - 1] and one.onset + one.length >= other.onset:
            for finger, (x, y) in enumerate(zip(places[k - 2], places[k - 1], strict=True)):
                fresh |= (x != y and (_down(x) or _down(y))) << finger
        kept = pitches[k] == pitches[k - 1] and not asked_here
        between[k] = replace(between[k], fresh=fresh, kept=kept)
    return between


def _down(place: str) -> bool:
    return place != "" and not place.startswith("-")


def moved(solver: Solver, a: Candidate, b: Candidate, link: Link) -> Ledger | None:
    """The ledger of a change; None where it is not allowed, as where a repeated note must keep its grip."""
    return None if link.kept and a.grip != b.grip else solver.model.moving(solver.model.step(a, b), link)


Beside = Callable[[int, Candidate], int]
"""Thousandths that a candidate of a place costs besides its ledger."""


def recount(
    passage: Passage,
    solver: Solver,
    columns: Sequence[Sequence[Candidate]] | None = None,
    asked: Iterable[int] = (),
    beside: Beside = lambda _place, _candidate: 0,
) -> Recount:
    """The whole graph of a passage, every ledger asked for one by one; charges only where `beside` says."""
    between = linked(passage, solver, asked)
    about = settings(passage.notes, tuple(between), solver.tables)
    held = [
        {c: w + beside(k, c) * RANK_BASE for c, w in _held(column, about[k], solver).items()}
        for k, column in enumerate(columns or columns_of(passage, solver))
    ]
    graph = nx.DiGraph()
    graph.add_nodes_from((SOURCE, SINK))
    graph.add_edges_from((SOURCE, (0, b), {"weight": weight}) for b, weight in held[0].items())
    for k in range(1, len(held)):
        edges = _edges(k, held, between[k], solver)
        if between[k].kept and not any(graph.has_node(start) for start, _, _ in edges):
            edges = _edges(k, held, replace(between[k], kept=False), solver)
        graph.add_edges_from(edges)
    graph.add_edges_from(((len(held) - 1, b), SINK, {"weight": 0}) for b in held[-1])
    return Recount(graph, [list(column) for column in held])


Edge = tuple[tuple[int, Candidate], tuple[int, Candidate], dict[str, int]]


def _edges(k: int, held: list[dict[Candidate, int]], link: Link, solver: Solver) -> list[Edge]:
    ledgers = ((a, b, moved(solver, a, b, link)) for b in held[k] for a in held[k - 1])
    return [
        ((k - 1, a), (k, b), {"weight": held[k][b] + found.total * RANK_BASE})
        for a, b, found in ledgers
        if found is not None
    ]


def _held(column: Sequence[Candidate], setting: Setting, solver: Solver) -> dict[Candidate, int]:
    ledgers = {c: solver.model.holding(c, setting) for c in column}
    return {c: held.total * RANK_BASE + c.rank for c, held in ledgers.items() if held is not None}


@dataclass(frozen=True)
class Charging:
    """What a passage charges: thousandths for a new grip and for a return, and which notes return."""

    grip_milli: int
    return_milli: int
    returns: tuple[tuple[int, int], ...]

    def milli(self, chosen: Sequence[Candidate | None]) -> int:
        """All charges of a route; gaps (None) charge nothing."""
        learnt = {key for key in map(new_grip, chosen) if key}
        pairs = [(chosen[a], chosen[b]) for a, b in self.returns]
        changed = sum(row_of(a) != row_of(b) for a, b in pairs if a and b)
        return self.grip_milli * len(learnt) + self.return_milli * changed

    def surcharge(self, key: object, left_out: Iterable[Learnt]) -> int:
        """What a grip left out as unsteady costs more than a new grip's charge: as much as it would save."""
        return sum(
            max(0, (g.saves_milli or 0) - self.grip_milli) for g in left_out if (g.pitch, g.grip) == key
        )

    def truly(self, chosen: Sequence[Candidate], left_out: Iterable[Learnt] = ()) -> int:
        """All charges of a route, those of grips left out as unsteady with what they would have saved."""
        used = {key for key in map(new_grip, chosen) if key}
        return self.milli(chosen) + sum(self.surcharge(key, left_out) for key in used)

    def beside(self, chosen: Sequence[Candidate | None], left_out: Iterable[Learnt] = ()) -> Beside:
        """What another candidate charges as seen from a route: a new grip at every note that takes it.

        A return charges where the route has the same grip at both its notes; where it has not, nothing.
        """
        learnt, unsteady = {key for key in map(new_grip, chosen) if key}, list(left_out)

        def more(place: int, candidate: Candidate) -> int:
            key = new_grip(candidate)
            new = key is not None and key not in learnt
            total = self.grip_milli + self.surcharge(key, unsteady) if new else 0
            for pair in self.returns:
                here, there = chosen[place], chosen[sum(pair) - place] if place in pair else None
                if here and there and row_of(here) == row_of(there):
                    total += self.return_milli * (row_of(candidate) != row_of(there))
            return total

        return more


def new_grip(candidate: Candidate | None) -> tuple[int, Grip] | None:
    """The grip a player has to learn for a candidate: none for standard grips, B-flats and known ones."""
    if candidate is None or candidate.usual or candidate.case == "standard":
        return None
    return candidate.pitch, candidate.row_grip


def row_of(candidate: Candidate) -> Grip:
    """The grip of the tables, whatever fingers stay down besides."""
    return candidate.row_grip


def charging_of(passage: Passage, solver: Solver) -> Charging:
    """The charges of a passage, restated from the tables and the player's dials."""
    figures, notes = solver.tables.figures, passage.notes
    share = min(1.0, len(notes) / figures.learning_notes)
    pairs: list[tuple[int, int]] = []
    for b, note in enumerate(notes):
        before = [a for a in range(b) if notes[a].pitch.number == note.pitch.number]
        if not before or len(_standard(note.pitch.number, solver)) > 1:
            continue  # a pitch with two plain grips takes one held and one in passing
        tremolo = any(n.ornament and n.ornament.kind == "tremolo" for n in (note, notes[before[-1]]))
        if not tremolo and 1 < b - before[-1] <= figures.return_near_notes:
            pairs.append((before[-1], b))
    return Charging(
        round(1000 * solver.model.dials["learning"] * figures.learning_charge_effort * share),
        round(1000 * solver.model.dials["return"] * figures.return_charge_effort),
        tuple(pairs),
    )


def least_charged(
    graph: Recount, charging: Charging, most: int, left_out: Iterable[object] = ()
) -> int | None:
    """The least weight of a route with its charges, at most `most` thousandths; None when there is none.

    Every route is followed note by note, together with the grips it has learnt and the rows its pitches
    had, as long as the least way on (without charges) keeps it within `most`. `left_out` are new grips
    that may not be used.
    """
    rest = nx.single_source_dijkstra_path_length(graph.graph.reverse(copy=False), SINK)
    closes, barred = {b: a for a, b in charging.returns}, set(left_out)
    states: dict[object, int] = {(SOURCE, frozenset(), ()): 0}
    for k in range(len(graph.columns)):
        after: dict[object, int] = {}
        for (node, learnt, rows), weight in states.items():
            for target, data in graph.graph[node].items():
                key = new_grip(target[1])
                if key in barred or target not in rest:
                    continue
                cost = weight + data["weight"]
                row, seen = row_of(target[1]), dict(rows)
                if key is not None and key not in learnt:
                    cost += charging.grip_milli * RANK_BASE
                if k in closes:
                    cost += charging.return_milli * RANK_BASE * (seen.pop(closes[k]) != row)
                if any(a == k for a, _ in charging.returns):
                    seen[k] = row
                state = (
                    target,
                    learnt | {key} if key else learnt,
                    tuple(sorted(seen.items(), key=lambda item: item[0])),
                )
                within = cost + rest[target] <= (most + 1) * RANK_BASE
                if within and cost < after.get(state, cost + 1):
                    after[state] = cost
        states = after
    return min(states.values(), default=None)


def re_added(route: Route, solver: Solver, asked: Iterable[int] = ()) -> int:
    """Thousandths of an effort of a route, from its candidates alone: every ledger, and all charges.

    Charges only where the route says that it has any; over a gap nothing moves.
    """
    passage, model = route.passage, solver.model
    between = linked(passage, solver, asked)
    about = settings(passage.notes, tuple(between), solver.tables)
    total = 0
    chosen = [note.candidate for note in route.notes]
    for k, candidate in enumerate(chosen):
        if candidate is None:
            continue
        held = model.holding(candidate, about[k])
        total += sum(amount for _, amount in held.parts)
        before = chosen[k - 1] if k else None
        if before is not None:
            ledger = model.moving(model.step(before, candidate), between[k])
            total += sum(amount for _, amount in ledger.parts)
    return total + (charging_of(passage, solver).milli(chosen) if route.charges else 0)
