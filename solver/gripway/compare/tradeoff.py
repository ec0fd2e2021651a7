"""The trade-off of a passage: the front as routes, and where the normal answer lies on it."""

from dataclasses import dataclass, replace

from gripway.compare.all_points import whole_front
from gripway.compare.batched_paths import Wide
from gripway.compare.corners import Front, Point, supported_front
from gripway.compare.two_costs import Axes
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.route.joined import Joined

Off = tuple[float, float]
"""How much less effort at no worse tuning, and how many cents less at no more effort."""


@dataclass(frozen=True, slots=True)
class TradePoint:
    """One route of the front: effort without the tuning part, cents a note, the grips.

    `supported` is false for a point that no weighting of the two makes least.
    """

    effort: float
    cents: float
    supported: bool
    candidates: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Tradeoff(Shown):
    """The front from the least effort to the best tuning.

    `places` are the indices of the notes that the candidates belong to; `status` and `missing`
    as in Front. `yours` is the normal answer, on the same two axes; it is the point number
    `yours_at`, or (None) it lies `off` the front: by (0, 0) where none of the points beats it.
    """

    points: tuple[TradePoint, ...]
    places: tuple[int, ...]
    status: str
    missing: int
    yours: TradePoint
    yours_at: int | None
    off: Off

    def __repr__(self) -> str:
        return brief(self, counted(len(self.points), "point"), self.status)


def tradeoff_of(whole: Joined, axes: Axes, *, every_point: bool) -> Tradeoff:
    """The corners of the front of a trellis, or every point of it."""
    wide = Wide(axes)
    front = supported_front(axes, wide)
    if every_point:
        front = whole_front(axes, wide, front)
    normal = Point(*axes.values(whole.path), whole.path)
    points = tuple(
        replace(point, path=normal.path) if _same(point, normal) else point for point in front.points
    )
    at = next((k for k, point in enumerate(points) if _same(point, normal)), None)
    return Tradeoff(
        points=tuple(_trade_point(point, whole, axes) for point in points),
        places=whole.places,
        status=front.status,
        missing=front.missing,
        yours=_trade_point(normal, whole, axes),
        yours_at=at,
        off=_off(normal, front, axes),
    )


def _same(point: Point, other: Point) -> bool:
    return point.key == other.key


def _trade_point(point: Point, whole: Joined, axes: Axes) -> TradePoint:
    effort, cents = point.effort / MILLI, axes.cents(point.lean)
    return TradePoint(effort, cents, point.supported, whole.candidates(point.path))


def _off(normal: Point, front: Front, axes: Axes) -> Off:
    """How far a route lies off the front: the most that points no worse in the other respect save."""
    efforts = [normal.effort - p.effort for p in front.points if p.lean <= normal.lean]
    leans = [normal.lean - p.lean for p in front.points if p.effort <= normal.effort]
    return max([*efforts, 0]) / MILLI, axes.cents(max([*leans, 0]))
