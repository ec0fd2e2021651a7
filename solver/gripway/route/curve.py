"""The learning curve as an answer shows it: of each number of new grips the effort, load and places."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.charges.charged_route import Charged
from gripway.charges.learning_curve import CurvePoint
from gripway.effort.costs import EffortModel
from gripway.effort.setting import Link
from gripway.model.grip import Grip


@dataclass(frozen=True, slots=True)
class CurveStep:
    """One point of the curve: the new grips (pitch, grip), on how many notes they stand, what is left.

    Efforts are in thousandths, charges for learning left out; every route with as many new grips
    takes `bound_milli` at least. `worst_load` is the highest load of a change.
    """

    grips: tuple[tuple[int, Grip], ...]
    places: int
    effort_milli: int
    bound_milli: int
    worst_load: float

    @property
    def proved(self) -> bool:
        """Whether no route with as many new grips takes less effort."""
        return self.bound_milli >= self.effort_milli


def curve_steps(
    points: Sequence[CurvePoint], charged: Charged, model: EffortModel, between: Sequence[Link]
) -> tuple[CurveStep, ...]:
    """The points of the curve of a charged route, with the load of each."""
    steps = []
    for point in points:
        new = [c.new[k] for c, k in zip(charged.network.counted, point.path, strict=True)]
        steps.append(
            CurveStep(
                tuple((pitch, Grip(mask)) for pitch, mask in sorted(point.learnt)),
                sum(key is not None for key in new),
                point.effort_milli,
                point.bound_milli,
                _worst_load(charged, point.path, model, between),
            )
        )
    return tuple(steps)


def _worst_load(charged: Charged, path: Sequence[int], model: EffortModel, between: Sequence[Link]) -> float:
    """The highest load of the changes of a path; 0 where no finger moves."""
    network = charged.network
    worst = 0.0
    for p in range(1, len(path)):
        if network.places[p] == network.places[p - 1] + 1:
            before, after = network.columns[p - 1][path[p - 1]], network.columns[p][path[p]]
            worst = max(worst, model.load(model.step(before, after), between[network.places[p]]))
    return worst
