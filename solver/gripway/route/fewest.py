"""The baseline of counting fingers: every moving finger costs one, holding costs nothing."""

from gripway.effort.candidate import Candidate
from gripway.effort.familiarity import trill_allowed
from gripway.effort.ledger import MILLI, Ledger
from gripway.effort.model import EffortModel, Step
from gripway.effort.setting import Link, Setting


class FewestMovers(EffortModel):
    """An effort model that sees only how many fingers move."""

    def holding(self, candidate: Candidate, setting: Setting) -> Ledger | None:
        """Nothing, where the grip may stand."""
        return Ledger(()) if trill_allowed(candidate, setting) else None

    def moving_total(self, step: Step, link: Link) -> int | None:
        """A thousand thousandths for each moving finger."""
        return MILLI * len(step.change.movers)
