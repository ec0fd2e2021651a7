"""Edges of the charges: at the figure and just beside it, with figures read from the tables."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from tests.oracles.flutes import FIGURES, SHAKING, candidate, solver_of
from tests.oracles.passages import played, with_ornament
from tests.oracles.small_networks import charged_network, every_path

from gripway.charges.charged_route import Charged, charged_route
from gripway.charges.charging import charge_of, return_charge_of, return_pairs
from gripway.charges.joined_network import new_key, tenths_of
from gripway.charges.learning_curve import MOST_POINTS, CurvePoint, _Curve, without_learning
from gripway.charges.least_path import ChargedPath
from gripway.charges.robustness import Pays, Steadiness
from gripway.effort.candidate import Tendency

MODEL = solver_of().model


def test_a_pitch_returns_from_the_note_after_next_to_its_last() -> None:
    """The next note is no return; as far as is near is one, a note further is none."""
    near = int(FIGURES.return_near_notes)
    for apart, pairs in ((1, ()), (2, ((0, 2),)), (near, ((0, near),)), (near + 1, ())):
        others = ["E6", "F6", "G6", "A6", "B6"] * near
        line = played(" ".join(["D6", *others[: apart - 1], "D6"])).notes
        d6 = line[0].pitch.number
        found = return_pairs(line, near, {n.pitch.number for n in line} - {d6})
        assert found == pairs, apart


def test_what_several_grips_or_a_tremolo_excuse() -> None:
    """A pitch with several standard grips never returns; a tremolo forgets the note before it."""
    line = played("D6 E6 D6")
    d6, e6 = line.notes[0].pitch.number, line.notes[1].pitch.number
    assert return_pairs(line.notes, 9, {e6}) == ((0, 2),)
    assert return_pairs(line.notes, 9, {d6}) == ()
    assert return_pairs(with_ornament(line, 2, "tremolo", "E6").notes, 9, ()) == ()


def test_a_charge_is_whole_from_its_number_of_notes_on() -> None:
    """A part of that many notes pays all, a shorter one its share, a longer one no more."""
    notes = int(FIGURES.learning_notes)
    whole = round(MODEL.dials["learning"] * FIGURES.learning_charge_effort * 1000)
    assert charge_of(notes, MODEL) == charge_of(notes + 1, MODEL) == whole
    assert charge_of(notes - 1, MODEL) == pytest.approx(whole * (notes - 1) / notes, abs=1)
    assert return_charge_of(MODEL) == round(MODEL.dials["return"] * FIGURES.return_charge_effort * 1000)


def test_whom_a_grip_is_new_to() -> None:
    """Usual and known grips are learnt already, any other is named by its pitch and its row."""
    other = replace(candidate("D6"), kind="alternate", case="alternate", form="")
    assert new_key(replace(other, kind="standard")) is None
    assert new_key(replace(other, case="standard")) is None
    assert new_key(other) == (other.pitch, other.row_grip.mask)


@pytest.mark.parametrize(("cents", "tenths"), [(None, 0), (-12.34, 123), (0.06, 1), (0.04, 0), (15.0, 150)])
def test_a_lean_counts_in_tenths(cents: float | None, tenths: int) -> None:
    """Its size as it is printed, whichever its side; nothing where none is known."""
    assert tenths_of(replace(candidate("D6"), tendency=Tendency(cents, 5.0, cents, "taught"))) == tenths


class Told(Steadiness):
    """A count of draws that was told what each saves."""

    def __init__(self, *saved: int) -> None:
        self.told, self.shaking = saved, SHAKING

    def _saved(self, *_: object) -> list[int]:
        return list(self.told)


def steady(*saved: int, charge_milli: int = 0) -> Pays:
    """What is said of a choice that saves so much in each draw."""
    network = replace(charged_network(1), charge_milli=charge_milli)
    return Told(*saved)(network, (), ())


def test_a_choice_is_steady_from_its_share_on() -> None:
    """In just the share of draws it pays; in one fewer it does not; saving nothing is not paying."""
    wins = round(SHAKING.steady_least_share * 100)
    assert wins / 100 == pytest.approx(SHAKING.steady_least_share)
    assert steady(*[1] * wins, *[0] * (100 - wins)) == Pays(wins / 100, steady=True)
    assert not steady(*[1] * (wins - 1), *[0] * (101 - wins)).steady
    assert steady(*[0] * 100).share == 0.0


def test_a_choice_is_firm_from_its_margin_on() -> None:
    """What is saved on average beside the charge must reach the margin; just below it is not steady."""
    charge_milli = 1000
    edge = round((SHAKING.steady_margin_factor - 1.0) * charge_milli)
    assert steady(*[edge + 1] * 100, charge_milli=charge_milli).steady
    assert steady(*[edge] * 100, charge_milli=charge_milli).steady is (
        edge >= (SHAKING.steady_margin_factor - 1.0) * charge_milli
    )
    assert not steady(*[edge - 2] * 100, charge_milli=charge_milli).steady


def test_a_bound_that_is_reached_is_a_proof() -> None:
    """A bound as high as the route proves it, one thousandth lower does not: of path, route and point."""
    for bound, proved in ((100, True), (99, False)):
        assert ChargedPath([0], 100, bound).proved is proved
        assert CurvePoint(frozenset(), (0,), 100, bound).proved is proved
        route = SimpleNamespace(milli=100, bound_milli=bound)
        assert Charged.proved.fget(route) is proved  # type: ignore[attr-defined]


def test_of_routes_with_as_many_new_grips_the_one_of_least_effort_stands() -> None:
    """Whatever the order they are found in; one as good as it changes nothing."""
    compared = 0
    for seed in range(20):
        network = charged_network(seed)
        charged = charged_route(network, lambda *_: Pays(1.0, steady=True))
        if charged is None:
            continue
        curve = _Curve(charged)
        efforts: dict[int, int] = {}
        paths = [list(path) for _, _, path in every_path(charged.part)]
        for path in (*paths, *reversed(paths)):
            curve._offer(path)
            grips, effort = len(charged.part.learnt(path)), without_learning(charged.part).milli(path)
            compared += effort != efforts.get(grips, effort)
            efforts[grips] = min(effort, efforts.get(grips, effort))
        assert {grips: effort for grips, (effort, _) in curve.paths.items()} == efforts
    assert compared


def test_a_point_is_bounded_by_every_charge_that_was_tried() -> None:
    """What a bound of effort and charges leaves once so many grips are paid; never above the effort."""
    charged = next(
        found
        for seed in range(50)
        if (found := charged_route(charged_network(seed), lambda *_: Pays(1.0, steady=True))) is not None
    )
    curve = _Curve(charged)
    curve.bounds, curve.none_milli = [(10, 90), (50, 160)], 75
    path = [ids.index(k) for ids, k in zip(charged.ids, charged.path, strict=True)]
    for grips, effort, bound in ((2, 100, 70), (1, 200, 110), (1, 105, 105), (0, 900, 160), (3, 100, 60)):
        curve.paths = {grips: (effort, path)}
        assert curve._point(grips).bound_milli == bound
    curve.bounds = [(10, 60)]
    curve.paths = {0: (900, path)}
    assert curve._point(0).bound_milli == 75  # without new grips its own search counts too


def test_the_curve_goes_up_to_its_most_points() -> None:
    """So many grips are the last point, one more is none; a point that saves nothing is none either."""
    paths = {0: (10,), 1: (10,), MOST_POINTS: (5,), MOST_POINTS + 1: (3,)}
    curve: Any = SimpleNamespace(paths=paths)
    assert _Curve._falling(curve) == [0, MOST_POINTS]


def test_what_is_left_out_charges_what_it_saves_and_never_gives() -> None:
    """A grip that saves less than it charges must not make another route look better than it is."""
    counted = [SimpleNamespace(new=[None, "grip"])]
    network = SimpleNamespace(counted=counted, learnt=lambda _: set(), milli=lambda _: 100, charge_milli=50)
    for saves, effort in ((50, 100), (20, 100), (70, 120)):
        left_out = (SimpleNamespace(key="grip", saves_milli=saves),)
        charged: Any = SimpleNamespace(network=network, path=(0,), left_out=left_out)
        assert Charged.with_left_out(charged, (1,)) == effort
