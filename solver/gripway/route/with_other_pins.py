"""The same passage again with other pins and bans: little is done anew, reasons are given where asked for.

The route with its charges is searched anew, since a pin can make a grip worth learning everywhere. Notes and
changes are those of the last answer where their grip and setting are. What only reasons and runners-up
need, the least costs through every grip of a stretch, is worked out for the first note one asks about.

The route is the one `Solver.solve` gives, note for note, but for reasons and runners-up: those come note
by note, from `explained`.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.charges.charges_paid import Charges
from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.recent import Recent
from gripway.route.curve import CurveStep
from gripway.route.ground import Ground, charges_of
from gripway.route.played_ornaments import with_tremolos
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.route.runners_up import Explainer
from gripway.route.solve import Solver
from gripway.trellis.trellis import no_pulse


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """A route with all it was worked out of: what the next one begins from.

    `notes` are those of the route before tremolos are told; `explainers` say why, by where a stretch begins.
    One `at_once` is not the least: no search begins from it.
    """

    solver: Solver
    ground: Ground
    notes: tuple[RouteNote, ...]
    route: Route
    explainers: dict[int, Explainer] = field(default_factory=dict)
    at_once: bool = False


ANSWERS = 3
"""Answers kept of a passage: a pin, the same without it, and the one before."""


class Resolving:
    """One passage that is asked for again and again on one flute, for one player.

    The player's own bans, found grips and what to minimise stay; pins and bans of the wishes change.
    """

    def __init__(self, passage: Passage, near: Route | None = None) -> None:
        """`near` is a route of the passage under other dials: the first search begins from it."""
        self.passage, self._near = passage, near
        self._answers: Recent[KeptAnswer] = Recent(ANSWERS)
        self._now: KeptAnswer | None = None
        self._pulse: Callable[[], None] = no_pulse

    def route(self, solver: Solver, wishes: Wishes, pulse: Callable[[], None] = no_pulse) -> Route:
        """The route under these wishes, without reasons. Raises RequestError for pins that cannot hold.

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

    def first(self, solver: Solver, wishes: Wishes, pulse: Callable[[], None] = no_pulse) -> Route | None:
        """A good route with nothing to learn, to be shown while the least one is searched for.

        None where that one is known, or nothing has to be searched for.
        """
        known, searched = self._answers.get(wishes), wishes.choose == LEAST_EFFORT and wishes.learn is None
        if (known and known.solver is solver) or not searched:
            return None
        self._pulse = pulse
        solver.pulse(pulse)
        self._now = self._answer(solver, wishes, at_once=True)
        return self._now.route

    def curve(self, solver: Solver, wishes: Wishes) -> tuple[tuple[CurveStep, ...], Charges | None]:
        """The learning curve under these wishes, and what their route pays."""
        self.route(solver, wishes)
        now = self._answers[wishes]
        curve = now.ground.curve if wishes.learn is not None else now.solver.curve(now.ground)
        return curve, charges_of(now.ground.charged)

    def explained(self, index: int, most: int) -> RouteNote:
        """A note of the route asked for last with its reason and up to `most` other grips, nearest first.

        Raises LookupError where no route was asked for.
        """
        if self._now is None:
            raise LookupError("no route was asked for")
        now, note = self._now, self._now.route.notes[index]
        for piece in now.ground.pieces:
            start = piece.trellis.start
            if start <= index < start + len(piece.path):
                if start not in now.explainers:
                    now.explainers[start] = Explainer(piece, now.ground)
                others, why = now.explainers[start].note(index - start, most)
                return replace(note, others=others, why=why)
        return note

    def beside(self, index: int, grip: Grip) -> tuple[Candidate | None, Candidate | None]:
        """The grips beside a note on the best route through this grip; asked for after `explained`."""
        now = self._now
        for start, explainer in now.explainers.items() if now else ():
            if start <= index < start + len(explainer.path):
                return explainer.beside(index - start, grip)
        return None, None

    def _answer(self, solver: Solver, wishes: Wishes, *, at_once: bool = False) -> KeptAnswer:
        """The answer worked out, from the last one; `at_once` as of `Solver.ground`."""
        asked = replace(wishes, curve=wishes.learn is not None)
        now = self._now
        near = self._near if now is None else None if now.at_once else now.route
        ground = solver.ground(
            self.passage,
            asked,
            at_once=at_once,
            near=near.notes if near else (),
            last=now.ground.charged if now else None,
        )
        self._near = None
        notes = self._notes(solver, ground)
        shown = with_tremolos(notes, solver.trill_points)
        changes = tuple(self._changes_of(solver, ground, shown))
        charges = charges_of(ground.charged)
        route = solver.assembled(self.passage, ground, shown, charges, known_changes=changes)
        return KeptAnswer(solver, ground, notes, route, at_once=at_once)

    def _notes(self, solver: Solver, ground: Ground) -> tuple[RouteNote, ...]:
        """The notes; one with the same grip in the same setting is that of the last answer.

        An ornament is played as the bans let it: under others it is worked out anew.
        """
        last, same = self._now, self._now is not None and self._now.solver is solver
        chosen = {index: grip for piece in ground.pieces for index, grip in piece.chosen.items()}
        notes = list[RouteNote]()
        for k, note in enumerate(self.passage.notes):
            candidate, setting = chosen.get(k), ground.settings[k]
            if candidate is None:
                notes.append(solver.gap(k, note, ground.columns[k].problem))
            elif (
                last
                and last.notes[k].candidate is candidate
                and last.ground.settings[k] == setting
                and (same or note.ornament is None)
            ):
                notes.append(last.notes[k])
            else:
                self._pulse()
                notes.append(solver.note(k, self.passage, candidate, setting, "", ()))
        return tuple(notes)

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
                yield from solver.changes.of((notes[to - 1], notes[to]), ground.links)


def with_bans(solver: Solver, wishes: Wishes) -> Solver:
    """A solver for the wishes' bans beside those of the player, sharing what `solver` has learnt."""
    bans = (*wishes.player.bans, *wishes.bans)
    if bans == solver.knowledge.player.bans:
        return solver
    return Solver(replace(solver.knowledge, player=replace(solver.knowledge.player, bans=bans)), solver)
