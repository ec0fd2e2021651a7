"""The two questions of the search, answered as ledgers: the cost of holding, the cost of moving."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, partial
from typing import NamedTuple, Protocol

from gripway.catalog.tables.effort_figures import EffortTables, Figures
from gripway.effort.candidate import Candidate
from gripway.effort.change_time import Change, ChangeTimes, in_context
from gripway.effort.familiarity import (
    DYNAMICS,
    b_flat_effort,
    held_effort,
    may_stand,
    unfamiliarity,
)
from gripway.effort.hand_support import looseness_effort, sudden_balance, suddenness
from gripway.effort.lean_effort import expected_tuning_effort
from gripway.effort.ledger import MILLI, Ledger, ledger
from gripway.effort.load import load_effort
from gripway.effort.own_time_tables import counting
from gripway.effort.setting import Link, Setting, length_uses
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip
from gripway.model.player import Player
from gripway.model.survey import HIGHEST_CLAIM


class GripsOf(Protocol):
    """The candidates of a pitch, for the other note of a trill; with a grip those that have it."""

    def __call__(self, pitch: int, grip: Grip | None = None) -> Sequence[Candidate]:
        """Candidates in tie order, none where there is none."""
        ...


UnsafeShare = Callable[[tuple[str, ...], tuple[str, ...], int, int], float]
"""Share of the grips between two hand positions (places of all fingers) that sound neither pitch."""


PairPoints = Callable[[Candidate, Candidate], float]
"""Points against a pair of grips for a trill, the written note's grip first; 0 is as good as can be."""


def no_grips(pitch: int, grip: Grip | None = None) -> Sequence[Candidate]:
    """No candidates: trills cost nothing where nobody says how to play their other note."""
    return ()


def no_points(_candidate: Candidate, _other: Candidate) -> float:
    """No points: trills are judged by one change and one holding of the other note alone."""
    return 0.0


Numbers = tuple[float, float, bool, int, float, float, float]
"""A Step as a plain tuple: the search makes too many of them to name their parts."""


class Step(NamedTuple):
    """A change between two candidates in numbers: finger work, balance, lip work.

    `alternating_ms` and `line_ms` as in Change, `movers` a bit for each finger that moves; `balance`
    is the effort of the change of support with no time to spare, `lip` that of the lip, `unsafe` the
    share of grips on the way that sound neither note.
    """

    alternating_ms: float
    line_ms: float
    thumb_slide: bool
    movers: int
    balance: float
    lip: float
    unsafe: float


MOVING = ("load", "balance", "lip", "unsafe", "thumb")
HOLDING = ("tuning", "looseness", "response", "familiarity", "held", "b_flat")
"""The terms a change costs, and those a grip costs on a note without an ornament."""


