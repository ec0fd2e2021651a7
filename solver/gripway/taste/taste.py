"""What marks say of the dials: learnt, tried on marks held out, compared with the dials as they are."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import ne

import numpy as np

from gripway.candidates.grip_check import GripCheck
from gripway.catalog.tables.effort_figures import EffortTables
from gripway.catalog.tables.taste_figures import TasteFigures
from gripway.display import Shown, brief, counted
from gripway.model.grip import Grip
from gripway.route.solve import Progress
from gripway.taste.agreement import Agreement, Bools, Evidence, Rows
from gripway.taste.always import KnownGrip, always_used
from gripway.taste.contradictions import Contradiction, contradictions
from gripway.taste.dial_settings import DialRanges, Dials
from gripway.taste.fitted import Fitted, HeldOut, believed, chance_of
from gripway.taste.held_out import Folds, folds
from gripway.taste.learning import FINE_TRIES, SPREADS_OCTAVES, TRIES, Learner, Weights
from gripway.taste.mark import MarkedPart, Place

LEARNT, PERHAPS, KEPT, TOO_FEW = "learnt", "perhaps", "kept", "too-few"
"""Dials or known grips explain more, of marks held out too; more, but that is not certain; nothing does;
there are too few marks to tell."""

MOST_WORK = 4_000_000
LEAST_SETTINGS = 300
"""Notes times first settings at most, and as many settings at least."""


@dataclass(frozen=True, slots=True)
class Missed:
    """A mark that does not come out, the grip that does (None: none), and if any setting tried gives it."""

    place: Place
    gets: Grip | None
    ever: bool


@dataclass(frozen=True, slots=True)
class DialFound:
    """A dial as it stands and as the marks have it."""

    name: str
    now: float
    found: float


@dataclass(frozen=True, slots=True)
class Taste(Shown):
    """What marks say of a player's taste; `status` is LEARNT, PERHAPS, KEPT or TOO_FEW.

    Only in the first two do the dials differ from those that stand, and are there `known` grips to add.
    `right` of the `marks` come out with what was found, `right_now` without it, marks it was learnt from
    included; `held_out` is the honest figure. `quiet` counts notes without a mark that were weak evidence.
    """

    status: str
    parts: int
    marks: int
    quiet: int
    dials: tuple[DialFound, ...]
    known: tuple[KnownGrip, ...]
    right: int
    right_now: int
    held_out: HeldOut | None
    missed: tuple[Missed, ...]
    contradictions: tuple[Contradiction, ...]

    def __repr__(self) -> str:
        moved = [f"{dial.name} {dial.found:g}" for dial in self.dials if dial.found != dial.now]
        return brief(self, self.status, counted(self.marks, "mark"), *moved)


def taste_of(
    parts: Sequence[MarkedPart],
    checks: Sequence[GripCheck],
    tables: EffortTables,
    figures: TasteFigures,
    progress: Progress | None = None,
) -> Taste:
    """What the marks of parts say of the dials; `checks` look grips up on the flute of each part.

    All parts are one player's. Parts without marks are passed over. `progress` is called with steps done and
    in all; what it raises ends the work.
    """
    marked = [(part, check) for part, check in zip(parts, checks, strict=True) if part.marks]
    return _Study(
        [part for part, _ in marked], [check for _, check in marked], tables, figures, progress
    ).taste()


Known = frozenset[tuple[int, int]]
"""Pitches and touches of grips taken as known."""


class _Study:
    """The work of one answer."""

    def __init__(
        self,
        parts: Sequence[MarkedPart],
        checks: Sequence[GripCheck],
        tables: EffortTables,
        figures: TasteFigures,
        progress: Progress | None,
    ) -> None:
        self.parts, self.checks, self.tables, self.figures = parts, checks, tables, figures
        self.progress, self.done, self.total = progress, 0, 1
        names = tuple(tables.dials)
        asked = dict(parts[0].knowledge.player.dials) if parts else {}
        dials = tables.dials.values()
        self.ranges = DialRanges(
            names,
            tuple(asked.get(name, dial.default) for name, dial in tables.dials.items()),
            tuple(dial.least for dial in dials),
            tuple(dial.most for dial in dials),
        )
        self.marks = [(number, mark) for number, part in enumerate(parts) for mark in part.marks]
        self._agreements: dict[Known, Agreement] = {}
        self._learners: dict[Known, Learner] = {}

    def taste(self) -> Taste:
        """The answer."""
        dealt = folds(self.parts, self.figures) if len(self.marks) >= self.figures.least_marks else None
        if dealt is None:
            return self._answer(TOO_FEW, self.ranges.now, (), None)
        if chance_of(len(self.marks) - self._right_now, 0) > self.figures.chance_most_share:
            return self._answer(KEPT, self.ranges.now, (), None)  # nothing that could be gained is enough
        found = self._tried(dealt)
        if not found:
            return self._answer(KEPT, self.ranges.now, (), None)
        best = believed(found, self.weights)
        held = best.held_out
        same = best.dials == self.ranges.now and not best.known
        certain = not same and held.chance_share <= self.figures.chance_most_share
        if certain and best.right >= self._right_now:
            return self._answer(LEARNT, best.dials, best.known, held)
        if not same and held.gained >= held.lost and best.net >= self.figures.perhaps_marks:
            return self._answer(PERHAPS, best.dials, best.known, held)
        return self._answer(KEPT, self.ranges.now, (), held)

    def _tried(self, dealt: Folds) -> list[Fitted]:
        """Grips as known, dials, and both: those that lose no more evidence than they win.

        A known grip changes its own notes only, dials change all: dials are learnt beside known grips only
        where these leave marks enough to be learnt from.
        """
        wanting = {
            mark.note.pitch.number
            for (_, mark), came in zip(self.marks, self._come_now, strict=True)
            if not came
        }
        always = tuple(
            each
            for each in always_used(self.parts, self.checks, self.figures)
            if each.pitch in wanting  # a grip that comes out already need not be known
        )
        a_turn = len(SPREADS_OCTAVES) + TRIES + 1
        at_the_end = len(SPREADS_OCTAVES) + FINE_TRIES + 4 * len(self.ranges.now)
        self.total = (1 + bool(always)) * (dealt.count * a_turn + at_the_end)
        found = [self._fitted(dealt, always, learns=False)] if always else []
        left = len(self.marks) - max((each.right for each in found), default=0)
        if always and chance_of(left, 0) <= self.figures.chance_most_share:
            found.append(self._fitted(dealt, always))
        found.append(self._fitted(dealt, ()))
        heard_now = int(self._agreement(frozenset()).exact(self.ranges.now).sum())
        return [each for each in found if each.heard >= heard_now]

    def _answer(
        self, status: str, dials: Dials, known: tuple[KnownGrip, ...], held_out: HeldOut | None
    ) -> Taste:
        agreement = self._agreement(_keys(known))
        right = agreement.exact(dials)[: len(self.marks)] if self.marks else np.zeros(0, dtype=np.bool_)
        rows = agreement.rows(dials) if self.marks else ()
        ever = self._ever | right
        return Taste(
            status=status,
            parts=len(self.parts),
            marks=len(self.marks),
            quiet=len(self.evidence) - len(self.marks),
            dials=tuple(map(DialFound, self.ranges.names, self.ranges.now, dials)),
            known=known,
            right=int(right.sum()),
            right_now=self._right_now,
            held_out=held_out,
            missed=tuple(
                Missed(Place.of(self.parts[number], mark), _grip(rows[number], mark.index), bool(ever[k]))
                for k, (number, mark) in enumerate(self.marks)
                if not right[k]
            ),
            contradictions=contradictions(self.parts, self.tables.figures.figure_tempo_factor),
        )

    @cached_property
    def _come_now(self) -> Bools:
        """Which marks come out with the dials as they stand."""
        return self._agreement(frozenset()).exact(self.ranges.now)[: len(self.marks)]

    @property
    def _right_now(self) -> int:
        return int(self._come_now.sum())

    @property
    def _ever(self) -> Bools:
        """Which marks any setting tried gives."""
        if self.marks and self._right_now < len(self.marks) and not self._learners:
            self._learner(frozenset())
        found = np.zeros(len(self.marks), dtype=np.bool_)
        for learner in self._learners.values():
            found |= learner.ever[: len(self.marks)]
        return found

    @cached_property
    def evidence(self) -> tuple[Evidence, ...]:
        """The marks, then the notes without one."""
        found = [Evidence(number, mark.index, mark.rows) for number, mark in self.marks]
        now: tuple[Rows, ...] = ()
        for number, part in enumerate(self.parts):
            for quiet in part.quiet:
                if quiet.rows:
                    found.append(Evidence(number, quiet.index, quiet.rows))
                    continue
                now = now or Agreement(self.parts, (), self.ranges.names).rows(self.ranges.now)
                if quiet.index in now[number]:
                    found.append(Evidence(number, quiet.index, frozenset({now[number][quiet.index]})))
        return tuple(found)

    @cached_property
    def weights(self) -> Weights:
        """What every piece of evidence counts for: unmarked notes together no more than the marks."""
        marks, quiet = len(self.marks), len(self.evidence) - len(self.marks)
        each = min(self.figures.quiet_weight_marks, marks / max(1, quiet))
        return np.array([1.0] * marks + [each] * quiet)

    def _agreement(self, known: Known) -> Agreement:
        if known not in self._agreements:
            parts = [_with_known(part, known) for part in self.parts]
            self._agreements[known] = Agreement(parts, self.evidence, self.ranges.names)
        return self._agreements[known]

    def _learner(self, known: Known) -> Learner:
        if known not in self._learners:
            notes = sum(len(part.passage.notes) for part in self.parts)
            most = min(self.figures.first_settings, max(LEAST_SETTINGS, MOST_WORK // max(1, notes)))
            self._learners[known] = Learner(
                self._agreement(known), self.ranges, self.figures.octave_marks, most, self._tick
            )
        return self._learners[known]

    def _tick(self) -> None:
        self.done += 1
        if self.progress:
            self.progress(min(self.done, self.total), self.total)

    def _fitted(self, dealt: Folds, known: tuple[KnownGrip, ...], *, learns: bool = True) -> Fitted:
        """What is learnt of all marks, and what the turns say of it; the dials stay unless it `learns`."""
        fold = self._folds_of_evidence(dealt)
        came = np.zeros(len(self.evidence), dtype=np.bool_)
        for turn in range(dealt.count):
            held = fold == turn
            own = self._known_without(known, held)
            dials = self.ranges.now
            if learns:
                dials = self._learner(own).best(np.where(held, 0.0, self.weights), fine=False)
            came[held] = self._agreement(own).exact(dials)[held]
        dials = self._learner(_keys(known)).best(self.weights, fine=True) if learns else self.ranges.now
        right, now = came[: len(self.marks)], self._come_now
        gained, lost = int((right & ~now).sum()), int((now & ~right).sum())
        moved = float(self.ranges.octaves(np.array([dials], dtype=np.float32))[0])
        heard = self._agreement(_keys(known)).exact(dials)
        come = int(heard[: len(self.marks)].sum())
        price = self.figures.octave_marks * moved + self.figures.known_marks * len(known)
        return Fitted(
            dials=dials,
            known=known,
            right=come,
            heard=int(heard.sum()),
            came=came,
            worth=float(came @ self.weights) - price,
            net=come - self._right_now - price,
            changes=sum(map(ne, dials, self.ranges.now)) + len(known),
            held_out=HeldOut(
                marks=len(self.marks),
                right=int(right.sum()),
                right_now=self._right_now,
                gained=gained,
                lost=lost,
                chance_share=chance_of(gained, lost),
                folds=dealt.count,
                by=dealt.by,
            ),
        )

    def _known_without(self, known: tuple[KnownGrip, ...], held: Bools) -> Known:
        """Those of some known grips that the marks which are not held out show as well."""
        if not known:
            return frozenset()
        kept = {(n, mark.index) for k, (n, mark) in enumerate(self.marks) if not held[k]}
        less = replace(self.figures, known_least_marks=1, known_least_figures=1)
        return _keys(always_used(self.parts, self.checks, less, kept)) & _keys(known)

    def _folds_of_evidence(self, dealt: Folds) -> np.ndarray:
        """The fold of every piece of evidence: a note without a mark goes with the nearest one."""
        by_part: dict[int, list[tuple[int, int]]] = {}
        for (number, mark), fold in zip(self.marks, dealt.of_mark, strict=True):
            by_part.setdefault(number, []).append((mark.index, fold))
        found = [*dealt.of_mark]
        for each in self.evidence[len(self.marks) :]:
            apart = [(abs(index - each.index), index, fold) for index, fold in by_part[each.part]]
            found.append(min(apart)[2])
        return np.array(found)


def _keys(known: Sequence[KnownGrip]) -> Known:
    return frozenset((each.pitch, each.grip.mask) for each in known)


def _with_known(part: MarkedPart, known: Known) -> MarkedPart:
    """A part whose player knows these grips as well."""
    if not known:
        return part
    player = part.knowledge.player
    more = player.known | {(pitch, Grip(mask)) for pitch, mask in known}
    return replace(part, knowledge=replace(part.knowledge, player=replace(player, known=more)))


def _grip(rows: Rows, index: int) -> Grip | None:
    return Grip(rows[index]) if index in rows else None
