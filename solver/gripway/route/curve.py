"""The learning curve as an answer shows it: of each number of new grips the effort, load and places."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.charges.charged_route import Charged
from gripway.charges.charges_paid import Charges
from gripway.charges.learning_curve import CurvePoint
from gripway.display import brief, counted
from gripway.effort.costs import Step
from gripway.effort.ledger import MILLI
from gripway.effort.setting import Link
from gripway.model.grip import Grip
from gripway.trellis.trellis import TrellisBuilder

Loads = dict[tuple[int, int, int, int, Link], float]
"""Loads by the columns before and after, the places in them, and the link."""


@dataclass(frozen=True, slots=True)
class CurveStep:
    """One point of the curve: the new grips (pitch, grip), on how many notes they stand, what is left.

    `effort` leaves the charges for learning out; every route with as many new grips takes `bound` at
    least. Both are also there in thousandths. `worst_load` is the highest load of a change.
    """

    grips: tuple[tuple[int, Grip], ...]
    places: int
    effort_milli: int
    bound_milli: int
    worst_load: float

    @property
    def effort(self) -> float:
        """Effort of the route with these new grips, charges for learning left out."""
        return self.effort_milli / MILLI

    @property
    def bound(self) -> float:
        """Effort that no route with as many new grips can do without."""
        return self.bound_milli / MILLI

    def __repr__(self) -> str:
        return brief(self, counted(len(self.grips), "new grip"), f"effort {self.effort:.3f}")

    @property
    def proved(self) -> bool:
        """Whether no route with as many new grips takes less effort."""
        return self.bound_milli >= self.effort_milli


def curve_steps(
    points: Sequence[CurvePoint], charged: Charged, builder: TrellisBuilder, between: Sequence[Link]
) -> tuple[CurveStep, ...]:
    """The points of the curve of a charged route, with the load of each; `builder` made its trellises."""
    steps = []
    loads: Loads = {}
    for point in points:
        new = [c.new[k] for c, k in zip(charged.network.counted, point.path, strict=True)]
        steps.append(
            CurveStep(
                tuple((pitch, Grip(mask)) for pitch, mask in sorted(point.learnt)),
                sum(key is not None for key in new),
                point.effort_milli,
                point.bound_milli,
                _worst_load(charged, point.path, builder, between, loads),
            )
        )
    return tuple(steps)


def with_charges(steps: Sequence[CurveStep], charges: Charges | None) -> tuple[CurveStep, ...]:
    """The points with what learning their grips charges: the measure of the route, and of its search."""
    each_milli = charges.each_milli if charges else 0
    more = [each_milli * len(step.grips) for step in steps]
    return tuple(
        replace(step, effort_milli=step.effort_milli + charge, bound_milli=step.bound_milli + charge)
        for step, charge in zip(steps, more, strict=True)
    )


def _worst_load(
    charged: Charged, path: Sequence[int], builder: TrellisBuilder, between: Sequence[Link], loads: Loads
) -> float:
    """The highest load of the changes of a path; 0 where no finger moves."""
    network = charged.network
    worst = 0.0
    for p in range(1, len(path)):
        if network.places[p] == network.places[p - 1] + 1:
            before, after, link = network.columns[p - 1], network.columns[p], between[network.places[p]]
            key = (id(before), id(after), path[p - 1], path[p], link)
            if key not in loads:
                step = Step(*builder.steps(before, after)[path[p]][path[p - 1]])
                loads[key] = builder.model.load(step, link)
            worst = max(worst, loads[key])
    return worst
