"""Multipliers (prices) on the limits: they give a lower bound, and lead the search to good routes.

Every limit that binds notes far apart is taken out of the problem and charged for instead: so
much for an unusual grip, for a tenth of a cent, for a note that leaves the grip of its figure, for
a note that uses a new grip. The least path under the prices, less what the prices allow for free, is
a lower bound of every route that keeps the limits. Prices are whole numbers, so that bounds are
exact: those of a figure add up to nothing over its notes, the others are never negative.

Reference: Fisher (1981), The Lagrangian relaxation method, Management Science 27(1): the bound
and the step of the ascent; recalled, not read again.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gripway.route.path import Cost, least_path
from gripway.route.puzzle import STEP, Key, Puzzle

if TYPE_CHECKING:
    import numpy as np

    Ints = np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True, slots=True)
class Rows:
    """Where the limits stand: for every node (all columns in one line) the row it counts in.

    `figure_row` and `new_row` are rows of prices, 0 for none; `size_of` the notes of the figure a
    row belongs to, `group_of` its figure and grip together; `key_of` the new grip of a row.
    """

    offsets: list[int]
    nodes: "Ints"
    unusual: "Ints"
    tenths: "Ints"
    figure_row: "Ints"
    size_of: "Ints"
    group_of: "Ints"
    new_row: "Ints"
    key_of: "Ints"
    keys: tuple[Key, ...]
    scale: int


@dataclass(frozen=True, slots=True)
class Prices:
    """A price for an unusual grip, for a tenth of a cent, and for every row of figures and new grips."""

    unusual: int
    tenth: int
    figure: "Ints"
    new: "Ints"


@dataclass(frozen=True, slots=True)
class Look:
    """What prices show: the bound, the least path under them, the new grips worth their price."""

    bound: int
    path: list[int]
    learn: frozenset[int]


def rows_of(puzzle: Puzzle) -> Rows:
    """The rows of a puzzle's limits."""
    import numpy as np

    figure_of = {p: number for number, figure in enumerate(puzzle.figures) for p in figure}
    offsets, figure_row, new_row = [0], [], []
    size_of, group_of, key_of = [1], [0], [0]
    groups: dict[tuple[int, int], int] = {}
    keys: dict[Key, int] = {}
    for place, counted in enumerate(puzzle.counted):
        own: dict[tuple[str, object], int] = {}
        figure = figure_of.get(place)
        for grip, new in zip(counted.grips, counted.new, strict=True):
            if figure is None:
                figure_row.append(0)
            else:
                if ("grip", grip) not in own:
                    own["grip", grip] = len(size_of)
                    size_of.append(len(puzzle.figures[figure]))
                    group_of.append(groups.setdefault((figure, grip), len(groups) + 1))
                figure_row.append(own["grip", grip])
            if new is None or puzzle.budgets.learnt is None:
                new_row.append(0)
            else:
                if ("new", new) not in own:
                    own["new", new] = len(key_of)
                    key_of.append(keys.setdefault(new, len(keys) + 1))
                new_row.append(own["new", new])
        offsets.append(len(figure_row))
    tenths = [t for counted in puzzle.counted for t in counted.tenths]

    def whole(values: list[int]) -> "Ints":
        return np.array(values, dtype=np.int64)

    return Rows(
        offsets,
        whole([int(c) for column in puzzle.nodes for c in column]),
        whole([u for counted in puzzle.counted for u in counted.unusual]),
        whole(tenths),
        whole(figure_row),
        whole(size_of),
        whole(group_of),
        whole(new_row),
        whole(key_of),
        tuple(keys),
        max(1, sum(tenths) // max(1, len(tenths))),
    )


def no_prices(rows: Rows) -> Prices:
    """Nothing is charged."""
    import numpy as np

    return Prices(
        0, 0, np.zeros(len(rows.size_of), dtype=np.int64), np.zeros(len(rows.key_of), dtype=np.int64)
    )


def prices_of(puzzle: Puzzle, rows: Rows, found: Mapping[tuple[str, int, int | Key], float]) -> Prices:
    """Prices from those a flow model found (thousandths), made whole and valid.

    Rows that the model did not see get no price of their own.
    """
    import numpy as np

    prices = no_prices(rows)
    figure, new = prices.figure, prices.new
    for p, counted in enumerate(puzzle.counted):
        start = rows.offsets[p]
        for k, (grip, key) in enumerate(zip(counted.grips, counted.new, strict=True)):
            if row := int(rows.figure_row[start + k]):
                figure[row] = round(found.get(("figure", p, grip), 0.0) * STEP)
            if (row := int(rows.new_row[start + k])) and key is not None:
                new[row] = max(0, round(found.get(("new", p, key), 0.0) * STEP))
    sums = np.zeros(int(rows.group_of.max()) + 1, dtype=np.int64)
    np.add.at(sums, rows.group_of, figure)
    last = {int(group): row for row, group in enumerate(rows.group_of.tolist()) if row}
    for row, group in enumerate(rows.group_of.tolist()):
        if row:
            share = int(sums[group]) // int(rows.size_of[row])
            figure[row] -= share
            if last[group] == row:
                figure[row] -= int(sums[group]) - share * int(rows.size_of[row])
    return Prices(
        max(0, round(found.get(("unusual", 0, 0), 0.0) * STEP)),
        max(0, round(found.get(("tenths", 0, 0), 0.0) * STEP)),
        figure,
        new,
    )


def named(puzzle: Puzzle, rows: Rows, prices: Prices) -> dict[tuple[str, int, int | Key], float]:
    """Prices (thousandths) by what they are for, as `prices_of` takes them for a part of the puzzle."""
    found: dict[tuple[str, int, int | Key], float] = {
        ("unusual", 0, 0): prices.unusual / STEP,
        ("tenths", 0, 0): prices.tenth / STEP,
    }
    figure, new = prices.figure.tolist(), prices.new.tolist()
    for p, counted in enumerate(puzzle.counted):
        start, end = rows.offsets[p], rows.offsets[p + 1]
        own_figure, own_new = rows.figure_row[start:end].tolist(), rows.new_row[start:end].tolist()
        for k, (grip, key) in enumerate(zip(counted.grips, counted.new, strict=True)):
            if own_figure[k]:
                found["figure", p, grip] = figure[own_figure[k]] / STEP
            if own_new[k] and key is not None:
                found["new", p, key] = new[own_new[k]] / STEP
    return found


def priced_nodes(rows: Rows, prices: Prices) -> list[list[Cost]]:
    """Costs of the nodes with what the prices charge."""
    total = rows.nodes + prices.figure[rows.figure_row] + prices.new[rows.new_row]
    if prices.unusual:
        total = total + prices.unusual * rows.unusual
    if prices.tenth:
        total = total + prices.tenth * rows.tenths
    line = total.tolist()
    return [line[start:end] for start, end in zip(rows.offsets, rows.offsets[1:], strict=False)]


def allowance(puzzle: Puzzle, rows: Rows, prices: Prices) -> tuple[int, frozenset[int]]:
    """What the prices allow for free, and the new grips (numbers from 1) they would let in."""
    free = prices.unusual * (puzzle.budgets.unusual or 0) + prices.tenth * (puzzle.budgets.tenths or 0)
    if puzzle.budgets.learnt is None:
        return free, frozenset()
    worth = _worth(rows, prices)
    most = sorted(range(1, len(worth)), key=lambda key: (-worth[key], key))[: puzzle.budgets.learnt]
    return free + sum(worth[key] for key in most), frozenset(most)


def _worth(rows: Rows, prices: Prices) -> list[int]:
    """The sum of the prices of each new grip's rows."""
    worth = [0] * (len(rows.keys) + 1)
    for key, price in zip(rows.key_of.tolist(), prices.new.tolist(), strict=True):
        worth[key] += price
    worth[0] = 0
    return worth


def look(puzzle: Puzzle, rows: Rows, prices: Prices) -> Look:
    """The bound and the least path under the prices; the path is empty where there is none."""
    cost, path = least_path(priced_nodes(rows, prices), puzzle.blocks)
    free, learn = allowance(puzzle, rows, prices)
    return Look(int(cost) - free if path else 0, path, learn)
