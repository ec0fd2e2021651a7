"""Candidates: from a pitch to every grip, and every hand position, the route may choose from."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import NamedTuple

from gripway.candidates.familiarity_case import cases, drops_eb, form_of
from gripway.candidates.free_fingers import held_more, lifts_eb, same_holes, taught_to_matter
from gripway.candidates.model_opinion import modelled_lean, nearer, response_of
from gripway.candidates.trill_grips import with_trill_grips
from gripway.catalog.flute.grips import GripRow, allowed
from gripway.catalog.flute.trills import TrillRow
from gripway.catalog.tables.effort_figures import EffortTables
from gripway.effort.candidate import ANY_NEIGHBOUR, Candidate, Tendency
from gripway.effort.hand_support import support
from gripway.effort.position import Position, positions
from gripway.effort.tendency import NOTHING_KNOWN, tendency
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.model.player import OwnCents, Player
from gripway.model.survey import Survey


@dataclass(frozen=True, slots=True)
class FluteKnowledge:
    """What the tables, the model and the player say, ready to be turned into candidates.

    `found` are rows of found grips that may be used beside the printed ones.
    """

    instrument: Instrument
    rows: Mapping[int, tuple[GripRow, ...]]
    trills: Mapping[tuple[int, int], tuple[TrillRow, ...]]
    tables: EffortTables
    player: Player
    survey: Survey | None = None
    found: Mapping[int, tuple[GripRow, ...]] = field(default_factory=dict)


class WayToHold(NamedTuple):
    """One way to play a row: its plain candidate, the grip with what is held, the hand position.

    `held` counts fingers held without need, `thumb_held` says the thumb is on Tb without need.
    """

    plain: Candidate
    grip: Grip
    position: Position
    held: int
    thumb_held: bool


class Candidates:
    """The columns of the trellis, one a pitch, built once and remembered.

    `beside` is a book for the same flute and player with other bans: a pitch whose rows are the
    same in both gets the very same column, so that what is remembered of it serves both.
    """

    def __init__(self, knowledge: FluteKnowledge, beside: "Candidates | None" = None) -> None:
        self.knowledge = knowledge
        self._built: dict[tuple[object, ...], tuple[Candidate, ...]] = beside._built if beside else {}
        self._narrowed: dict[  # with the columns that the ids stand for
            tuple[int, Grip | None], tuple[tuple[Candidate, ...], tuple[Candidate, ...]]
        ] = beside._narrowed if beside else {}
        self._own: dict[tuple[int, Grip], OwnCents] = {(c.pitch, c.grip): c for c in knowledge.player.cents}
        self._rows = with_trill_grips(knowledge.rows, knowledge.trills)
        for pitch, rows in knowledge.found.items():
            self._rows[pitch] = (*self._rows.get(pitch, ()), *rows)
        self._usable: dict[int, tuple[GripRow, ...]] = {}
        self.column = cache(self._column)
        self.free_beside = cache(self._free_beside)
        self.plain = cache(self._plain)

    def rows(self, pitch: int) -> tuple[GripRow, ...]:
        """Table rows for a pitch, those that stand only among the trills last."""
        return self._rows.get(pitch, ())

    def standard_row(self, pitch: int) -> GripRow | None:
        """The standard row that cents are measured from on this flute."""
        rows = [row for row in self.rows(pitch) if row.kind == "standard"]
        usable = [row for row in rows if allowed(row, self.knowledge.instrument)] or rows
        marked = [row for row in usable if "base" in row.flags]
        return next(iter(marked or usable), None)

    def has_several_standards(self, pitch: int) -> bool:
        """Whether a pitch has more than one standard form on this flute."""
        return sum(row.kind == "standard" for row in self.usable(pitch)) > 1

    def fingered_b_flat(self, pitch: int) -> Grip | None:
        """The standard grip of a B flat with the right index finger, where the thumb stays on its key."""
        rows = (row for row in self.usable(pitch) if row.kind == "standard" and row.grip.has("R1"))
        return next((row.grip for row in rows if row.grip.has("T")), None)

    def _column(
        self, pitch: int, thumb: bool, lever: bool, free: tuple[Grip, ...] = ()
    ) -> tuple[Candidate, ...]:
        """Every candidate of a pitch, in tie order; empty when the pitch has none.

        With `thumb` the thumb may hold or rest over Tb where it matters to no hole, with
        `lever` R1 likewise over the side lever. `free` are free-finger variants of the standard
        grips to be added (see `free_beside`).
        """
        key = (pitch, thumb, lever, free, self.usable(pitch))
        if key not in self._built:
            self._built[key] = self._new_column(pitch, thumb, lever, free)
        return self._built[key]

    def pinned(self, pitch: int, grip: Grip, usual: tuple[Candidate, ...] = ()) -> tuple[Candidate, ...]:
        """The candidates of a pitch that have this grip: the usual ones, else every hand position it allows.

        A pinned trill grip may stand anywhere.
        """
        kept = [c for c in usual if c.grip == grip]
        if not kept:
            kept = [c for c in self.column(pitch, True, True, self.free(pitch)) if c.grip == grip]
        key = (pitch, grip, tuple(map(id, kept)))
        if key not in self._built:
            self._built[key] = tuple(c if c.usual else replace(c, partners=ANY_NEIGHBOUR) for c in kept)
        return self._built[key]

    def narrowed(self, column: tuple[Candidate, ...], row_grip: Grip | None) -> tuple[Candidate, ...]:
        """The candidates of a column that have one grip of the tables, or (None) the standard ones.

        All of them where there is none. A column narrowed alike is one object, whoever asks.
        """
        key = (id(column), row_grip)
        if key not in self._narrowed:
            kept = tuple(
                c for c in column if (c.kind == "standard" if row_grip is None else c.row_grip == row_grip)
            )
            self._narrowed[key] = column, kept or column
        return self._narrowed[key][1]

    def _new_column(
        self, pitch: int, thumb: bool, lever: bool, free: tuple[Grip, ...]
    ) -> tuple[Candidate, ...]:
        """Every candidate of a pitch, built."""
        ways: dict[tuple[int, int, int], WayToHold] = {}
        for row in self.usable(pitch):
            for way in self._ways(row, free, thumb=thumb, lever=lever):
                ways.setdefault((way.grip.mask, way.position.left_code, way.position.right_code), way)
        ordered = sorted(
            ways.values(), key=lambda way: (way.held + way.thumb_held > 0, way.plain.kind != "standard")
        )
        return tuple(
            replace(
                way.plain,
                grip=way.grip,
                position=way.position,
                pattern=self.knowledge.instrument.mechanism.hole_pattern(way.grip),
                support=self._support(way.grip),
                held=way.held,
                thumb_held=way.thumb_held,
                form=form_of(pitch, way.plain.kind, way.grip),
                eb_dropped=way.plain.eb_dropped or lifts_eb(way.plain.row_grip, way.grip),
                rank=rank,
            )
            for rank, way in enumerate(ordered)
        )

    def usable(self, pitch: int) -> tuple[GripRow, ...]:
        """The rows of a pitch this flute can play, this player allows, and the tables propose."""
        if pitch not in self._usable:
            bans, instrument = self.knowledge.player.bans, self.knowledge.instrument
            self._usable[pitch] = tuple(
                row
                for row in self.rows(pitch)
                if allowed(row, instrument)
                and "never-propose" not in row.flags
                and not any(ban.covers(pitch, row.grip, row.kind) for ban in bans)
            )
        return self._usable[pitch]

    def why_none(self, pitch: int) -> str:
        """Why a pitch has no candidate, in words a player understands."""
        instrument = self.knowledge.instrument
        if not instrument.lowest <= pitch <= instrument.highest:
            reach = f"{plain_name(instrument.lowest)} to {plain_name(instrument.highest)}"
            return f"outside the {instrument.title}: its tables cover {reach}"
        rows = self.rows(pitch)
        lacking = sorted({need for row in rows for need in row.needs if need not in instrument.parts})
        if rows and not any(allowed(row, instrument) for row in rows):
            return f"needs {' or '.join(lacking)}: name the parts your flute has"
        return "every grip is banned" if rows else "no grip in the tables"

    def _ways(self, row: GripRow, free: tuple[Grip, ...], *, thumb: bool, lever: bool) -> Iterator[WayToHold]:
        """Every hand position of a row's grip and of the same holes with a finger held or moved over."""
        instrument = self.knowledge.instrument
        own_rows = {other.grip for other in self.knowledge.rows.get(row.pitch, ())} - {row.grip}
        variants = list(same_holes(instrument, row.grip, thumb=thumb, lever=lever))
        if row.kind == "standard":
            own = self.free_of(row.pitch, row.grip)
            variants += [(grip, held_more(grip, row.grip), False) for grip in free if grip in own]
        for grip, held, thumb_held in variants:
            if grip in own_rows:  # a grip with a row of its own is judged by that row
                continue
            try:
                found = list(positions(instrument.mechanism, grip, thumb_rests=thumb, lever_rests=lever))
            except ImpossibleHoldError:
                continue
            plain = self.plain(row)
            yield from (WayToHold(plain, grip, position, held, thumb_held) for position in found)

    def free_of(self, pitch: int, grip: Grip) -> tuple[Grip, ...]:
        """Every free-finger variant of a grip the survey knows, but those teachers say are not free."""
        known = self.knowledge.survey.free.get((pitch, grip), ()) if self.knowledge.survey else ()
        return tuple(free for free in known if not taught_to_matter(self.usable(pitch), grip, free))

    def free(self, pitch: int) -> tuple[Grip, ...]:
        """Every free-finger variant of a pitch's standard grips."""
        standard = [row.grip for row in self.usable(pitch) if row.kind == "standard"]
        return tuple(dict.fromkeys(free for grip in standard for free in self.free_of(pitch, grip)))

    def _free_beside(self, pitch: int, beside: frozenset[int]) -> tuple[Grip, ...]:
        """Free-finger variants of a pitch's standard grips that keep the hands still towards neighbours.

        `beside` are the pitches before and after.
        """
        near = [row.grip for other in beside for row in self.usable(other) if row.kind == "standard"]
        own = [row for row in self.usable(pitch) if row.kind == "standard"]
        found = (nearer(row.grip, self.free_of(pitch, row.grip), near) for row in own)
        return tuple(dict.fromkeys(grip for grips in found for grip in grips))

    def _support(self, grip: Grip) -> float:
        player = self.knowledge.player
        return support(grip, self.knowledge.tables.support, little_finger=player.little_finger_supports)

    def _plain(self, row: GripRow) -> Candidate:
        """The candidate of a row as printed, without free fingers."""
        instrument = self.knowledge.instrument
        mechanism = instrument.mechanism
        standard = self.standard_row(row.pitch)
        known = (row.pitch, row.grip) in self.knowledge.player.known or row is standard
        case, case_in_use = cases(row, self.knowledge.tables.figures, known=known)
        survey, key = self.knowledge.survey, (row.pitch, row.grip)
        verdict = survey.verdicts.get(key) if survey else None
        texts = (survey.lineages.get(key) if survey else None) or (self._lineage(row), "")
        flags = set(row.flags) | ({"unconfirmed"} if row.pitch > instrument.unsure_above else set())
        return Candidate(
            pitch=row.pitch,
            grip=row.grip,
            position=next(positions(mechanism, row.grip)),
            pattern=mechanism.hole_pattern(row.grip),
            kind=row.kind,
            row_grip=row.grip,
            tendency=self._tendency(row, standard),
            response=row.response or response_of(verdict, row.kind, self.knowledge.tables.figures),
            case=case,
            case_in_use=case_in_use,
            uses=row.for_,
            partners=row.partners,
            form="",
            support=self._support(row.grip),
            eb_dropped=drops_eb(row, standard),
            rank=row.place,
            requires=tuple(sorted(row.needs)),
            flags=tuple(sorted(flags)),
            sources=row.sources,
            use=row.use,
            confidence=row.confidence,
            lineage=texts[0],
            fundamental=row.partial_of,
            verdict=verdict,
            sentence=texts[1],
        )

    def _lineage(self, row: GripRow) -> str:
        """`G4 x3` for a grip that is an overblown low grip by its row, or by being the same grip."""
        if row.partial and row.partial_of is not None:
            return f"{plain_name(row.partial_of)} x{row.partial}"
        below = self.standard_row(row.pitch - 12)
        return f"{plain_name(row.pitch - 12)} x2" if below and below.grip == row.grip else ""

    def _tendency(self, row: GripRow, standard: GripRow | None) -> Tendency:
        if standard is None or not self.knowledge.instrument.tendencies:
            own = self._own.get((row.pitch, row.grip))
            return Tendency(own.cents, own.spread_cents, None, "measured") if own else NOTHING_KNOWN
        modelled = modelled_lean(self.knowledge.survey)
        return tendency(row, standard, self._own, self.knowledge.tables.figures, modelled)