class EffortModel:
    """Costs for one player: truth from the tables, preference from the player's dials.

    `unit` names what the ledgers count, for showing.
    """

    unit = "effort"

    def __init__(
        self,
        tables: EffortTables,
        player: Player,
        grips_of: GripsOf = no_grips,
        unsafe: UnsafeShare | None = None,
        pair_points: PairPoints = no_points,
    ) -> None:
        self.tables = tables
        self.player = player
        self.grips_of = grips_of
        self.unsafe = unsafe
        self.pair_points = pair_points
        self.figures = tables.figures
        self.dials = _dials(tables, player)
        self.times = ChangeTimes(tables.figures, _weights(tables, player))
        self.sudden_balance: Callable[[float], float] = cache(partial(sudden_balance, figures=self.figures))

    def with_tables(self, tables: EffortTables) -> "EffortModel":
        """The same player, model and grips with other tables."""
        return EffortModel(tables, self.player, self.grips_of, self.unsafe, self.pair_points)

    def moves_as(self, other: "EffortModel") -> bool:
        """Whether the dials of another model, of the same player but for them, make changes cost the same."""
        return all(self.dials[term] == other.dials[term] for term in MOVING)

    def holds_as(self, other: "EffortModel") -> bool:
        """The same for grips of notes without an ornament."""
        return all(self.dials[term] == other.dials[term] for term in HOLDING)

    def holding(self, candidate: Candidate, setting: Setting) -> Ledger | None:
        """Ledger of holding a grip on a note; None when it may not stand there."""
        if not may_stand(candidate, setting):
            return None
        adorned = self.ornament(candidate, setting)
        if adorned is None:
            return None
        tables, figures, dial = self.tables, self.figures, self.dials
        sound = looseness_effort(candidate.support, setting.exposure, figures)
        return ledger(
            (
                ("tuning", dial["tuning"] * self.tuning(candidate, setting)),
                ("looseness", dial["looseness"] * sound),
                ("response", dial["response"] * self._response(candidate, setting)),
                ("familiarity", dial["familiarity"] * unfamiliarity(candidate, setting, tables)),
                ("held", dial["held"] * held_effort(candidate, setting, tables)),
                ("b_flat", dial["b_flat"] * b_flat_effort(candidate, setting, tables)),
                ("trill", adorned[0] / MILLI),
            )
        )

    def ornament(
        self, candidate: Candidate, setting: Setting
    ) -> tuple[int, tuple[Candidate | None, ...]] | None:
        """Least effort (thousandths) of the ornament on a note held with this grip, and the other grips.

        A trill has one other note (see `trill`) and one more in its ending, a mordent one and a turn
        two (`auxiliary`), in the order they are played; each stands for itself because the fingers
        come back to this grip in between. No grips for a note without an ornament; None when one of
        them cannot be reached.
        """
        candidate = replace(candidate, entry=None) if candidate.entry else candidate
        total, others = 0, list[Candidate | None]()
        if setting.trill is not None:
            trilling = self.trill(candidate, setting)
            if trilling is None:
                return None
            total, others = trilling[0], [trilling[1]]
        for pitch in setting.auxiliaries:
            reached = self.auxiliary(candidate, pitch, setting)
            if reached is None:
                return None
            total += reached[0]
            others.append(reached[1])
        return total, tuple(others)

    def trill(self, candidate: Candidate, setting: Setting) -> tuple[int, Candidate | None] | None:
        """Least effort (thousandths) of trilling from this grip, and the grip of the other note.

        One change at the speed of a trill, one holding of the other note, and what speaks against
        the pair for a whole trill; (0, None) for a note without a trill or with one whose other
        note has no grip at all, None when none of its grips can be reached from this one.
        """
        others = self.grips_of(setting.trill, setting.trill_grip) if setting.trill is not None else ()
        if not others:
            return 0, None
        beside = _beside(setting, candidate.pitch, self.figures.trill_note_ms, self.figures)
        there = replace(beside, paired=True)
        fast = Link(self.figures.trill_note_ms, 1.0, slurred=True)
        reached = [(self._aside(candidate, other, there, fast), k) for k, other in enumerate(others)]
        best: tuple[int, int] | None = None
        for cost, k in sorted((cost, k) for cost, k in reached if cost is not None):
            if best is not None and cost > best[0]:  # points only add to it
                break
            against = self.figures.trill_point_effort * self.pair_points(candidate, others[k])
            total = (cost + round(MILLI * against), k)
            best = total if best is None else min(best, total)
        return None if best is None else (best[0], others[best[1]])

    def auxiliary(
        self, candidate: Candidate, pitch: int, setting: Setting
    ) -> tuple[int, Candidate | None] | None:
        """Least effort (thousandths) of going from this grip to an auxiliary note and back, and its grip.

        (0, None) when the auxiliary note has no grip at all, None when none can be reached.
        """
        others = self.grips_of(pitch)
        if not others:
            return 0, None
        short_ms = setting.auxiliary_ms
        passing = min(setting.exposure, round(short_ms / self.figures.exposure_full_ms, 3))
        there = replace(_beside(setting, candidate.pitch, short_ms, self.figures), exposure=passing)
        link = Link(short_ms, 0.0, slurred=True)
        costs = []
        for k, other in enumerate(others):
            there_cost = self._aside(candidate, other, there, link)
            back = self.moving_total(self.step(other, candidate), link)
            if there_cost is not None and back is not None:
                costs.append((there_cost + back, k))
        if not costs:
            return None
        cost, place = min(costs)
        return cost, others[place]

    def entered(self, candidate: Candidate, setting: Setting) -> Candidate:
        """The candidate with the grip it is entered by, where its trill begins with the upper note."""
        trilling = self.trill(candidate, setting) if setting.from_upper else None
        return replace(candidate, entry=trilling[1]) if trilling and trilling[1] else candidate

    def _aside(self, candidate: Candidate, other: Candidate, there: Setting, link: Link) -> int | None:
        """One change to another note of an ornament, and one holding of it."""
        held = self.holding(other, there)
        moved = self.moving_total(self.step(candidate, other), link)
        return None if held is None or moved is None else held.total + moved

    def tuning(self, candidate: Candidate, setting: Setting) -> float:
        """Effort of the expected lean, before the tuning dial; 0 where nothing is known."""
        tendency, figures = candidate.tendency, self.figures
        if tendency.cents is None:
            return 0.0
        heard = 1.0 - (1.0 - figures.tuning_alternating_factor) * setting.alternation
        spread = 0.0 if candidate.usual else tendency.spread_cents or 0.0
        cost = expected_tuning_effort(tendency.cents + setting.drift_cents, spread, figures)
        return cost * setting.exposure * heard * self._habit(candidate, setting)

    def _habit(self, candidate: Candidate, setting: Setting) -> float:
        """Share of what a poor usual grip costs where habit has paid for it: on passing notes."""
        if not candidate.usual:
            return 1.0
        return setting.sustain + (1.0 - setting.sustain) * self.figures.tuning_habit_share

    def _response(self, candidate: Candidate, setting: Setting) -> float:
        """Effort of a grip that speaks poorly; habit helps in a line, not in a leap."""
        size = self.tables.response[candidate.response or "plain"] * setting.exposure
        if "soft" in setting.uses:
            size *= self.figures.response_soft_factor
        return size if "leap" in setting.uses else size * self._habit(candidate, setting)

    def step(self, before: Candidate, after: Candidate) -> Step:
        """What a change between two grips is, whatever the music around it."""
        return Step(*self.steps((before,), after)[0])

    def steps(self, before: Sequence[Candidate], after: Candidate) -> list[Numbers]:
        """The step from each of several grips to one other, as plain tuples in the order of Step.

        A trill from its upper note is entered by that note's grip.
        """
        after = after.entry or after
        pattern, support, places = after.pattern, after.support, after.position.places
        unsafe = None if after.pitch > HIGHEST_CLAIM else self.unsafe  # where no model claims anything: 0
        changed = [before_one.pattern ^ pattern for before_one in before]
        briefs = self.times.briefs(
            (candidate.position for candidate in before), after.position, map(int.bit_count, changed)
        )
        return [
            (
                *brief,
                self.sudden_balance(support - candidate.support),
                0.0 if moved else self._lip(candidate, after),
                unsafe(candidate.position.places, places, candidate.pitch, after.pitch)
                if unsafe and moved and after.pitch != candidate.pitch <= HIGHEST_CLAIM
                else 0.0,
            )
            for candidate, brief, moved in zip(before, briefs, changed, strict=True)
        ]

    def _lip(self, before: Candidate, after: Candidate) -> float:
        """Lip work (effort) of going to another partial on the same holes, to or from a harmonic.

        A leap between a low note and its own partial is free of it: any grip asks as much of
        the lip.
        """
        if before.pitch == after.pitch or "harmonic" not in (before.kind, after.kind):
            return 0.0
        own_partial = after.fundamental == before.pitch or before.fundamental == after.pitch
        return 0.0 if own_partial else self.figures.partial_change_effort

    def change(self, before: Candidate, after: Candidate) -> Change:
        """The finger work of a change with its movers and addends, for showing."""
        after = after.entry or after
        holes_moved = (before.pattern ^ after.pattern).bit_count()
        return self.times.change(before.position, after.position, holes_moved)

    def moving(self, step: Step, link: Link) -> Ledger | None:
        """Ledger of a change in its place; None when it is not allowed in the time."""
        slide = self.thumb_effort(link) if step.thumb_slide else 0.0
        if slide is None:
            return None
        balance = step.balance * suddenness(link.available_ms, self.figures)
        return ledger(
            (
                ("load", self.dials["load"] * load_effort(self._judged_load(step, link), self.figures)),
                ("balance", self.dials["balance"] * balance),
                ("lip", self.dials["lip"] * step.lip * self._lip_share(link)),
                ("unsafe", self.dials["unsafe"] * step.unsafe * self._unsafe_effort(link)),
                ("thumb", self.dials["thumb"] * slide),
            )
        )

    def thumb_effort(self, link: Link) -> float | None:
        """Effort of the thumb going over between T and Tb, before its dial; None where there is no time.

        In a rest it is lifted and put down anew; on a held note it slides, the longer the easier.
        """
        figures, available_ms = self.figures, link.available_ms
        if self.lifts_in_rest(link):
            return figures.thumb_rest_effort
        if available_ms < figures.thumb_slide_least_ms:
            return None
        return figures.thumb_slide_effort * figures.thumb_slide_least_ms / available_ms

    def lifts_in_rest(self, link: Link) -> bool:
        """Whether a rest lets the thumb be lifted and put down anew."""
        return link.rested and link.available_ms >= self.figures.thumb_rest_least_ms

    def moving_total(self, step: Step, link: Link) -> int | None:
        """The total of `moving` without the ledger."""
        if step.thumb_slide and self.thumb_effort(link) is None:
            return None
        return self.moving_totals([step], link)[0]

    def moving_totals(self, steps: Sequence[Numbers], link: Link) -> list[int]:
        """Totals of `moving` for many steps in one link, thumb slides not looked at."""
        figures, dials = self.figures, self.dials
        touch, alternation, fresh = self._touch(link, self._pace_ms(link)), link.alternation, link.fresh
        turning_ms = self.times.turning_ms
        loads, balances, lips = dials["load"], dials["balance"], dials["lip"]
        share, below = suddenness(link.available_ms, figures), figures.load_below_effort
        stray, strays, lip_share = dials["unsafe"], self._unsafe_effort(link), self._lip_share(link)
        rested = self.lifts_in_rest(link)
        slide_milli = round(dials["thumb"] * (self.thumb_effort(link) or 0.0) * MILLI)
        totals = []
        for alternating_ms, line_ms, slides, movers, balance, lip, unsafe in steps:
            if slides and rested:
                line_ms -= figures.line_slide_thumb_ms
            if movers & fresh:
                line_ms = max(line_ms, turning_ms(movers & fresh))
            load = touch * (line_ms + alternation * (alternating_ms - line_ms))
            # load_effort, with its commonest case looked at here: the search asks it for every edge
            effort = below * load * load if load <= 1.0 else load_effort(load, figures)
            total = round(loads * effort * MILLI)
            if balance:
                total += round(balances * (balance * share) * MILLI)
            if lip:
                total += round(lips * lip * lip_share * MILLI)
            if unsafe:
                total += round(stray * unsafe * strays * MILLI)
            if slides:
                total += slide_milli
            totals.append(total)
        return totals

    def _lip_share(self, link: Link) -> float:
        """Lip work against that of a line: lips do not go to and fro as fingers do."""
        return 1.0 + link.alternation * (self.figures.partial_alternating_factor - 1.0)

    def _unsafe_effort(self, link: Link) -> float:
        """Effort of a change all of whose ways sound neither note, in the time of a link."""
        return self.figures.unsafe_effort * min(1.0, self.figures.unsafe_time_ms / link.available_ms)

    def change_ms(self, step: Step, link: Link) -> float:
        """Change time in its context, in milliseconds."""
        turning_ms = self.times.turning_ms(step.movers & link.fresh)
        slid_ms = self.figures.line_slide_thumb_ms * (step.thumb_slide and self.lifts_in_rest(link))
        line_ms = max(step.line_ms - slid_ms, turning_ms)
        return in_context(step.alternating_ms, line_ms, link.alternation)

    def load(self, step: Step, link: Link) -> float:
        """Change time over time available, after tonguing or slurring."""
        return self._touch(link, link.available_ms) * self.change_ms(step, link)

    def _judged_load(self, step: Step, link: Link) -> float:
        """The load a change is judged by: what alternates faster than a trill is played as one."""
        return self._touch(link, self._pace_ms(link)) * self.change_ms(step, link)

    def _pace_ms(self, link: Link) -> float:
        """Time a change is judged by: nobody alternates faster than a trill, whatever is written."""
        return max(link.available_ms, link.alternation * self.figures.alternation_full_ms)

    def _touch(self, link: Link, available_ms: float) -> float:
        """Load per millisecond of change time."""
        return (self.figures.slurred_factor if link.slurred else self.figures.tongued_factor) / available_ms


