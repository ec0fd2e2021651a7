"""The ascent to good prices: bisection for the two sums, then steps along what is violated.

One sum alone is settled by bisection, which reaches the best bound its price can give. Figures and
new grips have a price for each note, which rise and fall in steps of Polyak's length; the steps
shrink when the bound stops rising. No random choice is made anywhere.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from gripway.route.prices import Look, Prices, Rows, look, no_prices
from gripway.route.puzzle import STEP, Puzzle

HALVINGS = 24
DEAREST = 40_000 * STEP
"""No unusual grip is worth more than forty efforts."""

REPAIRED = 30
"""After so many steps a route is made from what the prices show."""

PATIENCE = 6
"""Steps without a better bound before they are halved."""

Repair = Callable[[Look, Prices], int | None]
"""Makes a route that keeps the limits from what prices show; its thousandths, None where it cannot."""


@dataclass(frozen=True, slots=True)
class Climb:
    """The best prices found, and what they show."""

    prices: Prices
    seen: Look


def climb(
    puzzle: Puzzle,
    rows: Rows,
    repair: Repair,
    *,
    steps: int,
    enough: Callable[[Climb], bool],
    start: Prices | None = None,
) -> Climb:
    """Prices with a high bound, after at most `steps` steps or when what they leave over is little `enough`.

    `repair` is asked now and then for a route, whose effort sets the length of the steps; `start` are
    prices to go on from.
    """
    prices = start or no_prices(rows)
    best = Climb(prices, look(puzzle, rows, prices))
    if start is not None:
        return _steps(puzzle, rows, best, repair(best.seen, best.prices), repair, steps, enough)
    if puzzle.budgets.unusual is not None:
        best = _bisect(puzzle, rows, best, "unusual", DEAREST)
    if puzzle.budgets.tenths is not None:
        best = _bisect(puzzle, rows, best, "tenth", DEAREST // rows.scale)
    known = repair(best.seen, best.prices)
    if (
        not puzzle.figures
        and puzzle.budgets.learnt is None
        and (puzzle.budgets.unusual is None or puzzle.budgets.tenths is None)
    ):
        return best
    return _steps(puzzle, rows, best, known, repair, steps, enough)


def _bisect(puzzle: Puzzle, rows: Rows, best: Climb, name: str, dearest: int) -> Climb:
    """The best prices with one sum's price set by bisection, the others kept."""
    used = rows.unusual if name == "unusual" else rows.tenths
    asked = puzzle.budgets.unusual if name == "unusual" else puzzle.budgets.tenths
    low, high = 0, 0
    for _ in range(HALVINGS):
        if high == 0:
            price = 0
        elif high - low <= max(1, high >> 12):
            break
        else:
            price = (low + high) // 2
        tried = _with(best.prices, name, price)
        seen = look(puzzle, rows, tried)
        if seen.bound > best.seen.bound or price == 0:
            best = Climb(tried, seen)
        over = sum(int(used[rows.offsets[p] + k]) for p, k in enumerate(seen.path)) > (asked or 0)
        if price == 0:
            if not over:
                break
            high = dearest
        elif over:
            low = price
        else:
            high = price
    return best


def _with(prices: Prices, name: str, price: int) -> Prices:
    return replace(prices, unusual=price) if name == "unusual" else replace(prices, tenth=price)


def _steps(
    puzzle: Puzzle,
    rows: Rows,
    best: Climb,
    known: int | None,
    repair: Repair,
    steps: int,
    enough: Callable[[Climb], bool],
) -> Climb:
    here, length, idle = best, 1.0, 0
    for step in range(steps):
        target = known * STEP if known is not None else best.seen.bound + best.seen.bound // 50 + STEP
        if target - best.seen.bound < STEP or length < 0.02:
            break
        prices = _step(puzzle, rows, here, max(target - here.seen.bound, STEP) * length)
        if prices is None:
            break
        here = Climb(prices, look(puzzle, rows, prices))
        if here.seen.bound > best.seen.bound:
            best, idle = here, 0
        else:
            idle += 1
        if idle == PATIENCE:
            here, length, idle = best, length / 2, 0
        if step % REPAIRED == REPAIRED - 1:
            found = repair(best.seen, best.prices)
            known = found if known is None else known if found is None else min(known, found)
            if enough(best):
                break
    return best


def _step(puzzle: Puzzle, rows: Rows, here: Climb, gain: float) -> Prices | None:
    """Prices after a step along what the path violates; None when it violates nothing."""
    import numpy as np

    chosen = np.array([rows.offsets[p] + k for p, k in enumerate(here.seen.path)], dtype=np.int64)
    prices, asked = here.prices, puzzle.budgets
    figure = np.zeros(len(rows.size_of), dtype=np.int64)
    np.add.at(figure, rows.figure_row[chosen], 1)
    figure[0] = 0
    alike = np.zeros(int(rows.group_of.max()) + 1, dtype=np.int64)
    np.add.at(alike, rows.group_of, figure)
    astray = rows.size_of * figure - alike[rows.group_of]
    astray[0] = 0
    new = np.zeros(len(rows.key_of), dtype=np.int64)
    np.add.at(new, rows.new_row[chosen], 1)
    let_in = np.zeros(len(rows.keys) + 1, dtype=np.int64)
    let_in[list(here.seen.learn)] = 1
    new -= let_in[rows.key_of]
    new[0] = 0
    new[(prices.new == 0) & (new < 0)] = 0
    over = 0 if asked.unusual is None else int(rows.unusual[chosen].sum()) - asked.unusual
    sharp = 0 if asked.tenths is None else int(rows.tenths[chosen].sum()) - asked.tenths
    over = 0 if over < 0 and prices.unusual == 0 else over
    sharp = 0 if sharp < 0 and prices.tenth == 0 else sharp
    size = float(((astray / rows.size_of) ** 2).sum()) + float((new**2).sum())
    size += over**2 + (sharp / rows.scale) ** 2
    if size == 0.0:
        return None
    step = gain / size
    return Prices(
        max(0, prices.unusual + int(step * over)),
        max(0, prices.tenth + int(step * sharp / rows.scale**2)),
        prices.figure + np.array(step / rows.size_of, dtype=np.int64) * astray,
        np.maximum(0, prices.new + np.array(step * new, dtype=np.int64)),
    )
