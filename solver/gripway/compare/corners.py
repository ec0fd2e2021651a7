"""The front of effort against tuning: the routes that no other route beats in both.

Supported points are those that some weighting of the two makes least: the corners of the front's
lower hull, found by bisection on the slope between neighbours, every one of them.
"""

from dataclasses import dataclass

from gripway.compare.batched_paths import Weights, Wide
from gripway.compare.two_costs import Axes

CORNERS = "corners"
WHOLE = "whole"
NOT_COMPLETE = "not complete"


@dataclass(frozen=True, slots=True)
class Point:
    """One route: effort (thousandths, tuning left out), lean (two_costs.py), its places in the columns."""

    effort: int
    lean: int
    path: tuple[int, ...]
    supported: bool = True

    @property
    def key(self) -> tuple[int, int]:
        """Its place on the two axes."""
        return self.effort, self.lean


@dataclass(frozen=True, slots=True)
class Front:
    """Points from the least effort to the best tuning.

    `status` is corners (the supported points, all of them), whole (every point there is) or not complete;
    `missing` then counts the stretches between corners that were not searched to the end.
    """

    points: tuple[Point, ...]
    status: str
    missing: int = 0


def supported_front(axes: Axes, wide: Wide) -> Front:
    """Both ends of the front and every corner of its lower hull."""
    ends = _points(axes, wide, [(wide.most[1], 1), (1, wide.most[0])])
    if ends[0].key == ends[1].key:
        return Front((ends[0],), CORNERS)
    known = list(ends)
    open_pairs = [(ends[0], ends[1])]
    while open_pairs:
        found = _points(axes, wide, [slope(p, q) for p, q in open_pairs])
        below = [(p, new, q) for (p, q), new in zip(open_pairs, found, strict=True) if _is_below(new, p, q)]
        known += [new for _, new, _ in below]
        open_pairs = [pair for p, new, q in below for pair in ((p, new), (new, q))]
    return Front(tuple(sorted(known, key=lambda point: point.key)), CORNERS)


def slope(p: Point, q: Point) -> tuple[int, int]:
    """The weighting in which two neighbours count the same."""
    return p.lean - q.lean, q.effort - p.effort


def _is_below(new: Point, p: Point, q: Point) -> bool:
    a, b = slope(p, q)
    return a * new.effort + b * new.lean < a * p.effort + b * p.lean


def _points(axes: Axes, wide: Wide, weights: Weights) -> list[Point]:
    paths = wide.least_paths(weights)
    return [Point(*axes.values(path), path) for path in paths]
