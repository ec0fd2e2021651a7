"""The same passage again with other pins and bans: only what the change touches is worked out anew.

The route with its charges is searched anew, since a pin can make a grip worth learning everywhere. The
costs that runners-up are read from differ from those kept by one number only a few notes from a pin,
which no choice depends on: from there on they are shifted. What other grips add stays as it was where
the route has become dearer by that number too. A note's grip, reason and runners-up are
rebuilt where its costs, its column or anything on its detours changed.

The route is the one `Solver.solve` gives, note for note.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from gripway.asked.wishes import Wishes
from gripway.charges.charges_paid import Charges
from gripway.model.passage import Passage
from gripway.recent import Recent
from gripway.route.curve import CurveStep
from gripway.route.played_ornaments import with_tremolos
from gripway.route.result import Other, Route, RouteChange, RouteNote
from gripway.route.runners_up import Explainer
from gripway.route.solve import Ground, Piece, Solver, charges_of
from gripway.trellis.path import Cost, backward, forward, path_cost
from gripway.trellis.repaired_path_costs import renewed_backward, renewed_forward, shifted
from gripway.trellis.trellis import Trellis, no_pulse

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


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """A route with all it was worked out of: what the next one begins from."""

    solver: Solver
    others: int
    ground: Ground
    stretches: list[KeptStretch]
    notes: tuple[RouteNote, ...]
    route: Route


ANSWERS = 3
"""Answers kept of a passage: a pin, the same without it, and the one before."""


class Resolving:
    """One passage that is asked for again and again on one flute, for one player.

    The player's own bans, found grips and what to minimise stay; pins and bans of the wishes change.
    """

    def __init__(self, passage: Passage) -> None:
        self.passage = passage
        self._answers: Recent[KeptAnswer] = Recent(ANSWERS)
        self._now: KeptAnswer | None = None
        self._pulse: Callable[[], None] = no_pulse

    def route(self, solver: Solver, wishes: Wishes, pulse: Callable[[], None] = no_pulse) -> Route:
        """The route under these wishes. Raises RequestError for pins that cannot hold.

        `solver` has the bans; another one than last time must share its learning with that
        (`Solver(knowledge, beside)`). `pulse` is called at every note that is worked out; what it raises
        stops the work, and what was kept stays as it was.
        """
        known = self._answers.get(wishes)
        if known is None or known.solver is not solver:
            self._pulse = pulse
            solver.pulse(pulse)
            self._answers.pop(wishes, None)
            known = self._answer(solver, wishes)
        self._now = self._answers.get_or(wishes, lambda: known)
        return known.route

    def curve(self, solver: Solver, wishes: Wishes) -> tuple[tuple[CurveStep, ...], Charges | None]:
        """The learning curve under these wishes, and what their route pays."""
        self.route(solver, wishes)
        now = self._answers[wishes]
        curve = now.ground.curve if wishes.learn is not None else now.solver.curve(now.ground)
        return curve, charges_of(now.ground.charged)

    def others(self, index: int, most: int) -> tuple[Other, ...]:
        """The other grips of a note of the route asked for last, nearest first: up to `most`."""
        now = self._now
        for kept in now.stretches if now else ():
            place = index - kept.trellis.start
            if now is not None and 0 <= place < len(kept.path):
                ground = replace(now.ground, builder=now.solver.builder(Wishes()))
                explain = _explainer(ground, kept.trellis, kept.path, kept.forward, kept.backward)
                return explain.others(place, most)
        return ()

    def _answer(self, solver: Solver, wishes: Wishes) -> KeptAnswer:
        """The answer worked out, from the last one."""
        ground = solver.ground(self.passage, replace(wishes, curve=wishes.learn is not None))
        last = self._now if self._now and self._now.others == wishes.others else None
        stretches = self._renewed(solver, ground, wishes, last)
        route, notes = self._assembled(solver, ground, stretches)
        return KeptAnswer(solver, wishes.others, ground, stretches, notes, route)

    def _renewed(
        self, solver: Solver, ground: Ground, wishes: Wishes, last: KeptAnswer | None
    ) -> list[KeptStretch]:
        """Every stretch, from what was kept where it has the same notes."""
        known = {kept.shape: kept for kept in last.stretches} if last else {}
        rebuild_ornaments = last is not None and (
            solver is not last.solver or ground.settings != last.ground.settings
        )
        result = []
        for piece in ground.pieces:
            kept = known.get((piece.shown.start, len(piece.path)))
            if kept is None:
                result.append(self._new(solver, piece, ground, wishes))
            else:
                result.append(self._partly(solver, kept, piece, ground, wishes, rebuild_ornaments))
        return result

    def _new(self, solver: Solver, piece: Piece, ground: Ground, wishes: Wishes) -> KeptStretch:
        """A stretch worked out whole."""
        trellis = piece.shown
        costs, rest = forward(trellis.nodes, trellis.blocks), backward(trellis.nodes, trellis.blocks)
        explain = _explainer(ground, trellis, piece.path, costs, rest)
        places = range(len(piece.path))
        notes = [self._note(solver, explain, place, wishes.others) for place in places]
        return KeptStretch(trellis, costs, rest, piece.path, notes, [explain.span(place) for place in places])

    def _partly(
        self,
        solver: Solver,
        kept: KeptStretch,
        piece: Piece,
        ground: Ground,
        wishes: Wishes,
        rebuild_ornaments: bool,
    ) -> KeptStretch:
        """A stretch of which only the notes that something touched are answered anew."""
        trellis, path = piece.shown, piece.path
        costs = renewed_forward(kept.trellis, kept.forward, trellis)
        rest = renewed_backward(kept.trellis, kept.backward, trellis)
        end = len(trellis.columns) - 1
        explain = _explainer(ground, trellis, path, costs, rest)
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
        return solver.note(index, self.passage, candidate, explain.about[index], why, others)

    def _assembled(
        self, solver: Solver, ground: Ground, stretches: Sequence[KeptStretch]
    ) -> tuple[Route, tuple[RouteNote, ...]]:
        """The route from the stretches, and its notes as the next one compares them."""
        solved = {note.index: note for kept in stretches for note in kept.notes}
        raw = [
            solved.get(k) or solver.gap(k, note, ground.columns[k].problem)
            for k, note in enumerate(self.passage.notes)
        ]
        notes = with_tremolos(raw, solver.trill_points)
        changes = tuple(self._changes_of(solver, ground, notes))
        charges = charges_of(ground.charged)
        return solver.assembled(self.passage, ground, notes, charges, known_changes=changes), notes

    def _changes_of(
        self, solver: Solver, ground: Ground, notes: Sequence[RouteNote]
    ) -> Iterator[RouteChange]:
        """The changes; one between the same two grips is that of the last answer."""
        last = self._now if self._now and self._now.ground.links == ground.links else None
        before = {change.to: change for change in last.route.changes} if last else {}
        for to in range(1, len(notes)):
            known = before.get(to)
            if known and last and all(notes[k].candidate is last.notes[k].candidate for k in (to - 1, to)):
                yield known
            else:
                yield from solver._changes((notes[to - 1], notes[to]), ground.links)


def _explainer(
    ground: Ground, trellis: Trellis, path: tuple[int, ...], costs: Vectors, rest: Vectors
) -> Explainer:
    return Explainer(trellis, path, costs, rest, ground.builder, ground.settings, ground.links)


def with_bans(solver: Solver, wishes: Wishes) -> Solver:
    """A solver for the wishes' bans beside those of the player, sharing what `solver` has learnt."""
    bans = (*wishes.player.bans, *wishes.bans)
    if bans == solver.knowledge.player.bans:
        return solver
    return Solver(replace(solver.knowledge, player=replace(solver.knowledge.player, bans=bans)), solver)
