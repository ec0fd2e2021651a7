"""From a passage to its route: columns, trellis, least path, runners-up, reasons."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import count, pairwise

from gripway.acoustics.unsafe import Crossings
from gripway.asked.wishes import FEWEST_MOVERS, LEAST_EFFORT, Wishes
from gripway.candidates.candidates import Candidates, FluteKnowledge
from gripway.candidates.model_opinion import crossings_of
from gripway.candidates.note_columns import NoteColumn, asked_places, note_columns, with_asked_trills
from gripway.catalog.tables.effort_figures import EffortTables, effort_tables
from gripway.charges.charged_route import Charged, NewGrip, charged_route, shown_trellises
from gripway.charges.charges_paid import Charges, Learnt
from gripway.charges.charging import Charging, charge_of, charged_network, return_charge_of, return_pairs
from gripway.charges.learning_curve import CurvePoint
from gripway.charges.robustness import ShakenModels, Steadiness
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.ledger import Ledger
from gripway.effort.own_time_tables import counting
from gripway.effort.setting import Link, Setting, links, settings
from gripway.model.grip import Grip
from gripway.model.own_times import OwnTimes
from gripway.model.passage import Note, Passage
from gripway.model.pitch import plain_name
from gripway.model.survey import HIGHEST_CLAIM
from gripway.recent import Recent
from gripway.route.curve import CurveStep, curve_steps
from gripway.route.fewest import FewestMovers
from gripway.route.flags import flags_of
from gripway.route.learning_choice import as_asked, whole_curve
from gripway.route.linking import carried_over, relevant_places, with_carried
from gripway.route.played_ornaments import ornament_flags, played_ornament, with_tremolos
from gripway.route.reasons import why_gap
from gripway.route.result import (
    BOUNDED,
    CONFLICT,
    GAPS,
    NO_ADVICE,
    OPTIMAL,
    Advice,
    LimitReport,
    Other,
    Route,
    RouteChange,
    RouteNote,
)
from gripway.route.runners_up import runners_up
from gripway.trellis.constrained_network import STEP, Key
from gripway.trellis.path import INF, Cost, first_blocked, forward, least_path
from gripway.trellis.trellis import Column, Trellis, TrellisBuilder
from gripway.trills.trill_points import TrillPoints

Progress = Callable[[int, int], None]
"""Called with (notes done, notes in all): half-way when the path is found, and at the end."""

Told = Callable[[int, Candidate], bool]
"""Whether a note (by its index) that has this grip gets its reason and its runners-up."""

EMPTY = Ledger(())


def everywhere(_index: int, _candidate: Candidate) -> bool:
    """Every note does."""
    return True


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of notes with grips: its trellis and the chosen place in every column.

    `shown` is the trellis as seen from the chosen path: with what other grips would charge besides.
    """

    trellis: Trellis
    path: tuple[int, ...]
    shown: Trellis


LAID = 3
"""Passages whose links and settings a solver keeps: one that is asked for again, and two beside it."""

MOST_LAID = 6_000
"""Notes up to which a passage's are kept."""


@dataclass(frozen=True, slots=True)
class LaidOut:
    """The links and settings of notes; it holds the notes, by whose identity it is kept.

    The links have nothing yet of what is carried over from the notes before; `carried` are those that do,
    by the notes whose grip is asked for.
    """

    notes: tuple[Note, ...]
    links: tuple[Link, ...]
    settings: tuple[Setting, ...]
    carried: Recent[tuple[Link, ...]] = field(default_factory=lambda: Recent(LAID))


