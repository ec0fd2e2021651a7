"""The route with at most so many grips to learn: the point of the learning curve a player asks for."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.asked.wishes import Wishes
from gripway.charges.charged_route import Charged, Steady, new_grips
from gripway.charges.learning_curve import CurvePoint, learning_curve
from gripway.errors import RequestError

LONGEST_WHOLE = 3000
"""Notes with grips up to which the whole curve is worked out; of more the answer's point and the first."""


def as_asked(charged: Charged, wishes: Wishes, steady: Steady) -> tuple[Charged, tuple[CurvePoint, ...]]:
    """The charged route with the number of new grips asked for, and the learning curve where it is needed."""
    if wishes.learn is None and not wishes.curve:
        return charged, ()
    points = whole_curve(charged) if wishes.learn is None else learning_curve(charged)
    if wishes.learn is not None:
        charged = with_at_most(charged, points, wishes.learn, steady)
    return charged, points


def whole_curve(charged: Charged) -> tuple[CurvePoint, ...]:
    """The learning curve of a route of any number of new grips."""
    return learning_curve(charged, ends=len(charged.path) > LONGEST_WHOLE)


def with_at_most(charged: Charged, points: Sequence[CurvePoint], learn: int, steady: Steady) -> Charged:
    """The charged route of the last point with at most `learn` new grips.

    Its runners-up learn nothing more. Raises RequestError where pins alone ask for more grips.
    """
    fitting = [point for point in points if len(point.learnt) <= learn]
    if not fitting:
        fewest = min(len(point.learnt) for point in points)
        raise RequestError(
            f"no route was found with so few grips to learn, but one with {fewest}",
            place=f"learn {learn}",
            next_step=f"Give {fewest} or more, or take away a pin or a ban",
        )
    point = fitting[-1]
    path = [ids.index(k) for ids, k in zip(charged.ids, point.path, strict=True)]
    return replace(
        charged,
        path=point.path,
        new=tuple(new_grips(charged.part, path, steady)),
        bound_milli=point.bound_milli + charged.network.charge_milli * len(point.learnt),
        closed=True,
    )
