"""The house style of an edition: which notes are marked, and how the marks look."""

from dataclasses import dataclass

from gripway.errors import RequestError
from gripway.model.mark_text import PLAIN_HAND, Hand

NEEDED, FIRST, FIGURES, EVERY = "needed", "first", "figures", "every"
WHICH = (NEEDED, FIRST, FIGURES, EVERY)
"""Which notes are marked: grips that are not the plain ones; where a pitch's grip changes; the
first of each figure, with the thumb and held fingers by start and release; all of them."""

STYLES = ("fingering", "lyric", "words")
PLACEMENTS = ("below", "above")


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """Everything about the marks an editor decides once for a whole edition.

    `style` is how a mark stands in the score (of STYLES), `hand` how its text is written.
    With `say_simile` the second time of a figure is marked as such. Grips are marked where
    the standard grip would take `least_gain` more effort, or more; at 0 all are, and with None as
    many as `which` asks for by itself (see `edition/plain_grip.py`). Raises RequestError for a word it
    does not know.
    """

    which: str = NEEDED
    style: str = "fingering"
    placement: str = "below"
    hand: Hand = PLAIN_HAND
    say_simile: bool = True
    least_gain: float | None = None

    def __post_init__(self) -> None:
        for what, value, known in (
            ("choice of marks", self.which, WHICH),
            ("style of mark", self.style, STYLES),
            ("placement", self.placement, PLACEMENTS),
        ):
            if value not in known:
                raise RequestError(f"{value!r} is no {what}", next_step=f"Choose one of {', '.join(known)}")


PLAIN_STYLE = HouseStyle()
