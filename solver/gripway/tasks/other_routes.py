"""Routes beside the best one: some that differ from it, and the front of effort against tuning."""

from typing import TYPE_CHECKING

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.errors import ArgumentError, RequestError, check_whole
from gripway.model.passage import Passage
from gripway.route.ground import Ground
from gripway.route.joined import joined
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, FlutePlayer, asked_of, passage_of

if TYPE_CHECKING:  # each needs its own search only
    from gripway.compare.alternatives import Choices, Distance
    from gripway.compare.tradeoff import Tradeoff
    from gripway.score.reading.score_reading import ScoreReading


def alternatives(
    passage: "Passage | ScoreReading",
    instrument: Flute,
    wishes: Wishes | None = None,
    *,
    most: int = 3,
    distance: "Distance | None" = None,
) -> "tuple[Route, Choices]":
    """The normal answer, and up to `most` other routes, each far enough from all before it.

    Raises RequestError for an empty passage, pins that cannot hold, and a bar that is not there. `most` is
    how many are looked for, `distance` on how many notes and in which bar each must differ (a tenth of the
    written notes without one).

    >>> import gripway
    >>> passage = gripway.notes("E6 F#6 G#6 A6", tempo=112)
    >>> route, others = gripway.alternatives(passage, gripway.flute(), most=2)
    >>> others
    <Choices: 2 of 2 asked for, 2 notes differ>
    """
    from gripway.compare.alternatives import Distance, choices_of

    check_whole(most, "most")
    _, route, ground = _solved(passage, instrument, wishes, "other routes are compared by effort")
    return route, choices_of(route.passage, joined(ground), most, distance or Distance())


def tradeoff(
    passage: "Passage | ScoreReading",
    instrument: Flute,
    wishes: Wishes | None = None,
    *,
    every_point: bool = False,
) -> "tuple[Route, Tradeoff]":
    """The normal answer, and the routes that no other beats both in effort and in tuning.

    The corners of the front, or with `every_point` all of it, as far as it can be worked out. Raises
    RequestError for an empty passage, pins that cannot hold, and where no lean is known. Points carry their
    effort and their mean lean in cents.

    >>> import gripway
    >>> route, front = gripway.tradeoff(gripway.notes("E6 F#6 G#6 A6", tempo=112), gripway.flute())
    >>> front.points[0].effort == front.yours.effort
    True
    """
    from gripway.compare.tradeoff import tradeoff_of
    from gripway.compare.two_costs import axes_of

    mine, route, ground = _solved(passage, instrument, wishes, "a trade-off sets effort against tuning")
    whole = joined(ground)
    if not whole.places:
        raise ArgumentError("no note has a grip", place="tradeoff", next_step="Ask without it: it says why")
    axes = axes_of(route.passage, ground, whole)
    if not axes.sounding_ms:
        raise ArgumentError(
            f"no cents are known of these grips on the {mine.instrument.title}",
            place="tradeoff",
            next_step="Give your own tuner list in a player file",
        )
    return route, tradeoff_of(whole, axes, every_point=every_point)


def _solved(
    passage: "Passage | ScoreReading", instrument: Flute, wishes: Wishes | None, by_effort: str
) -> tuple[FlutePlayer, Route, Ground]:
    """The normal answer and what it was searched on; RequestError for wishes nothing is compared under."""
    mine, wishes = asked_of(instrument, wishes)
    if wishes.choose != LEAST_EFFORT:
        raise ArgumentError(by_effort, place="choose", next_step="Leave the choice at effort")
    if wishes.learn is not None:
        raise RequestError(
            "routes are compared without a number of grips to learn",
            place=f"learn {wishes.learn}",
            next_step="Leave it out",
        )
    return mine, *mine.solved(passage_of(passage), wishes)