@dataclass(frozen=True, slots=True)
class Ground:
    """What the routes of a passage are searched on: its solved pieces, the settings and links of its notes.

    `columns` has, for every note without a grip, the reason why; `curve` has the learning curve where
    it was asked for.
    """

    columns: tuple[NoteColumn, ...]
    pieces: tuple[Piece, ...]
    settings: tuple[Setting, ...]
    links: tuple[Link, ...]
    builder: TrellisBuilder
    charged: Charged | None = None
    curve: tuple[CurveStep, ...] = ()


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
        self._shaken: ShakenModels = beside._shaken if beside else ShakenModels(self.model)
        self.trill_points: TrillPoints = TrillPoints(knowledge, self.model)
        self.tables: EffortTables = knowledge.tables
        self.own_times: OwnTimes | None = counting(knowledge.player)
        self._by_tables: EffortModel | None = None
        self._held: dict[tuple[int, Setting], tuple[Candidate, Ledger]] = {}
        self._changed: dict[tuple[int, int, Link], tuple[Candidate, Candidate, RouteChange]] = {}
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
        self._changed.clear()
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
        ground = self.ground(passage, wishes, most_milli)
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
        changes = tuple(self._changes(notes, between) if known_changes is None else known_changes)
        gaps = any(note.candidate is None for note in notes)
        return Route(
            passage=passage,
            instrument=self.knowledge.instrument.id,
            status=_status(report, ground.charged, gaps=gaps),
            notes=notes,
            changes=changes,
            hardest=_hardest(notes, changes),
            limits=report,
            charges=charges,
            standards=self.standards(passage),
            curve=() if report else ground.curve,
            own_times=self.own_times,
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
        most_milli: int | None = None,
    ) -> Ground:
        """The solved pieces of a passage; `most_milli` as for `solved`.

        Raises RequestError for pins that cannot hold.
        """
        notes = with_asked_trills(passage.notes, self.book, wishes)
        laid, carried = self._laid_out(notes, asked_places(notes, wishes))
        into, about = list(carried), laid.settings
        columns = list(note_columns(notes, self.book, wishes))
        builder = self.builder(wishes)
        trellises = tuple(self.trellises(columns, builder, about, into))
        between = tuple(into)
        pieces, charged, points = self.pieces(notes, trellises, between, wishes, most_milli)
        curve = curve_steps(points, charged, builder, between) if charged and wishes.curve else ()
        return Ground(tuple(columns), pieces, about, between, builder, charged, curve)

    def _laid_out(
        self, notes: tuple[Note, ...], asked_for: frozenset[int]
    ) -> tuple["LaidOut", tuple[Link, ...]]:
        """Notes laid out, the same for all dials, and their links; `asked_for` as in `carried_over`."""

        def made() -> LaidOut:
            plain = links(notes, self.tables.figures)
            return LaidOut(notes, plain, settings(notes, plain, self.tables))

        places, book, times = relevant_places(notes, asked_for), self.book, self.model.times
        if len(notes) > MOST_LAID:
            laid = made()
            return laid, with_carried(laid.links, carried_over(notes, book, times, places))
        laid = self._laid.get_or(id(notes), made)
        return laid, laid.carried.get_or(
            places, lambda: with_carried(laid.links, carried_over(notes, book, times, places))
        )

    def trellises(
        self,
        columns: list[NoteColumn],
        builder: TrellisBuilder,
        about: tuple[Setting, ...],
        between: list[Link],
    ) -> Iterator[Trellis]:
        """The trellis of every stretch between gaps; a change that cannot be made becomes a gap as well.

        A repeated note that cannot keep its grip may change it: its link in `between` says so then.
        """
        for start, stretch in _stretches(columns):
            at = start
            while stretch:
                trellis = builder.segment(at, stretch, about, between)
                blocked = first_blocked(forward(trellis.nodes, trellis.blocks))
                if blocked and trellis.columns[blocked] and between[at + blocked].kept:
                    between[at + blocked] = replace(between[at + blocked], kept=False)
                    continue
                if blocked is not None:
                    columns[at + blocked] = NoteColumn((), why_gap(trellis, blocked, between))
                    trellis = _cut(trellis, blocked)
                if trellis.columns:
                    yield trellis
                if blocked is None:
                    break
                at, stretch = at + blocked + 1, stretch[blocked + 1 :]

    def pieces(
        self,
        notes: tuple[Note, ...],
        trellises: Sequence[Trellis],
        between: tuple[Link, ...],
        wishes: Wishes,
        most_milli: int | None = None,
    ) -> tuple[tuple[Piece, ...], Charged | None, tuple[CurvePoint, ...]]:
        """Every stretch with its chosen path; where least effort is asked for, with what new grips charge."""
        steady = self.steadiness(notes, between)
        below = INF if most_milli is None else (most_milli + 1) * STEP  # whatever the order of ties adds
        charged = self._charged(notes, trellises, steady, below) if wishes.choose == LEAST_EFFORT else None
        if charged is None:
            paths = [least_path(trellis.nodes, trellis.blocks)[1] for trellis in trellises]
            return tuple(Piece(t, tuple(p), t) for t, p in zip(trellises, paths, strict=True)), None, ()
        charged, points = as_asked(charged, wishes, steady)
        shown = shown_trellises(charged, trellises)
        return tuple(Piece(t, p, s) for t, (s, p) in zip(trellises, shown, strict=True)), charged, points

    def _charged(
        self, notes: tuple[Note, ...], trellises: Sequence[Trellis], steady: Steadiness, below: Cost
    ) -> Charged | None:
        """The least path through all trellises of a passage, with what new grips charge; None without any."""
        if not trellises:
            return None
        return charged_route(charged_network(trellises, self.charging(notes)), steady, below=below)

    def steadiness(self, notes: tuple[Note, ...], between: Sequence[Link]) -> Steadiness:
        """What says of the grips to learn in these notes whether they stay worth it."""
        return Steadiness(self._shaken, notes, between)

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
        builder, about, between = ground.builder, ground.settings, ground.links
        for piece in ground.pieces:
            start = piece.trellis.start
            chosen = [c[place] for c, place in zip(piece.trellis.columns, piece.path, strict=True)]
            asked = [told(start + k, candidate) for k, candidate in enumerate(chosen)]
            found = runners_up(piece.shown, piece.path, builder, about, between, wishes.others, asked)
            for index, candidate, (others, why) in zip(count(start), chosen, found, strict=False):
                solved[index] = self.note(index, passage, candidate, about[index], why, others)
        route_notes = [
            solved.get(k) or self.gap(k, note, ground.columns[k].problem)
            for k, note in enumerate(passage.notes)
        ]
        return with_tremolos(route_notes, self.trill_points)

    @staticmethod
    def gap(index: int, note: Note, problem: str) -> RouteNote:
        """A note without a grip, and why."""
        return RouteNote(index, note, None, EMPTY, (problem,), "no grip")

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
            self._held[key] = candidate, self.model.holding(candidate, setting) or EMPTY
        return self._held[key][1]

    def _changes(self, notes: tuple[RouteNote, ...], between: tuple[Link, ...]) -> Iterator[RouteChange]:
        for before, after in pairwise(notes):
            if before.candidate is None or after.candidate is None:
                continue
            yield self.change(before.candidate, after.candidate, between[after.index], after.index)

    def change(self, before: Candidate, after: Candidate, link: Link, to: int = 1) -> RouteChange:
        """The change between two grips in a link, into note `to`; equal ones are worked out once."""
        key = (id(before), id(after), link)
        if key not in self._changed:
            self._changed[key] = before, after, self._change(before, after, link, to)
        made = self._changed[key][2]
        return made if made.to == to else replace(made, to=to)

    def _change(self, before: Candidate, after: Candidate, link: Link, to: int) -> RouteChange:
        step = self.model.step(before, after)
        after = after.entry or after
        hands = self.model.times.hands(before.position, after.position)
        return RouteChange(
            to=to,
            change_ms=self.model.change_ms(step, link),
            available_ms=link.available_ms,
            load=self.model.load(step, link),
            movers=hands[0].movers + hands[1].movers,
            moving=self.model.moving(step, link) or EMPTY,
            tables_ms=self._tables_ms(before, after, link),
            advice=self._advice(before, after),
        )

    def _tables_ms(self, before: Candidate, after: Candidate, link: Link) -> float | None:
        """The time of a change by the tables, where the player's own finger times stand in their place."""
        if self.own_times is None:
            return None
        if self._by_tables is None:
            player = replace(self.knowledge.player, own_times=None)
            self._by_tables = EffortModel(effort_tables(), player)
        return self._by_tables.change_ms(self._by_tables.step(before, after), link)

    def _advice(self, before: Candidate, after: Candidate) -> Advice:
        """Which finger should lead, and what may sound on the way."""
        silent = max(before.pitch, after.pitch) > HIGHEST_CLAIM
        if self.crossings is None or silent or before.pitch == after.pitch:
            return NO_ADVICE
        places = (before.position.places, after.position.places)
        crossing = self.crossings.crossing(*places, before.pitch, after.pitch)
        if not crossing.counted:
            return NO_ADVICE
        return Advice(crossing.lead, tuple(map(plain_name, crossing.strays)), round(crossing.share, 3))


