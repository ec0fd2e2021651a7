"""From a passage to its route: columns, trellis, least path, runners-up, reasons."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gripway.acoustics.unsafe_ways import Crossings
from gripway.asked.wishes import FEWEST_MOVERS, LEAST_EFFORT, Wishes
from gripway.candidates.candidates import Candidates, FluteKnowledge
from gripway.candidates.model_opinion import crossings_of
from gripway.candidates.note_columns import asked_places, note_columns, with_asked_trills
from gripway.catalog.tables.effort_figures import EffortTables
from gripway.charges.charged_route import Charged, charged_route, nothing_learnt, shown_trellises
from gripway.charges.charges_paid import Charges
from gripway.charges.charging import Charging, charge_of, charged_network, return_charge_of, return_pairs
from gripway.charges.learning_curve import CurvePoint
from gripway.charges.near_path import near_path
from gripway.charges.robustness import ShakenModels, Steadiness
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.ledger import NO_COST, Ledger
from gripway.effort.setting import Link, Setting, settings
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage
from gripway.recent import Recent
from gripway.route.changes import RouteChanges, hardest_changes
from gripway.route.curve import CurveStep, curve_steps
from gripway.route.fewest import FewestMovers
from gripway.route.ground import Ground, Piece, charges_of
from gripway.route.learning_choice import as_asked, whole_curve
from gripway.route.linking import asked_anew, passage_links, relevant_places
from gripway.route.played_ornaments import ornament_flags, played_ornament, with_tremolos
from gripway.route.result import (
    BOUNDED,
    CONFLICT,
    GAPS,
    OPTIMAL,
    LimitReport,
    Other,
    Route,
    RouteChange,
    RouteNote,
)
from gripway.route.runners_up import NOTHING, Explainer
from gripway.route.stretches import stretch_trellises
from gripway.route.words.flags import flags_of
from gripway.trellis.constrained_network import STEP, ConstrainedNetwork, Key
from gripway.trellis.path import INF, least_path
from gripway.trellis.trellis import Trellis, TrellisBuilder
from gripway.trills.trill_points import TrillPoints

Progress = Callable[[int, int], None]
"""Called with (notes done, notes in all): half-way when the path is found, and at the end."""

Told = Callable[[int, Candidate], bool]
"""Whether a note (by its index) that has this grip gets its reason and its runners-up."""


def everywhere(_index: int, _candidate: Candidate) -> bool:
    """Every note does."""
    return True


LAID = 3
"""Passages whose links and settings a solver keeps: one that is asked for again, and two beside it."""

MOST_LAID = 6_000
"""Notes up to which a passage's are kept."""


@dataclass(frozen=True, slots=True)
class LaidOut:
    """The links and settings of notes, by whose identity it is kept."""

    notes: tuple[Note, ...]
    links: tuple[Link, ...]
    settings: tuple[Setting, ...]


