"""From a passage to its route: columns, trellis, least path, runners-up, reasons."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from gripway.acoustics.unsafe import Crossings
from gripway.catalog.effort_figures import EffortTables
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import Ledger
from gripway.effort.model import EffortModel
from gripway.effort.setting import Link, Setting, links, settings
from gripway.model.passage import Note, Passage
from gripway.model.pitch import plain_name
from gripway.model.survey import HIGHEST_CLAIM
from gripway.route.candidates import Candidates, Shelf
from gripway.route.columns import NoteColumn, note_columns
from gripway.route.fewest import FewestMovers
from gripway.route.fresh import with_fresh
from gripway.route.hearing import crossings_of
from gripway.route.ornaments import ornament_flags, played_ornament, with_tremolos
from gripway.route.path import Cost, first_blocked, forward, trace_back
from gripway.route.reasons import flags_of, why_gap
from gripway.route.request import FEWEST_MOVERS, Wishes
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
from gripway.route.trellis import Column, Trellis, TrellisBuilder
from gripway.route.trill_points import TrillPoints

Progress = Callable[[int, int], None]
"""Called with (notes done, notes in all): half-way when the path is found, and at the end."""

EMPTY = Ledger(())


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of notes with grips: its trellis and the chosen place in every column."""

    trellis: Trellis
    path: tuple[int, ...]
    forward: tuple[list[Cost], ...]


@dataclass(frozen=True, slots=True)
class Ground:
    """What the routes of a passage are searched on: its solved pieces, the settings and links of its notes.

    `columns` has, for every note without a grip, the reason why.
    """

    columns: tuple[NoteColumn, ...]
    pieces: tuple[Piece, ...]
    about: tuple[Setting, ...]
    between: tuple[Link, ...]
    builder: TrellisBuilder


