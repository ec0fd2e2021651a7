"""Change time: milliseconds from one hand position to the next, as a ledger of addends.

What it measures: how long the fingers need for one change of grip.
Why it matters: a change that needs more than the time to the next note trips or blurs.
Unit: milliseconds. Base x slowest finger x (1 + sum of addends) x slide x context.
Example: B4 to C5 moves the left thumb: 96 x 1.15 = 110 ms as a trill, x 0.9 inside a line.
Source: tables/effort/figures.csv; the addends are read as sums, not as a product (judgement).
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, partial

from gripway.catalog.effort_figures import Figures
from gripway.effort.hand import HAND_FINGERS, FingerMove, HandMove, finger_move, hand_move
from gripway.effort.position import Position

CODE_BITS = 24
"""Room for one hand's code in the keys of what is remembered."""

Brief = tuple[float, float, bool]
"""The numbers of a change the search needs: alternating_ms, lever_ms, thumb_slide."""

NO_CHANGE: Brief = (0.0, 0.0, False)


@dataclass(frozen=True, slots=True)
class Change:
    """The finger work between two hand positions, before its context is known.

    `alternating_ms` is the time in an alternation at full speed with levers under the
    fingers; `lever_ms` is what the levers add when they are not. Both are without the line
    factor. `movers` as in HandMove, left hand first; `terms` the addends by name.
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
        return in_context(self.alternating_ms, self.lever_ms, alternation, figures)


def in_context(alternating_ms: float, lever_ms: float, alternation: float, figures: Figures) -> float:
    """Change time in ms in its context, from the time in an alternation and what levers add."""
    return context_factor(alternation, figures) * (alternating_ms + (1.0 - alternation) * lever_ms)


def context_factor(alternation: float, figures: Figures) -> float:
    """Factor on a trill's change time: `line` inside a line, 1 in an alternation at full speed."""
    return figures.line + (1.0 - figures.line) * alternation


class ChangeTimes:
    """Change times of one player's hands; remembers what each hand has been asked."""

    def __init__(self, figures: Figures, weights: Mapping[str, float]) -> None:
        self.figures = figures
        self.weights = dict(weights)
        self.finger_moves: Callable[[str, str, str], FingerMove] = cache(partial(finger_move, figures))
        self.known: tuple[dict[int, HandMove], dict[int, HandMove]] = ({}, {})

    def hands(self, before: Position, after: Position) -> tuple[HandMove, HandMove]:
        """What the left and the right hand do between two positions."""
        lefts, rights = self.known
        left = lefts.get(before.left_code << CODE_BITS | after.left_code)
        right = rights.get(before.right_code << CODE_BITS | after.right_code)
        return left or self._learn_left(before, after), right or self._learn_right(before, after)

    def _learn_left(self, before: Position, after: Position) -> HandMove:
        key = before.left_code << CODE_BITS | after.left_code
        return self.known[0].setdefault(key, self._move("left", before.left, after.left))

    def _learn_right(self, before: Position, after: Position) -> HandMove:
        key = before.right_code << CODE_BITS | after.right_code
        return self.known[1].setdefault(key, self._move("right", before.right, after.right))

    def _move(self, hand: str, before: tuple[str, ...], after: tuple[str, ...]) -> HandMove:
        return hand_move(before, after, HAND_FINGERS[hand], self.figures, self.weights, self.finger_moves)

    def briefs(self, before: Iterable[Position], after: Position, holes_moved: Iterable[int]) -> list[Brief]:
        """The numbers of the changes from several positions to one, each over so many holes."""
        figures, (lefts, rights) = self.figures, self.known
        base, more_fingers, two_hands, key_train = (
            figures.base,
            figures.more_fingers,
            figures.two_hands,
            figures.key_train,
        )
        left_code, right_code = after.left_code, after.right_code
        found: list[Brief] = []
        for position, holes in zip(before, holes_moved, strict=True):
            left = lefts.get(position.left_code << CODE_BITS | left_code) or self._learn_left(position, after)
            right = rights.get(position.right_code << CODE_BITS | right_code) or self._learn_right(
                position, after
            )
            in_left, in_right = left.count, right.count
            if not in_left and not in_right:
                found.append(NO_CHANGE)
                continue
            addends = 1.0 + more_fingers * (in_left + in_right - 1) + left.addends + right.addends
            if in_left and in_right:
                addends += two_hands
            if holes > 1:
                addends += key_train * (holes - 1)
            slowest = left.slowest if left.slowest > right.slowest else right.slowest
            slide = left.slide if left.slide > right.slide else right.slide
            unit_ms = base * slowest * slide
            found.append((unit_ms * addends, unit_ms * (left.reach + right.reach), left.thumb_slide))
        return found

    def change(self, before: Position, after: Position, holes_moved: int) -> Change:
        """The change between two positions that moves `holes_moved` holes, with its terms."""
        left, right = self.hands(before, after)
        alternating_ms, lever_ms, thumb_slide = self.briefs((before,), after, (holes_moved,))[0]
        movers, figures = left.movers + right.movers, self.figures
        general = (
            ("more fingers", figures.more_fingers * max(0, len(movers) - 1)),
            ("two hands", figures.two_hands if left.movers and right.movers else 0.0),
            ("key train", figures.key_train * max(0, holes_moved - 1) if movers else 0.0),
        )
        return Change(
            movers=movers,
            alternating_ms=alternating_ms,
            lever_ms=lever_ms,
            thumb_slide=thumb_slide,
            terms=(*(term for term in general if term[1]), *left.terms, *right.terms),
            slide=max(left.slide, right.slide),
            slowest=max(left.slowest, right.slowest),
        )
