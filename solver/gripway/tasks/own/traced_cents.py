"""What a player's own readings change in the route of a passage."""

from dataclasses import replace
from typing import TYPE_CHECKING

from gripway.asked.wishes import Wishes
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, FlutePlayer, asked_of
from gripway.tasks.routes import finger

if TYPE_CHECKING:
    from gripway.compare.own_cents_changes import OwnCentsChange


def traced_cents(
    route: Route, instrument: Flute, wishes: Wishes | None = None
) -> "tuple[OwnCentsChange, ...]":
    """Each change of grip that a player's own readings make in a route, with the readings it comes from.

    `route` is what `finger` gives for this flute and these wishes; it is compared with the route of the
    same player without any reading. Empty where there are none, or where they change nothing.

    >>> import gripway
    >>> mine = gripway.FlutePlayer(gripway.flute(), gripway.player("examples/player.toml"))
    >>> gripway.traced_cents(gripway.finger(gripway.notes("E6 F#6", tempo=96), mine), mine)
    ()
    """
    from gripway.compare.own_cents_changes import own_cents_changes

    mine, wishes = asked_of(instrument, wishes)
    own = mine.player.cents
    if not own:
        return ()
    without = replace(mine.player, cents=())
    plain = finger(
        route.passage, FlutePlayer(mine.instrument, without), replace(wishes, player=without, others=0)
    )
    return own_cents_changes(route, plain, own)
