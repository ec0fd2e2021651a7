"""The two questions of the search, answered as ledgers: the cost of holding, the cost of moving."""

from dataclasses import dataclass

from gripway.catalog.effort_figures import EffortTables
from gripway.effort.candidate import Candidate
from gripway.effort.change import Change, ChangeTimes
from gripway.effort.familiarity import b_flat_effort, held_effort, trill_allowed, unfamiliarity
from gripway.effort.ledger import MILLI, Ledger, ledger
from gripway.effort.load import load_effort
from gripway.effort.setting import Link, Setting
from gripway.effort.steadiness import balance_effort, looseness_effort
from gripway.effort.tuning import expected_lean, tuning_effort
from gripway.errors import PlayerFileError
from gripway.model.player import Player


@dataclass(frozen=True, slots=True)
class Step:
    """A change between two candidates: finger work, change of support, and lip work (effort)."""

    change: Change
    support_change: float
    lip: float


class EffortModel:
    """Costs for one player: truth from the tables, preference from the player's dials."""

    def __init__(self, tables: EffortTables, player: Player) -> None:
        self.tables = tables
        self.figures = tables.figures
        self.dials = _dials(tables, player)
        self.times = ChangeTimes(tables.figures, _weights(tables, player))

    def holding(self, candidate: Candidate, setting: Setting) -> Ledger | None:
        """Ledger of holding a grip on a note; None when it may not stand there."""
        if not trill_allowed(candidate, setting):
            return None
        tables, figures, dial = self.tables, self.figures, self.dials
        sound = looseness_effort(candidate.support, setting.exposure, figures)
        response = tables.response.get(candidate.response, 0.0) * setting.exposure
        return ledger((
            ("tuning", dial["tuning"] * self.tuning(candidate, setting)),
            ("looseness", dial["looseness"] * sound),
            ("response", dial["response"] * response),
            ("familiarity", dial["familiarity"] * unfamiliarity(candidate, setting, tables)),
            ("held", dial["held"] * held_effort(candidate, setting, tables)),
            ("b_flat", dial["b_flat"] * b_flat_effort(candidate, setting, tables)),
        ))

    def tuning(self, candidate: Candidate, setting: Setting) -> float:
        """Effort of the expected lean, before the tuning dial; 0 where nothing is known."""
        tendency = candidate.tendency
        if tendency.cents is None:
            return 0.0
        lean = expected_lean(tendency.cents, setting.drift_cents, tendency.doubt_cents)
        heard = 1.0 - (1.0 - self.figures.tuning_alternating) * setting.alternation
        return tuning_effort(lean, setting.exposure * heard, self.figures)

    def step(self, before: Candidate, after: Candidate) -> Step:
        """What a change between two grips is, whatever the music around it."""
        same_holes = before.pattern == after.pattern and before.pitch != after.pitch
        lip = same_holes and "harmonic" in (before.kind, after.kind)
        holes_moved = (before.pattern ^ after.pattern).bit_count()
        return Step(
            change=self.times.change(before.position, after.position, holes_moved),
            support_change=after.support - before.support,
            lip=self.figures.partial_change if lip else 0.0,
        )

    def moving(self, step: Step, link: Link) -> Ledger | None:
        """Ledger of a change in its place; None when it is not allowed in the time."""
        if step.change.thumb_slide and link.available_ms < self.figures.thumb_slide_least:
            return None
        balance = balance_effort(step.support_change, link.available_ms, self.figures)
        return ledger((
            ("load", self.dials["load"] * load_effort(self.load(step.change, link), self.figures)),
            ("balance", self.dials["balance"] * balance),
            ("lip", self.dials["lip"] * step.lip),
        ))

    def moving_total(self, step: Step, link: Link) -> int | None:
        """The total of `moving` without the ledger, for the many changes the search looks at."""
        change, figures, dials = step.change, self.figures, self.dials
        if change.thumb_slide and link.available_ms < figures.thumb_slide_least:
            return None
        total = round(dials["load"] * load_effort(self.load(change, link), figures) * MILLI)
        if step.lip:
            total += round(dials["lip"] * step.lip * MILLI)
        if abs(step.support_change) > figures.balance_free:
            balance = balance_effort(step.support_change, link.available_ms, figures)
            total += round(dials["balance"] * balance * MILLI)
        return total

    def load(self, change: Change, link: Link) -> float:
        """Change time over time available, after tonguing or slurring."""
        touch = self.figures.slurred if link.slurred else self.figures.tongued
        return touch * change.ms(link.alternation, self.figures) / link.available_ms


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
    factors = dict(player.finger_factors)
    return {finger: weight * factors.get(finger, 1.0) for finger, weight in tables.finger_weight.items()}
