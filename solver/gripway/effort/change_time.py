"""Change time: milliseconds from one hand position to the next, as a ledger of addends.

What it measures: how long the fingers need for one change of grip, by one of two laws.
Why it matters: a change that needs more than the time to the next note trips or blurs.
Unit: milliseconds. In an alternation (a b a b): base x slowest finger x (1 + addends) x slide, the
period at which a finger can come back again and again. Inside a line: the travel of the slowest
finger, and the spread of all fingers that must arrive together; a finger that moved only a note ago
needs its own turning time at least. Between the two the times are mixed in proportion.
Example: B4 to C5 moves the left thumb: 96 x 1.15 = 110 ms as a trill, 38 ms inside a line.
Source: tables/effort/figures.csv. Alternation: measured (saxophone-alternation-2025), read as sums.
Line: keys move in 10 to 16 ms, fingers of a change arrive tens of ms apart (almeida-2009, abstract);
sizes fitted as upper bounds to tempos at which standard grips are played (tests/cases/speeds.csv).
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, partial

from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.hand import FINGER_BITS, HAND_FINGERS, FingerMove, HandMove, finger_move, hand_move
from gripway.effort.position import Position

CODE_BITS = 24
"""Room for one hand's code in the keys of what is remembered."""

Brief = tuple[float, float, bool, int]
"""The numbers of a change the search needs: alternating_ms, line_ms, thumb_slide, mask of the movers."""

NO_CHANGE: Brief = (0.0, 0.0, False, 0)


@dataclass(frozen=True, slots=True)
class Change:
    """The finger work between two hand positions, before its context is known.

    `alternating_ms` is the time in an alternation at full speed with levers under the fingers,
    `line_ms` that inside a line whose fingers are rested. `movers` as in HandMove, left hand
    first; `terms` the addends of an alternation by name, `line_terms` the milliseconds of a line.
    """

    movers: tuple[tuple[str, str], ...]
    alternating_ms: float
    line_ms: float
    thumb_slide: bool
    terms: tuple[tuple[str, float], ...]
    line_terms: tuple[tuple[str, float], ...]
    slide: float
    slowest: float


def in_context(alternating_ms: float, line_ms: float, alternation: float) -> float:
    """Change time in ms in its context: `alternation` runs from 0 (a line) to 1 (a b a b at full speed)."""
    return line_ms + alternation * (alternating_ms - line_ms)


class ChangeTimes:
    """Change times of one player's hands; remembers what each hand has been asked."""

    def __init__(self, figures: Figures, weights: Mapping[str, float]) -> None:
        self.figures = figures
        self.weights = dict(weights)
        self.finger_moves: Callable[[str, str, str], FingerMove] = cache(partial(finger_move, figures))
        self.known: tuple[dict[int, HandMove], dict[int, HandMove]] = ({}, {})
        self.turning_ms: Callable[[int], float] = cache(self._turning_ms)

    def _turning_ms(self, mask: int) -> float:
        """Time the slowest of these fingers (a bit each) needs to turn round, a note after it moved."""
        weights = (self.weights[finger] for finger, bit in FINGER_BITS.items() if mask & bit)
        return self.figures.base_ms * self.figures.line_turning_share * max(weights, default=0.0)

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
            figures.base_ms,
            figures.more_fingers_share,
            figures.two_hands_share,
            figures.key_train_share,
        )
        travel, hands_ms = figures.line_travel_ms, figures.line_two_hands_ms
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
            line_ms = travel * slowest + left.line_ms + right.line_ms
            if in_left and in_right:
                line_ms += hands_ms
            mask = left.mask | right.mask
            found.append((base * slowest * slide * addends, line_ms, left.thumb_slide, mask))
        return found

    def change(self, before: Position, after: Position, holes_moved: int) -> Change:
        """The change between two positions that moves `holes_moved` holes, with its terms."""
        left, right = self.hands(before, after)
        alternating_ms, line_ms, thumb_slide, _ = self.briefs((before,), after, (holes_moved,))[0]
        movers, figures = left.movers + right.movers, self.figures
        general = (
            ("more fingers", figures.more_fingers_share * max(0, len(movers) - 1)),
            ("two hands", figures.two_hands_share if left.movers and right.movers else 0.0),
            ("key train", figures.key_train_share * max(0, holes_moved - 1) if movers else 0.0),
        )
        slowest = max(left.slowest, right.slowest)
        in_line = (
            ("travel", figures.line_travel_ms * slowest),
            ("two hands", figures.line_two_hands_ms if left.movers and right.movers else 0.0),
        )
        return Change(
            movers=movers,
            alternating_ms=alternating_ms,
            line_ms=line_ms,
            thumb_slide=thumb_slide,
            terms=(*(term for term in general if term[1]), *left.terms, *right.terms),
            line_terms=(*(term for term in in_line if term[1]), *left.line_terms, *right.line_terms),
            slide=max(left.slide, right.slide),
            slowest=slowest,
        )
