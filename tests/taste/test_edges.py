"""From which evidence on dials are learnt, told as perhaps, or left: at each bound and just beyond it."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from tests.taste.parts import part_of

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.taste_figures import taste_figures
from gripway.model.grip import Grip
from gripway.taste import taste
from gripway.taste.always import KnownGrip
from gripway.taste.batched_routes import _Batch
from gripway.taste.fitted import Fitted, HeldOut, chance_of
from gripway.taste.taste import KEPT, LEARNT, PERHAPS, TOO_FEW, _Study

MARKS = 12
F_SHARP = "T L1 L3 | R2 Eb"
DIALS = (2.0,) * 5
FIGURES = replace(taste_figures(), least_marks=MARKS)


def study(figures: Any = FIGURES) -> _Study:
    """The study of twelve marks."""
    part, check, _ = part_of("E6 F#6 G6 A5 " * MARKS, {4 * k + 1: F_SHARP for k in range(MARKS)})
    return _Study([part], [check], effort_tables(), figures, None)


def status(monkeypatch: pytest.MonkeyPatch, figures: Any = FIGURES, now: int = 6, **changed: Any) -> str:
    """What is answered where this is what was learnt, and so many marks come out now."""
    gained, lost = changed.pop("gained", 2), changed.pop("lost", 0)
    held = HeldOut(MARKS, 6, now, gained, lost, chance_of(gained, lost), 2, "passage")
    found = Fitted(DIALS, (), 6, 6, np.ones(MARKS, dtype=np.bool_), 6.0, 0.0, 1, held)
    monkeypatch.setattr(taste, "folds", lambda *_: object())
    monkeypatch.setattr(_Study, "_right_now", now)
    monkeypatch.setattr(_Study, "_tried", lambda *_: [replace(found, **changed)])
    monkeypatch.setattr(_Study, "_answer", lambda _self, status, *_: status)
    monkeypatch.setattr(_Study, "weights", np.ones(MARKS))
    return str(study(figures).taste())


def test_marks_teach_from_their_least_number_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve where twelve are asked for; where thirteen are, a player is told that there are too few."""
    assert status(monkeypatch) == LEARNT
    assert status(monkeypatch, replace(FIGURES, least_marks=MARKS + 1)) == TOO_FEW


def test_learnt_is_what_chance_gives_seldom_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two gained and none lost is just the chance allowed (0.25); one gained is not, nor three to two."""
    assert chance_of(2, 0) == FIGURES.chance_most_share
    assert status(monkeypatch, gained=2) == LEARNT
    assert status(monkeypatch, gained=1) == KEPT
    assert status(monkeypatch, gained=3, lost=2) == KEPT


def test_nothing_is_learnt_that_brings_out_fewer_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as now are enough, one fewer is not."""
    assert status(monkeypatch, now=6) == LEARNT
    assert status(monkeypatch, now=7) == KEPT


def test_nothing_is_tried_where_all_that_is_left_were_chance(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two marks that do not come out can be enough; of one nothing could be learnt."""
    assert status(monkeypatch, now=MARKS - 2, right=MARKS) == LEARNT
    assert status(monkeypatch, now=MARKS - 1, right=MARKS) == KEPT


def test_perhaps_is_told_from_its_gain_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """At the gain of the table, none lost more than gained; a little less is not told at all."""
    enough = FIGURES.perhaps_marks
    assert status(monkeypatch, gained=1, lost=1, net=enough) == PERHAPS
    assert status(monkeypatch, gained=1, lost=1, net=enough - 0.01) == KEPT
    assert status(monkeypatch, gained=1, lost=2, net=enough) == KEPT


@pytest.mark.parametrize(("left", "ways"), [(2, 3), (1, 2)])
def test_dials_are_learnt_beside_known_grips_where_enough_is_left(
    monkeypatch: pytest.MonkeyPatch, left: int, ways: int
) -> None:
    """Known grips, dials, and both: both only where two marks are left that could be gained."""
    known = KnownGrip(90, Grip.parse(F_SHARP), MARKS)
    tried = []

    def fitted(_self: _Study, _dealt: object, known: object, **_: bool) -> Any:
        tried.append(known)
        return SimpleNamespace(right=MARKS - left, heard=MARKS)

    monkeypatch.setattr(taste, "always_used", lambda *_: (known,))
    monkeypatch.setattr(_Study, "_come_now", np.zeros(MARKS, dtype=np.bool_))
    monkeypatch.setattr(_Study, "_fitted", fitted)
    agreement = SimpleNamespace(exact=lambda _dials: np.zeros(MARKS, dtype=np.bool_))
    monkeypatch.setattr(_Study, "_agreement", lambda *_: agreement)
    study()._tried(SimpleNamespace(count=2))  # type: ignore[arg-type]
    assert len(tried) == ways


def test_a_grip_that_saves_its_charge_is_kept() -> None:
    """At the charge it is worth learning, below it the route goes without it."""
    routes: Any = SimpleNamespace(grip_charge=2.0, same_pitch=[])
    gains, off = np.array([[2.0, 1.9]]), np.zeros((1, 2), dtype=np.bool_)
    assert _Batch._weak(routes, gains, off).tolist() == [[False, True]]
