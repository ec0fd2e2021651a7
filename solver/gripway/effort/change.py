"""Change time: milliseconds from one hand position to the next, as a ledger of addends.

What it measures: how long the fingers need for one change of grip.
Why it matters: a change that needs more than the time to the next note trips or blurs.
Unit: milliseconds. Base x slowest finger x (1 + sum of addends) x slide x context.
Example: B4 to C5 moves the left thumb: 96 x 1.15 = 110 ms as a trill, x 0.9 inside a line.
Source: tables/effort/figures.csv; the addends are read as sums, not as a product (judgement).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from gripway.catalog.effort_figures import Figures
from gripway.effort.hand import HAND_FINGERS, HandMove, hand_move
from gripway.effort.position import Position


@dataclass(frozen=True, slots=True)
class Change:
    """The finger work between two hand positions, before its context is known.

    `alternating_ms` is the time in an alternation at full speed with levers under the
    fingers; `lever_ms` is what the levers add when they are not. Both are without the line
    factor. `movers` as in HandMove, left hand first.
    """

    movers: tuple[tuple[str, str], ...]
    alternating_ms: float
    lever_ms: float
    thumb_slide: bool
    terms: tuple[tuple[str, float], ...]
    slide: float
    slowest: float

    def ms(self, alternation: float, figures: Figures) -> float:
        """Change time in ms; `alternation` runs from 0 (a line) to 1 (a b a b at full speed)."""
        context = figures.line + (1.0 - figures.line) * alternation
        return context * (self.alternating_ms + (1.0 - alternation) * self.lever_ms)


class ChangeTimes:
    """Change times of one player's hands; remembers what it has worked out."""

    def __init__(self, figures: Figures, weights: Mapping[str, float]) -> None:
        self.figures = figures
        self._weights = dict(weights)
        self._left = lru_cache(maxsize=None)(self._left_move)
        self._right = lru_cache(maxsize=None)(self._right_move)

    def _left_move(self, a: tuple[str, ...], b: tuple[str, ...]) -> HandMove:
        return hand_move(a, b, HAND_FINGERS["left"], self.figures, self._weights)

    def _right_move(self, a: tuple[str, ...], b: tuple[str, ...]) -> HandMove:
        return hand_move(a, b, HAND_FINGERS["right"], self.figures, self._weights)

    def change(self, before: Position, after: Position, holes_moved: int) -> Change:
        """The change between two positions that moves `holes_moved` holes."""
        left = self._left(before.left, after.left)
        right = self._right(before.right, after.right)
        figures = self.figures
        count = len(left.movers) + len(right.movers)
        if count == 0:
            return Change((), 0.0, 0.0, False, (), 1.0, 0.0)
        general = (
            ("more fingers", figures.more_fingers * (count - 1)),
            ("two hands", figures.two_hands if left.movers and right.movers else 0.0),
            ("key train", figures.key_train * max(0, holes_moved - 1)),
        )
        terms = (*(term for term in general if term[1]), *left.terms, *right.terms)
        slowest = max(left.slowest, right.slowest)
        slide = max(left.slide, right.slide)
        unit_ms = figures.base * slowest * slide
        return Change(
            movers=left.movers + right.movers,
            alternating_ms=unit_ms * (1.0 + sum(amount for _, amount in terms)),
            lever_ms=unit_ms * (left.reach + right.reach),
            thumb_slide=left.thumb_slide,
            terms=terms,
            slide=slide,
            slowest=slowest,
        )
