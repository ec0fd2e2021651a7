"""The same passage again with other pins and bans: only what the change touches is worked out anew.

The route with its charges is searched anew, since a pin can make a grip worth learning everywhere. The
costs that runners-up are read from differ from those kept by one number only a few notes from a pin,
which no choice depends on: from there on they are shifted. What other grips add stays as it was where
the route has become dearer by that number too. A note's grip, reason and runners-up are
rebuilt where its costs, its column or anything on its detours changed.

The route is the one `Solver.solve` gives, note for note.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gripway.asked.wishes import Wishes
from gripway.effort.setting import Link, Setting
from gripway.model.passage import Passage
from gripway.route.played_ornaments import with_tremolos
from gripway.route.result import Other, Route, RouteChange, RouteNote
from gripway.route.runners_up import Explainer
from gripway.route.solve import Ground, Piece, Solver, charges_of
from gripway.trellis.path import Cost, backward, forward, path_cost
from gripway.trellis.repaired_path_costs import renewed_backward, renewed_forward, shifted
from gripway.trellis.trellis import Trellis, TrellisBuilder, no_pulse

Vectors = list[list[Cost]]
Span = tuple[int, int]


@dataclass(slots=True)
class KeptStretch:
    """A stretch of notes as it was solved last: costs both ways, the path, and each note's answer.

    `spans` are the first and last places that the reason of a note looked at.
    """

    trellis: Trellis
    forward: Vectors
    backward: Vectors
    path: tuple[int, ...]
    notes: list[RouteNote]
    spans: list[Span]

    @property
    def shape(self) -> tuple[int, int]:
        """Where it starts and how long it is."""
        return self.trellis.start, len(self.trellis.columns)


class Resolving:
    """One passage that is asked for again and again on one flute, for one player.

    The player's own bans, found grips and what to minimise stay; pins and bans of the wishes change.
    """

    def __init__(self, passage: Passage) -> None:
        self.passage = passage
        self._solver: Solver | None = None
        self._kept: list[KeptStretch] = []
        self._raw: tuple[RouteNote, ...] = ()
        self._changes: dict[int, RouteChange] = {}
        self._between: tuple[Link, ...] = ()
        self._about: tuple[Setting, ...] = ()
        self._others = 0
        self._last: tuple[Wishes, Route] | None = None
        self._pulse: Callable[[], None] = no_pulse

    def route(self, solver: Solver, wishes: Wishes, pulse: Callable[[], None] = no_pulse) -> Route:
        """The route under these wishes. Raises RequestError for pins that cannot hold.

        `solver` has the bans; another one than last time must share its learning with that
        (`Solver(knowledge, beside)`). `pulse` is called at every note that is worked out; what it raises
        stops the work, and what was kept stays as it was.
        """
        if self._last is not None and solver is self._solver and wishes == self._last[0]:
            return self._last[1]
        self._pulse = pulse
        solver.pulse(pulse)
        ground = solver.ground(self.passage, wishes)
        if self._others != wishes.others:
            self._kept, self._others = [], wishes.others
        self._about, before = ground.settings, self._between
        self._between = ground.links
        rebuild_ornaments = solver is not self._solver
        kept = self._renewed(solver, ground, wishes, rebuild_ornaments)
        self._kept, self._solver = kept, solver
        if before != self._between:
            self._raw = ()
        route = self._assembled(solver, ground)
        self._last = wishes, route
        return route

    def others(self, index: int, most: int) -> tuple[Other, ...]:
        """The other grips of a note of the route asked for last, nearest first: up to `most`."""
        solver = self._solver
        for kept in self._kept:
            place = index - kept.trellis.start
            if solver is not None and 0 <= place < len(kept.path):
                builder = solver._builders[False]
                explain = Explainer(
                    kept.trellis, kept.path, kept.forward, kept.backward, builder, self._about, self._between
                )
                return explain.others(place, most)
        return ()

    def _renewed(
        self, solver: Solver, ground: Ground, wishes: Wishes, rebuild_ornaments: bool
    ) -> list[KeptStretch]:
        """Every stretch, from what was kept where it has the same notes."""
        known = {kept.shape: kept for kept in self._kept}
        result = []
        for piece in ground.pieces:
            kept = known.get((piece.shown.start, len(piece.path)))
            if kept is None:
                result.append(self._new(solver, piece, ground.builder, wishes))
            else:
                result.append(self._partly(solver, kept, piece, ground.builder, wishes, rebuild_ornaments))
        return result

    def _new(self, solver: Solver, piece: Piece, builder: TrellisBuilder, wishes: Wishes) -> KeptStretch:
        """A stretch worked out whole."""
        trellis = piece.shown
        costs, rest = forward(trellis.nodes, trellis.blocks), backward(trellis.nodes, trellis.blocks)
        explain = Explainer(trellis, piece.path, costs, rest, builder, self._about, self._between)
        places = range(len(piece.path))
        notes = [self._note(solver, explain, place, wishes.others) for place in places]
        return KeptStretch(trellis, costs, rest, piece.path, notes, [explain.span(place) for place in places])

    def _partly(
        self,
        solver: Solver,
        kept: KeptStretch,
        piece: Piece,
        builder: TrellisBuilder,
        wishes: Wishes,
        rebuild_ornaments: bool,
    ) -> KeptStretch:
        """A stretch of which only the notes that something touched are answered anew."""
        trellis, path = piece.shown, piece.path
        costs = renewed_forward(kept.trellis, kept.forward, trellis)
        rest = renewed_backward(kept.trellis, kept.backward, trellis)
        end = len(trellis.columns) - 1
        explain = Explainer(trellis, path, costs, rest, builder, self._about, self._between)
        dearer = explain.best - path_cost(kept.trellis.nodes, kept.trellis.blocks, kept.path)
        touched = [
            trellis.columns[k] is not kept.trellis.columns[k]
            or trellis.nodes[k] != kept.trellis.nodes[k]
            or trellis.blocks[k] is not kept.trellis.blocks[k]
            or path[k] != kept.path[k]
            or not shifted(costs[k], kept.forward[k], rest[k], kept.backward[k], dearer)
            or (rebuild_ornaments and self.passage.notes[trellis.start + k].ornament is not None)
            for k in range(end + 1)
        ]
        before = [0]
        for one in touched:
            before.append(before[-1] + one)
        notes, spans = list(kept.notes), list(kept.spans)
        for place, (first, final) in enumerate(kept.spans):
            if before[final + 1] > before[first]:
                notes[place] = self._note(solver, explain, place, wishes.others)
                spans[place] = explain.span(place)
        return KeptStretch(trellis, costs, rest, path, notes, spans)

    def _note(self, solver: Solver, explain: Explainer, place: int, most: int) -> RouteNote:
        self._pulse()
        others, why = explain.note(place, most)
        trellis = explain.trellis
        index = trellis.start + place
        candidate = trellis.columns[place][explain.path[place]]
        return solver.note(index, self.passage, candidate, self._about[index], why, others)

    def _assembled(self, solver: Solver, ground: Ground) -> Route:
        """The route from the stretches; a change between the same two grips is the one from before."""
        solved = {note.index: note for kept in self._kept for note in kept.notes}
        raw = [
            solved.get(k) or solver.gap(k, note, ground.columns[k].problem)
            for k, note in enumerate(self.passage.notes)
        ]
        notes = with_tremolos(raw, solver.trill_points)
        changes = tuple(self._changes_of(solver, notes))
        self._raw = notes
        self._changes = {change.to: change for change in changes}
        return solver.assembled(
            self.passage, ground, notes, charges_of(ground.charged), known_changes=changes
        )

    def _changes_of(self, solver: Solver, notes: Sequence[RouteNote]) -> list[RouteChange]:
        changes = []
        for to in range(1, len(notes)):
            known = self._changes.get(to) if self._raw else None
            if known and all(notes[k].candidate is self._raw[k].candidate for k in (to - 1, to)):
                changes.append(known)
            else:
                pair = (notes[to - 1], notes[to])
                changes += solver._changes(pair, self._between)
        return changes


def with_bans(solver: Solver, wishes: Wishes) -> Solver:
    """A solver for the wishes' bans beside those of the player, sharing what `solver` has learnt."""
    bans = (*wishes.player.bans, *wishes.bans)
    if bans == solver.knowledge.player.bans:
        return solver
    return Solver(replace(solver.knowledge, player=replace(solver.knowledge.player, bans=bans)), solver)