class Solver:
    """Finds routes for one player on one flute; keeps what it learns between passages.

    `beside` is a solver for the same flute and the same player with other bans, whose learning is
    shared: what moving between two grips costs does not depend on bans.
    """

    def __init__(self, shelf: Shelf, beside: "Solver | None" = None) -> None:
        self.shelf = shelf
        self.book: Candidates = Candidates(shelf, beside.book if beside else None)
        self.crossings: Crossings | None = (
            beside.crossings if beside else crossings_of(shelf.instrument, shelf.survey)
        )
        self.model = EffortModel(
            shelf.tables,
            shelf.player,
            lambda pitch: self.book.column(pitch, True, True),
            self.crossings.share if self.crossings else None,
            lambda candidate, other: self.trill_points.points(candidate, other),
        )
        self.trill_points: TrillPoints = TrillPoints(shelf, self.model)
        self.tables: EffortTables = shelf.tables
        self._builders = {
            False: TrellisBuilder(self.model),
            True: TrellisBuilder(FewestMovers(shelf.tables, shelf.player)),
        }
        if beside:
            for name, builder in self._builders.items():
                builder.share_moves(beside._builders[name])

    @property
    def learnt(self) -> int:
        """How many blocks of moving costs are remembered: what a solver that is kept grows by."""
        return sum(builder.remembered for builder in self._builders.values())

    def solve(self, passage: Passage, wishes: Wishes = Wishes(), progress: Progress | None = None) -> Route:  # noqa: B008 - frozen
        """The route of a passage. Raises RequestError for pins that cannot hold."""
        notes, ground = passage.notes, self.ground(passage, wishes)
        if progress:
            progress(len(notes) // 2, len(notes))
        report = None
        if wishes.limits:
            from gripway.route.limited_notes import limited_notes

            route_notes, report = limited_notes(self, passage, ground, wishes)
            passage = replace(passage, remarks=(*passage.remarks, *report.remarks))
        else:
            route_notes = self._notes(passage, ground, wishes)
        if progress:
            progress(len(notes), len(notes))
        changes = tuple(self._changes(route_notes, ground.between))
        gaps = any(note.candidate is None for note in route_notes)
        return Route(
            passage=passage,
            instrument=self.shelf.instrument.id,
            status=_status(report, gaps=gaps),
            notes=route_notes,
            changes=changes,
            hardest=_hardest(route_notes, changes),
            limits=report,
        )

    def ground(self, passage: Passage, wishes: Wishes = Wishes()) -> Ground:  # noqa: B008 - frozen
        """The solved pieces of a passage. Raises RequestError for pins that cannot hold."""
        between = links(passage.notes, self.tables.figures)
        between = with_fresh(between, passage.notes, self.book, self.model.times)
        about = settings(passage.notes, between, self.tables)
        columns = list(note_columns(passage.notes, self.book, wishes))
        builder = self._builders[wishes.choose == FEWEST_MOVERS]
        pieces = tuple(self._pieces(columns, builder, about, between))
        return Ground(tuple(columns), pieces, about, between, builder)

    def _pieces(
        self,
        columns: list[NoteColumn],
        builder: TrellisBuilder,
        about: tuple[Setting, ...],
        between: tuple[Link, ...],
    ) -> Iterator[Piece]:
        """Solve every stretch between gaps; a change that cannot be made becomes a gap as well."""
        for start, stretch in _stretches(columns):
            at = start
            while stretch:
                trellis = builder.segment(at, stretch, about, between)
                costs = forward(trellis.nodes, trellis.blocks)
                blocked = first_blocked(costs)
                if blocked is not None:
                    columns[at + blocked] = NoteColumn((), why_gap(trellis, blocked, between))
                    trellis, costs = _cut(trellis, costs, blocked)
                if trellis.columns:
                    end = len(trellis.columns) - 1
                    last = costs[end].index(min(costs[end]))
                    path = trace_back(costs, trellis.nodes, trellis.blocks, last, end)
                    yield Piece(trellis, tuple(path), tuple(costs))
                if blocked is None:
                    break
                at, stretch = at + blocked + 1, stretch[blocked + 1 :]

    def _notes(self, passage: Passage, ground: Ground, wishes: Wishes) -> tuple[RouteNote, ...]:
        solved: dict[int, RouteNote] = {}
        builder, about, between = ground.builder, ground.about, ground.between
        for piece in ground.pieces:
            start = piece.trellis.start
            found = runners_up(
                piece.trellis, piece.path, list(piece.forward), builder, about, between, wishes.others
            )
            for index, place, column, (others, why) in zip(
                range(start, start + len(piece.path)), piece.path, piece.trellis.columns, found, strict=True
            ):
                solved[index] = self.note(index, passage, column[place], about[index], why, others)
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
        ornament = played_ornament(note, candidate, setting, self.model, self.trill_points)
        return RouteNote(
            index=index,
            note=note,
            candidate=candidate,
            holding=self.model.holding(candidate, setting) or EMPTY,
            flags=(
                *flags_of(candidate, setting, self.tables.figures),
                *ornament_flags(ornament, self.tables.figures.lean_lip),
            ),
            why=why,
            others=others,
            ornament=ornament,
        )

    def _changes(self, notes: tuple[RouteNote, ...], between: tuple[Link, ...]) -> Iterator[RouteChange]:
        for before, after in pairwise(notes):
            if before.candidate is None or after.candidate is None:
                continue
            yield self.change(before.candidate, after.candidate, between[after.index], after.index)

    def change(self, before: Candidate, after: Candidate, link: Link, to: int = 1) -> RouteChange:
        """The change between two grips in a link, into note `to`."""
        step = self.model.step(before, after)
        hands = self.model.times.hands(before.position, after.position)
        return RouteChange(
            to=to,
            change_ms=self.model.change_ms(step, link),
            available_ms=link.available_ms,
            load=self.model.load(step, link),
            movers=hands[0].movers + hands[1].movers,
            moving=self.model.moving(step, link) or EMPTY,
            advice=self._advice(before, after),
        )

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


def _status(report: LimitReport | None, *, gaps: bool) -> str:
    if report is not None and report.conflict is not None:
        return CONFLICT
    if gaps:
        return GAPS
    return OPTIMAL if report is None or report.proved else BOUNDED


def _stretches(columns: list[NoteColumn]) -> Iterator[tuple[int, list[Column]]]:
    """Start and columns of every run of notes that have candidates."""
    run: list[Column] = []
    for place, column in enumerate([*columns, NoteColumn(())]):
        if column.candidates:
            run.append(column.candidates)
        elif run:
            yield place - len(run), run
            run = []


def _cut(trellis: Trellis, costs: list[list[Cost]], end: int) -> tuple[Trellis, list[list[Cost]]]:
    """The part of a trellis before column `end`."""
    part = Trellis(trellis.start, trellis.columns[:end], trellis.nodes[:end], trellis.blocks[:end])
    return part, costs[:end]


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
    return tuple(distinct.values())[:most]


def _same_work(before: RouteNote, after: RouteNote) -> tuple[str, ...]:
    """What makes two changes the same: their pitches and grips."""
    grips = (note.candidate.grip.text if note.candidate else "" for note in (before, after))
    return before.note.pitch.plain, after.note.pitch.plain, *grips
