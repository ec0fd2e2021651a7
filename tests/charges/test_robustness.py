"""Steady choices: the share of shaken tables in which a path still pays, asked anew with every model."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import SHAKING, candidate, solver_of
from tests.oracles.passages import played
from tests.oracles.recount import Charging, charging_of, linked

from gripway.asked.wishes import Pin, Wishes
from gripway.charges.robustness import Pays, ShakenModels, Steadiness
from gripway.effort.candidate import Candidate
from gripway.effort.hand_support import support
from gripway.effort.setting import links, settings
from gripway.effort.shaken_figures import shaken
from gripway.model.passage import Passage

SOLVER = solver_of()
LINE = played("(E6 F#6 E6 F#6 G#6 A6 B4 F#6 B4 F#6 D6)", 180.0)


def effort_under(draw: int, passage: Passage, chosen: list[Candidate], charging: Charging) -> int:
    """Thousandths of a route under one draw, every ledger and charge asked for anew; links as unshaken."""
    tables = shaken(SOLVER.tables, draw, SHAKING.shake_share)
    model = SOLVER.model.with_tables(tables)
    plain = linked(passage, SOLVER)
    between = [
        replace(link, fresh=old.fresh, kept=old.kept)
        for link, old in zip(links(passage.notes, tables.figures), plain, strict=True)
    ]
    about = settings(passage.notes, tuple(between), tables)
    own = [replace(c, support=support(c.grip, tables.support, little_finger=True)) for c in chosen]
    total = sum(model.holding(c, about[k]).total for k, c in enumerate(own))
    for k in range(1, len(own)):
        total += model.moving(model.step(own[k - 1], own[k]), between[k]).total
    share = min(1.0, len(chosen) / tables.figures.learning_notes)
    grip, back = (
        1000 * tables.figures.learning_charge_effort * share,
        1000 * tables.figures.return_charge_effort,
    )
    return total + replace(charging, grip_milli=round(grip), return_milli=round(back)).milli(chosen)


def test_the_share_is_that_of_a_count_draw_by_draw() -> None:
    """The chosen route against one without its new grip: each draw counted anew, ledgers and charges."""
    ground = SOLVER.ground(LINE)
    charged = ground.charged
    assert charged is not None
    columns = charged.network.columns
    one = list(charged.path)
    other = [
        k
        if charged.network.counted[p].new[k] is None
        else next(n for n, c in enumerate(columns[p]) if c.kind == "standard")
        for p, k in enumerate(one)
    ]
    assert one != other
    pays = Steadiness(ShakenModels(SOLVER.model), LINE.notes, ground.links)(charged.network, one, other)
    charging = charging_of(LINE, SOLVER)
    efforts = [
        [
            effort_under(draw, LINE, [columns[p][k] for p, k in enumerate(path)], charging)
            for path in (one, other)
        ]
        for draw in range(SHAKING.shake_draws)
    ]
    assert pays.share == pytest.approx(sum(a < b for a, b in efforts) / len(efforts))
    spared = sum(b - a for a, b in efforts) / len(efforts)
    margin = (SHAKING.steady_margin_factor - 1.0) * charged.network.charge_milli
    assert pays.steady == (pays.share >= SHAKING.steady_least_share and spared >= margin)


def test_a_path_never_beats_itself() -> None:
    """Against the same path no draw is won."""
    ground = SOLVER.ground(LINE)
    steady = Steadiness(ShakenModels(SOLVER.model), LINE.notes, ground.links)
    assert steady(ground.charged.network, ground.charged.path, ground.charged.path) == Pays(0.0, steady=False)


def test_new_grips_of_a_route_are_steady() -> None:
    """Every grip a route teaches pays in the asked share of the draws."""
    for tempo in (120.0, 150.0, 180.0, 210.0):
        charges = SOLVER.solve(played("(E6 F#6 G#6 A6 B6 F#6 D6 A6 E6 A6 F#5 E6 B6 C7 B6)", tempo)).charges
        assert all(grip.steady >= SHAKING.steady_least_share for grip in charges.learn)


def test_a_pinned_grip_is_steady_by_wish() -> None:
    """Where nothing else may stand there is nothing to compare: a pinned grip is never left out."""
    grip = candidate("D6", "L1 | Kd Eb")
    route = SOLVER.solve(played("A4 D6:1/1 A4"), Wishes(pins=(Pin(1, grip.grip),)))
    assert route.notes[1].candidate.grip == grip.grip
    assert [learnt.steady for learnt in route.charges.learn] == [1.0]
    assert route.charges.left_out == ()
