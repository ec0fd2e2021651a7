"""Other routes of a passage that differ from the best one, and from each other, by a stated distance."""

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.compare.alternatives import Choices, Distance, choices_of
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.joined import joined
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, asked_of


def alternatives(
    passage: Passage,
    instrument: Flute,
    wishes: Wishes | None = None,
    *,
    most: int = 3,
    distance: Distance = Distance(),  # noqa: B008 - frozen
) -> tuple[Route, Choices]:
    """The normal answer, and up to `most` other routes, each far enough from all before it.

    Raises RequestError for an empty passage, pins that cannot hold, and a bar that is not there.
    """
    mine, wishes = asked_of(instrument, wishes)
    if wishes.choose != LEAST_EFFORT:
        raise RequestError(
            "other routes are compared by effort", place="--choose", next_step="Leave the choice at effort"
        )
    if wishes.learn is not None:
        raise RequestError(
            "routes are compared without a number of grips to learn",
            place=f"learn {wishes.learn}",
            next_step="Leave it out",
        )
    route, ground = mine.solved(passage, wishes)
    return route, choices_of(route.passage, joined(ground), most, distance)