def _status(report: LimitReport | None, charged: Charged | None, *, gaps: bool) -> str:
    if report is not None and report.conflict is not None:
        return CONFLICT
    if gaps:
        return GAPS
    proved = report.proved if report is not None else charged is None or charged.proved
    return OPTIMAL if proved else BOUNDED


def charges_of(charged: Charged | None) -> Charges | None:
    """What a route pays for new grips and for changes of a pitch's grip, for its answer."""
    if charged is None:
        return None
    network = charged.network
    by_key = {
        (c.pitch, c.row_grip.mask): c
        for column in {id(c): c for c in network.columns}.values()
        for c in column
    }
    changed = [(network.places[a], network.places[b]) for a, b in network.changed(charged.path)]
    return Charges(
        learn=tuple(_learnt(by_key[new.key], new) for new in charged.new),
        left_out=tuple(_learnt(by_key[new.key], new) for new in charged.left_out),
        each_milli=network.charge_milli,
        changed=tuple(changed),
        change_milli=network.return_milli,
        bound_milli=charged.bound_milli,
    )


def _learnt(candidate: Candidate, new: NewGrip) -> Learnt:
    return Learnt(candidate.pitch, candidate.row_grip, candidate.kind, new.saves_milli, new.steady)


def _stretches(columns: list[NoteColumn]) -> Iterator[tuple[int, list[Column]]]:
    """Start and columns of every run of notes that have candidates."""
    run: list[Column] = []
    for place, column in enumerate([*columns, NoteColumn(())]):
        if column.candidates:
            run.append(column.candidates)
        elif run:
            yield place - len(run), run
            run = []


def _cut(trellis: Trellis, end: int) -> Trellis:
    """The part of a trellis before column `end`."""
    return Trellis(trellis.start, trellis.columns[:end], trellis.nodes[:end], trellis.blocks[:end])


def _hardest(
    notes: tuple[RouteNote, ...], changes: tuple[RouteChange, ...], most: int = 5
) -> tuple[int, ...]:
    """The `to` of the changes with the highest load, worst first; ties in playing order.

    A change that comes again between the same grips is named once, where it is worst.
    """
    moving = [change for change in changes if change.movers]
    worst = sorted(moving, key=lambda change: (-change.load, change.to))
    distinct: dict[tuple[str, ...], int] = {}
    for change in worst:
        distinct.setdefault(_same_work(notes[change.to - 1], notes[change.to]), change.to)
        if len(distinct) == most:
            break
    return tuple(distinct.values())


def _same_work(before: RouteNote, after: RouteNote) -> tuple[str, ...]:
    """What makes two changes the same: their pitches and grips."""
    grips = (note.candidate.grip.text if note.candidate else "" for note in (before, after))
    return before.note.pitch.plain, after.note.pitch.plain, *grips