def _beside(setting: Setting, pitch: int, each_ms: float, figures: Figures) -> Setting:
    """The setting of another note of an ornament: `each_ms` long, between two notes of this pitch.

    However long the written note is, this one is short: grips for motion may stand on it.
    """
    around = frozenset({pitch})
    uses = length_uses(each_ms, figures) | {"turn"} | (setting.uses & {*DYNAMICS, "pp"})
    return replace(
        setting, neighbours=around, partners=around, uses=uses, trill=None, trill_grip=None, auxiliaries=()
    )


def _dials(tables: EffortTables, player: Player) -> dict[str, float]:
    """Factor of every ledger term from the player's dials."""
    chosen = dict(player.dials)
    factors: dict[str, float] = {}
    for name, dial in tables.dials.items():
        value = chosen.pop(name, dial.default)
        if not dial.least <= value <= dial.most:
            raise PlayerFileError(
                f"dial {name} is {value:g}, outside {dial.least:g} to {dial.most:g}",
                place=f"dials.{name}",
                next_step="Choose a value inside the range",
            )
        factors |= dict.fromkeys(dial.terms, value)
    if chosen:
        raise PlayerFileError(
            f"no such dial: {', '.join(sorted(chosen))}",
            place="dials",
            next_step=f"The dials are {', '.join(tables.dials)}",
        )
    return factors


def _weights(tables: EffortTables, player: Player) -> dict[str, float]:
    """Each finger's weight with the player's factor on it; own times that count have it in them."""
    factors = {} if counting(player) else dict(player.finger_factors)
    return {finger: weight * factors.get(finger, 1.0) for finger, weight in tables.finger_weight.items()}