class Solver:
    """Finds routes for one player on one flute; keeps what it learns between passages.

    `beside` is a solver for the same flute and the same player with other bans, whose learning is
    shared: what moving between two grips costs does not depend on bans. `dialled` is one for the same
    player with other dials, of which the grips and the steps between them are shared, not what they cost.
    """

    def __init__(
        self,
        knowledge: FluteKnowledge,
        beside: "Solver | None" = None,
        dialled: "Solver | None" = None,
    ) -> None:
        self.knowledge = knowledge
        like = beside or dialled
        self.book: Candidates = (
            dialled.book if dialled else Candidates(knowledge, beside.book if beside else None)
        )
        self.crossings: Crossings | None = (
            like.crossings if like else crossings_of(knowledge.instrument, knowledge.survey)
        )
        self.model = EffortModel(
            knowledge.tables,
            knowledge.player,
            self._trilled,
            self.crossings.share if self.crossings else None,
            lambda candidate, other: self.trill_points.points(candidate, other),
        )
        self._steady: Steadiness | None = None
        self._shaken: ShakenModels = beside._shaken if beside else ShakenModels(self.model)
        self.trill_points: TrillPoints = TrillPoints(knowledge, self.model)
        self.tables: EffortTables = knowledge.tables
        self.changes = RouteChanges(self.model, self.crossings)
        self._held: dict[tuple[int, Setting], tuple[Candidate, Ledger]] = {}
        self._laid: Recent[LaidOut] = dialled._laid if dialled else Recent(LAID)
        self._builders = {
            False: TrellisBuilder(self.model),
            True: TrellisBuilder(FewestMovers(knowledge.tables, knowledge.player)),
        }
        for name, builder in self._builders.items():
            if beside:
                builder.share_moves(beside._builders[name])
            elif dialled:
                builder.share_steps(dialled._builders[name])
        if dialled:
            self.model.times = dialled.model.times

    @property
    def learnt(self) -> int:
        """How many blocks of moving costs are remembered: what a solver that is kept grows by."""
        return sum(builder.remembered for builder in self._builders.values())

    def _trilled(self, pitch: int, grip: Grip | None = None) -> Sequence[Candidate]:
        """The candidates of a trill's other note, or those that have the grip asked for."""
        column = self.book.column(pitch, True, True)
        return column if grip is None else self.book.pinned(pitch, grip, column)

    def forget_places(self) -> None:
        """Forget what was worked out for places in the music; what is known of grips and steps is kept."""
        for builder in self._builders.values():
            builder.forget_places()
        self._held.clear()
        self.changes.forget()
        self._laid.clear()

    def pulse(self, pulse: Callable[[], None]) -> None:
        """Have `pulse` called whenever new steps are worked out; what it raises stops the work."""
        for builder in self._builders.values():
            builder.pulse = pulse

    def solve(self, passage: Passage, wishes: Wishes = Wishes(), progress: Progress | None = None) -> Route:  # noqa: B008 - frozen
        """The route of a passage. Raises RequestError for pins that cannot hold.

        Limits are kept by `limits.answer.solve_within`: a ValueError here.
        """
        return self.solved(passage, wishes, progress)[0]

    def solved(
        self,
        passage: Passage,
        wishes: Wishes,
        progress: Progress | None = None,
        most_milli: int | None = None,
        told: Told = everywhere,
    ) -> tuple[Route, Ground]:
        """The route as of `solve`, and what it was searched on.

        Some route is known to take no more than `most_milli` thousandths of an effort, charges included.
        Only the notes that are `told` have their reasons and runners-up.
        """
        if wishes.limits:
            raise ValueError("limits are kept by solve_within")
        ground = self.ground(passage, wishes, most_milli=most_milli)
        if progress:
            progress(len(passage.notes) // 2, len(passage.notes))
        route = self.assembled(
            passage, ground, self._notes(passage, ground, wishes, told), charges_of(ground.charged)
        )
        if progress:
            progress(len(passage.notes), len(passage.notes))
        return route, ground

    def assembled(
        self,
        passage: Passage,
        ground: Ground,
        notes: tuple[RouteNote, ...],
        charges: Charges | None,
        report: LimitReport | None = None,
        known_changes: Sequence[RouteChange] | None = None,
    ) -> Route:
        """The route of these notes: their changes, the hardest of them, and what else an answer has."""
        between = ground.links
        changes = tuple(self.changes.of(notes, between) if known_changes is None else known_changes)
        gaps = any(note.candidate is None for note in notes)
        return Route(
            passage=passage,
            instrument=self.knowledge.instrument.id,
            status=_status(report, ground.charged, gaps=gaps),
            notes=notes,
            changes=changes,
            hardest=hardest_changes(notes, changes),
            limits=report,
            charges=charges,
            standards=self.standards(passage),
            curve=() if report else ground.curve,
            own_times=self.changes.own_times,
        )

    def standards(self, passage: Passage) -> tuple[tuple[int, Grip], ...]:
        """The standard grip of every pitch of a passage that has one."""
        pitches = sorted({note.pitch.number for note in passage.notes})
        rows = ((pitch, self.book.standard_row(pitch)) for pitch in pitches)
        return tuple((pitch, row.grip) for pitch, row in rows if row is not None)

    def ground(
        self,
        passage: Passage,
        wishes: Wishes = Wishes(),  # noqa: B008 - frozen
        *,
        at_once: bool = False,
        near: Sequence[RouteNote] = (),
        last: Charged | None = None,
        most_milli: int | None = None,
    ) -> Ground:
        """The solved pieces of a passage. Raises RequestError for pins that cannot hold.

        `at_once` gives a good route with nothing to learn, where there is one, and leaves the search out.
        `near` are the notes of a route under other wishes: the search begins from it. `last` is what the
        route under other pins was searched on.
        `most_milli` as of `solved`.
        """
        notes = with_asked_trills(passage.notes, self.book, wishes)
        laid = self._laid_out(notes, asked_places(notes, wishes))
        links, about = list(laid.links), laid.settings
        columns = list(note_columns(notes, self.book, wishes))
        builder = self.builder(wishes)
        trellises = tuple(stretch_trellises(columns, builder, about, links))
        between = tuple(links)
        pieces, charged, points = self.pieces(
            notes, trellises, between, wishes, at_once=at_once, near=near, last=last, most_milli=most_milli
        )
        curve = curve_steps(points, charged, builder, between) if charged and wishes.curve else ()
        return Ground(tuple(columns), pieces, about, between, builder, charged, curve)

    def _laid_out(self, notes: tuple[Note, ...], asked_for: frozenset[int]) -> "LaidOut":
        """The links and settings of notes, the same for all dials; `asked_for` as in `passage_links`."""
        places = relevant_places(notes, asked_for)
        key = id(notes), places

        def made() -> LaidOut:
            for laid in self._laid.values():
                if laid.notes is notes:  # settings do not hang on which repeats keep their grip
                    return replace(laid, links=asked_anew(laid.links, notes, places))
            links = passage_links(notes, self.book, self.model.times, self.tables.figures, places)
            return LaidOut(notes, links, settings(notes, links, self.tables))

        return self._laid.get_or(key, made) if len(notes) <= MOST_LAID else made()

    def pieces(
        self,
        notes: tuple[Note, ...],
        trellises: Sequence[Trellis],
        between: tuple[Link, ...],
        wishes: Wishes,
        *,
        at_once: bool = False,
        near: Sequence[RouteNote] = (),
        last: Charged | None = None,
        most_milli: int | None = None,
    ) -> tuple[tuple[Piece, ...], Charged | None, tuple[CurvePoint, ...]]:
        """Every stretch with its chosen path; where least effort is asked for, with what new grips charge."""
        steady = self.steadiness(notes, between)
        charged = None
        if wishes.choose == LEAST_EFFORT and trellises:
            network = charged_network(trellises, self.charging(notes))
            charged = nothing_learnt(network) if at_once else None
            below = INF if most_milli is None else (most_milli + 1) * STEP  # whatever the order of ties adds
            charged = charged or charged_route(
                network, steady, near=_path_of(network, near), below=below, last=last
            )
        if charged is None:
            paths = [least_path(trellis.nodes, trellis.blocks)[1] for trellis in trellises]
            return tuple(Piece(t, tuple(p), t) for t, p in zip(trellises, paths, strict=True)), None, ()
        charged, points = as_asked(charged, wishes, steady)
        shown = shown_trellises(charged, trellises)
        return tuple(Piece(t, p, s) for t, (s, p) in zip(trellises, shown, strict=True)), charged, points

    def steadiness(self, notes: tuple[Note, ...], between: Sequence[Link]) -> Steadiness:
        """What says of the grips to learn in these notes whether they stay worth it; kept for more pins."""
        known = self._steady
        if known is None or known.notes is not notes or known.between != between:
            known = self._steady = Steadiness(self._shaken, notes, between)
        return known

    def curve(self, ground: Ground) -> tuple[CurveStep, ...]:
        """The learning curve of what was searched without one, and without a number of grips to learn."""
        if ground.charged is None:
            return ()
        return curve_steps(whole_curve(ground.charged), ground.charged, ground.builder, ground.links)

    def builder(self, wishes: Wishes) -> TrellisBuilder:
        """What builds the trellises that these wishes are searched on."""
        return self._builders[wishes.choose == FEWEST_MOVERS]

    def charging(self, notes: Sequence[Note], left_out: frozenset[Key] = frozenset()) -> Charging:
        """What a passage of these notes charges; grips in `left_out` are not taken."""
        near = int(self.tables.figures.return_near_notes)
        several = {note.pitch.number for note in notes if self.book.has_several_standards(note.pitch.number)}
        pairs = return_pairs(notes, near, several)
        return Charging(charge_of(len(notes), self.model), return_charge_of(self.model), pairs, left_out)

    def _notes(self, passage: Passage, ground: Ground, wishes: Wishes, told: Told) -> tuple[RouteNote, ...]:
        solved: dict[int, RouteNote] = {}
        for piece in ground.pieces:
            asked = {index for index, candidate in piece.chosen.items() if told(index, candidate)}
            explain = Explainer(piece, ground) if asked else None
            for place, (index, candidate) in enumerate(piece.chosen.items()):
                others, why = explain.note(place, wishes.others) if explain and index in asked else NOTHING
                solved[index] = self.note(index, passage, candidate, ground.settings[index], why, others)
        route_notes = [
            solved.get(k) or self.gap(k, note, ground.columns[k].problem)
            for k, note in enumerate(passage.notes)
        ]
        return with_tremolos(route_notes, self.trill_points)

    @staticmethod
    def gap(index: int, note: Note, problem: str) -> RouteNote:
        """A note without a grip, and why."""
        return RouteNote(index, note, None, NO_COST, (problem,), "no grip")

    def note(
        self,
        index: int,
        passage: Passage,
        candidate: Candidate,
        setting: Setting,
        why: str,
        others: tuple[Other, ...],
    ) -> RouteNote:
        """A note of the route with its grip, the flags and the ornament that go with it."""
        note = passage.notes[index]
        told = flags_of(candidate, setting, self.tables.figures)
        ornament = played_ornament(note, candidate, setting, self.model, self.trill_points)
        return RouteNote(
            index=index,
            note=note,
            candidate=candidate,
            holding=self._holding(candidate, setting),
            flags=(
                *(flag.words for flag in told),
                *ornament_flags(ornament, self.tables.figures.lean_lip_cents),
            ),
            why=why,
            others=others,
            ornament=ornament,
            told=told,
        )

    def _holding(self, candidate: Candidate, setting: Setting) -> Ledger:
        """What holding a grip costs; equal ledgers are one object."""
        key = (id(candidate), setting)
        if key not in self._held:
            self._held[key] = candidate, self.model.holding(candidate, setting) or NO_COST
        return self._held[key][1]


def _path_of(network: ConstrainedNetwork, near: Sequence[RouteNote]) -> list[int]:
    """A path near a route; empty where there is none."""
    known = [
        next((k for k, each in enumerate(column) if each is near[place].candidate), None)
        for place, column in (zip(network.places, network.columns, strict=True) if near else ())
    ]
    return near_path(network, known)


def _status(report: LimitReport | None, charged: Charged | None, *, gaps: bool) -> str:
    if report is not None and report.conflict is not None:
        return CONFLICT
    if gaps:
        return GAPS
    proved = report.proved if report is not None else charged is None or charged.proved
    return OPTIMAL if proved else BOUNDED
