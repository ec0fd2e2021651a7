"""The front of effort against tuning for a passage."""

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.compare.tradeoff import Tradeoff, tradeoff_of
from gripway.compare.two_costs import axes_of
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.joined import joined
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, asked_of


def tradeoff(
    passage: Passage, instrument: Flute, wishes: Wishes | None = None, *, every_point: bool = False
) -> tuple[Route, Tradeoff]:
    """The normal answer, and the routes that no other beats both in effort and in tuning.

    The corners of the front, or with `every_point` all of it, as far as it can be worked out.
    Raises RequestError for an empty passage, pins that cannot hold, and where no lean is known.
    """
    mine, wishes = asked_of(instrument, wishes)
    if wishes.choose != LEAST_EFFORT:
        raise RequestError(
            "a trade-off sets effort against tuning", place="--choose", next_step="Leave the choice at effort"
        )
    if wishes.learn is not None:
        raise RequestError(
            "routes are compared without a number of grips to learn",
            place=f"learn {wishes.learn}",
            next_step="Leave it out",
        )
    route, ground = mine.solved(passage, wishes)
    whole = joined(ground)
    if not whole.places:
        raise RequestError("no note has a grip", place="--tradeoff", next_step="Ask without it: it says why")
    axes = axes_of(route.passage, ground, whole)
    if not axes.sounding_ms:
        raise RequestError(
            f"no cents are known of these grips on the {mine.instrument.title}",
            place="--tradeoff",
            next_step="Give your own tuner list in a player file",
        )
    return route, tradeoff_of(whole, axes, every_point=every_point)
