"""The baseline of counting fingers: every moving finger costs one, holding costs nothing."""

from collections.abc import Sequence

from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel, Numbers, Step
from gripway.effort.familiarity import may_stand
from gripway.effort.ledger import MILLI, NO_COST, Ledger
from gripway.effort.setting import Link, Setting


class FewestMovers(EffortModel):
    """An effort model that sees only how many fingers move."""

    unit = "moving fingers"

    def holding(self, candidate: Candidate, setting: Setting) -> Ledger | None:
        """Nothing, where the grip may stand."""
        return NO_COST if may_stand(candidate, setting) else None

    def steps(self, before: Sequence[Candidate], after: Candidate) -> list[Numbers]:
        """The steps with the number of moving fingers in place of their time."""
        counts = [len(self.change(candidate, after).movers) for candidate in before]
        found = super().steps(before, after)
        return [(float(n), *step[1:]) for step, n in zip(found, counts, strict=True)]

    def moving(self, step: Step, link: Link) -> Ledger | None:
        """The moving fingers as the one part of the ledger; None as in the effort model."""
        total = self.moving_total(step, link)
        return None if total is None else Ledger((("fingers", total),) if total else ())

    def moving_totals(self, steps: Sequence[Numbers], link: Link) -> list[int]:
        """A thousand thousandths for each moving finger."""
        return [MILLI * int(step[0]) for step in steps]
