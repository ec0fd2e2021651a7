"""Shaken tables: judged figures move within their share, the same way for the same draw; the rest stays."""

import csv
import random
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES

from gripway.catalog.tables.locator import tables_folder
from gripway.effort.shaken_figures import shaken

SHARE = 0.2


def rows(table: str, *keys: str) -> dict[str, str]:
    """How each row of a table of tables/effort is known, read as text."""
    path = Path(str(tables_folder())) / "effort" / f"{table}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return {" ".join(row[key] for key in keys): row["how"] for row in csv.DictReader(stream)}


SCALES = {
    "fingers": ("finger_weight", ("finger",)),
    "support": ("support", ("touch",)),
    "familiarity": ("unfamiliarity", ("case",)),
    "response": ("response", ("response",)),
    "b_flat": ("b_flat", ("form", "near")),
}


@given(st.integers(0, 1000))
def test_judged_figures_move_within_the_share_and_others_stay(draw: int) -> None:
    """A measured or taught figure stays as it is, a judged one moves by at most a fifth."""
    moved = shaken(TABLES, draw, SHARE).figures
    for name, how in rows("figures", "id").items():
        plain, now = getattr(FIGURES, name), getattr(moved, name)
        assert (1 - SHARE) * plain - 1e-9 <= now <= (1 + SHARE) * plain + 1e-9
        assert how == "judgement" or now == plain


@given(st.integers(0, 1000))
def test_what_counts_or_names_something_is_not_shaken(draw: int) -> None:
    """Numbers of notes, note numbers and partials are no sizes: they stay, and how it is shaken does."""
    tables = shaken(TABLES, draw, SHARE)
    moved = tables.figures
    assert tables.shaking == TABLES.shaking
    for name, unit in units().items():
        if unit in ("notes", "note number", "partial", "semitones"):
            assert getattr(moved, name) == getattr(FIGURES, name)


def units() -> dict[str, str]:
    """The unit of every figure, read as text."""
    path = Path(str(tables_folder())) / "effort" / "figures.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return {row["id"]: row["unit"] for row in csv.DictReader(stream)}


@pytest.mark.parametrize("table", sorted(SCALES))
def test_the_small_scales_are_shaken_alike(table: str) -> None:
    """Weights, support, familiarity, response and B-flats: judged rows move, the others stay."""
    attribute, keys = SCALES[table]
    plain, now = (dict(getattr(tables, attribute)) for tables in (TABLES, shaken(TABLES, 3, SHARE)))
    for key, how in rows(table, *keys).items():
        named = tuple(key.split(" ")) if len(keys) > 1 else key
        if how == "judgement" and plain[named]:
            assert 0 < abs(now[named] / plain[named] - 1) <= SHARE
        else:
            assert now[named] == plain[named]


def test_another_row_moves_no_other() -> None:
    """With one judged row fewer every other figure is shaken as before."""
    judged = dict(TABLES.judged)
    first, *_ = judged["figures"]
    rest = {name: key for name, key in judged["figures"].items() if name != first}
    fewer = replace(TABLES, judged=MappingProxyType({**judged, "figures": rest}))
    whole, less = shaken(TABLES, 4, SHARE), shaken(fewer, 4, SHARE)
    assert getattr(less.figures, first) == getattr(FIGURES, first)
    assert replace(less.figures, **{first: getattr(whole.figures, first)}) == whole.figures
    assert (less.support, less.dynamics) == (whole.support, whole.dynamics)


def test_a_figure_in_another_unit_has_the_same_draw() -> None:
    """The draw goes by the name without the unit, so that a unit in a name moves no answer."""
    keys = TABLES.judged["figures"]
    assert (keys["line_travel_ms"], keys["learning_charge_effort"]) == ("line_travel", "learning_charge")
    chance = random.Random("4 figures line_travel").uniform(1 - SHARE, 1 + SHARE)
    assert shaken(TABLES, 4, SHARE).figures.line_travel_ms == FIGURES.line_travel_ms * chance


def test_dynamics_keep_their_meaning() -> None:
    """The drift of a dynamic is shaken; what is soft and what is loud is not."""
    now = shaken(TABLES, 5, SHARE).dynamics
    for mark, plain in TABLES.dynamics.items():
        assert (now[mark].soft, now[mark].loud) == (plain.soft, plain.loud)
        assert abs(now[mark].drift_cents - plain.drift_cents) <= SHARE * abs(plain.drift_cents)


def test_the_same_draw_gives_the_same_tables() -> None:
    """No hidden chance: a draw is repeatable, and another draw differs in most judged figures."""
    one, again, other = (shaken(TABLES, draw, SHARE) for draw in (1, 1, 2))
    assert one == again
    judged = TABLES.judged["figures"]
    differ = [name for name in judged if getattr(one.figures, name) != getattr(other.figures, name)]
    assert len(differ) > 0.9 * len(judged)


def test_nothing_moves_without_a_share() -> None:
    """A share of nothing gives the tables as they stand, dials among them."""
    still = shaken(TABLES, 7, 0.0)
    assert still.figures == FIGURES
    assert still.dials == TABLES.dials


def test_factors_are_spread_over_the_whole_share() -> None:
    """Over many draws a figure is moved up as often as down, nearly to both ends (uniform: mean 1)."""
    factors = [shaken(TABLES, draw, SHARE).figures.learning_charge_effort for draw in range(400)]
    assert sum(factors) / len(factors) == pytest.approx(1.0, abs=0.02)
    assert min(factors) < 0.82
    assert max(factors) > 1.18
