"""The quick routes under many dials against the search itself, and against every path."""

from itertools import product
from pathlib import Path

import numpy as np
import pytest
from tests.taste.parts import PLAYER, part_of
from tests.tiers import whole

import gripway
from gripway.asked.wishes import Wishes
from gripway.taste.agreement import Agreement
from gripway.taste.batched_routes import rows_under
from gripway.taste.dial_costs import DialCosts, charges_at_one, dial_costs
from gripway.taste.mark import MarkedPart

DATA = Path(__file__).resolve().parents[1] / "data"
SETTINGS = [(1, 1, 1, 1, 1), (1, 2, 1, 1, 1), (1, 1, 2, 1, 0.5), (0.5, 1, 3, 1, 1), (2, 1, 0, 0.5, 1)]


def costs_of(part: MarkedPart) -> DialCosts:
    """The costs of a part apart by dial."""
    solver = PLAYER.plain
    ground = solver.ground(part.passage, Wishes(player=PLAYER.player, others=0))
    return dial_costs(solver, ground, *charges_at_one(solver.tables, len(part.passage.notes)))


def enumerated(costs: DialCosts, dials: np.ndarray) -> float:
    """The least cost of all paths of a part under one setting, its charges included, path by path."""
    learning = dials[costs.dials.index("learning")]
    least = np.inf
    for path in product(*(range(len(column.rows)) for column in costs.columns)):
        total, keys = 0.0, set()
        for p, (column, k) in enumerate(zip(costs.columns, path, strict=True)):
            total += column.held[k] @ dials + column.fixed[k]
            keys |= {column.keys[k]} - {-1}
            if column.into is not None:
                barred = costs.barred[column.into]
                total += costs.blocks[column.into][k, path[p - 1]] @ dials
                total += np.inf if barred is not None and barred[k, path[p - 1]] else 0.0
        rows = [column.rows[k] for column, k in zip(costs.columns, path, strict=True)]
        total += learning * costs.grip_milli * len(keys)
        total += learning * costs.return_milli * sum(rows[a] != rows[b] for a, b in costs.returns)
        least = min(least, total)
    return float(least)


def cost_of_rows(costs: DialCosts, dials: np.ndarray, rows: np.ndarray) -> float:
    """The least cost of the paths that have these rows."""
    kept = [np.flatnonzero(column.rows == row) for column, row in zip(costs.columns, rows, strict=True)]
    only = [
        type(column)(
            column.index,
            column.held[k],
            column.fixed[k],
            column.rows[k],
            column.keys[k],
            None if column.into is None else p,
        )
        for p, (column, k) in enumerate(zip(costs.columns, kept, strict=True))
    ]
    blocks = [
        costs.blocks[column.into][np.ix_(kept[p], kept[p - 1])]
        if column.into is not None
        else costs.blocks[0]
        for p, column in enumerate(costs.columns)
    ]
    barred = [
        bars[np.ix_(kept[p], kept[p - 1])]
        if column.into is not None and (bars := costs.barred[column.into]) is not None
        else None
        for p, column in enumerate(costs.columns)
    ]
    small = DialCosts(
        costs.dials,
        tuple(only),
        tuple(blocks),
        tuple(barred),
        costs.keys,
        costs.returns,
        costs.grip_milli,
        costs.return_milli,
    )
    return enumerated(small, dials)


@pytest.mark.parametrize("line", ["F#6 E6 F#6 G6", "E5 F#5 C6 D6", "B5 F#6 B5 A6"])
def test_a_short_route_is_the_least_of_all(line: str) -> None:
    """Every path of four notes is added up, charges included: none costs less than the quick one."""
    part, _, _ = part_of(line, {})
    costs = costs_of(part)
    settings = np.array(SETTINGS, dtype=np.float32)
    rows = rows_under(costs, settings)
    for b, dials in enumerate(settings):
        assert cost_of_rows(costs, dials, rows[:, b]) <= enumerated(costs, dials) + 1.0  # thousandths


@pytest.mark.parametrize(
    ("score", "bars"),
    [("boulanger_matin_flute", "1-40"), pytest.param("schubert_d485_flute", None, marks=whole)],
)
def test_quick_routes_are_nearly_those_of_the_search(score: str, bars: str | None) -> None:
    """Of all notes under several dials at least 95 % get the row that the search gives them."""
    passage = gripway.read(DATA / f"{score}.musicxml", bars=bars).passage
    part = MarkedPart("", "", passage, PLAYER.plain.knowledge, ())
    costs = costs_of(part)
    agreement = Agreement([part], (), costs.dials)
    rows = rows_under(costs, np.array(SETTINGS, dtype=np.float32))
    same = total = 0
    for b, setting in enumerate(SETTINGS):
        (exact,) = agreement.rows(tuple(map(float, setting)))
        found = {column.index: int(rows[p, b]) for p, column in enumerate(costs.columns)}
        same += sum(found.get(index) == row for index, row in exact.items())
        total += len(exact)
    assert same >= 0.95 * total


def test_the_search_under_other_dials_is_that_of_a_player_who_has_them() -> None:
    """What is shared between dials changes no answer: the same rows as from a solver made anew."""
    passage = gripway.read(DATA / "boulanger_matin_flute.musicxml", bars="1-40").passage
    part = MarkedPart("", "", passage, PLAYER.plain.knowledge, ())
    names = tuple(PLAYER.plain.tables.dials)
    agreement = Agreement([part], (), names)
    for setting in SETTINGS:
        dials = tuple(map(float, setting))
        player = gripway.Player(dials=tuple(zip(names, dials, strict=True)))
        route = gripway.finger(passage, gripway.flute(), gripway.Wishes(player=player))
        rows = {note.index: note.candidate.row_grip.mask for note in route.notes if note.candidate}
        assert agreement.rows(dials) == (rows,)
