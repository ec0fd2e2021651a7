"""The ladder: shared suffixes, cones in slices, and the laws of the whole tube."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.acoustics.flute import IDEAL_BREATH, flute, tube_of
from tests.acoustics.test_tube import rising_zeros_hz
from tests.tiers import examples

from gripway.acoustics import ladder
from gripway.acoustics.end_corrections import PlayerTerm, open_end
from gripway.acoustics.hole import FORMULAS, hole
from gripway.acoustics.ladder import (
    Tube,
    chimney,
    cork_admittance,
    head,
    impedance_at_holes,
    stretch,
    surface_impedance,
    total_impedance,
)
from gripway.acoustics.tube import cylinder, seen_through
from gripway.model.bore import Bore, BoreHole, BorePiece, Embouchure, HoleShape

FREQ_HZ = np.geomspace(230.0, 2500.0, 60)
TUBE = tube_of(flute())
HOLES = len(TUBE.bore.holes)
MM = 0.001


def frustum(length_m: float, start_radius_m: float, end_radius_m: float) -> Tube:
    """A bare cone full of ideal air; its one hole and its embouchure are never asked for."""
    piece = BorePiece(0.0, length_m, start_radius_m, end_radius_m)
    nowhere = BoreHole("none", length_m, HoleShape(MM, MM, MM))
    cork = BorePiece(-MM, 0.0, start_radius_m, start_radius_m)
    bore = Bore("cone", (piece,), (nowhere,), Embouchure(MM, MM, MM), cork, length_m)
    return Tube(bore, PlayerTerm(0.0, 0.0), IDEAL_BREATH)


def one_at_a_time(tube: Tube, opened: np.ndarray) -> np.ndarray:
    """Impedance above the first hole for one pattern, stepwise from the foot, nothing shared."""
    bore, breath = tube.bore, tube.breath
    load, below_m = open_end(FREQ_HZ, bore.radius_at(bore.end_m), breath.at(bore.end_m)), bore.end_m
    for here, is_open in zip(reversed(bore.holes), reversed(opened.tolist()), strict=True):
        load = seen_through(stretch(FREQ_HZ, tube, here.x_m, below_m), load)
        radius_m, air = bore.radius_at(here.x_m), breath.at(here.x_m)
        port = hole(FREQ_HZ, here.shape, radius_m, air, is_open=is_open, formula=tube.formula)
        load, below_m = seen_through(port, load), here.x_m
    return load


@pytest.mark.parametrize("formula", FORMULAS)
def test_shared_suffixes_give_what_one_pattern_at_a_time_gives(formula: str) -> None:
    """Patterns computed together, in any order and with doubles, equal a plain computation."""
    source = np.random.default_rng(7)
    opened = source.integers(0, 2, (24, HOLES)).astype(bool)
    opened[5:9] = opened[4]  # the same pattern again
    opened[10, 3:] = opened[11, 3:]  # the same suffix
    tube = Tube(TUBE.bore, TUBE.player, TUBE.breath, formula)
    together = impedance_at_holes(FREQ_HZ, tube, opened)
    for row, pattern in zip(together, opened, strict=True):
        assert np.abs(row / one_at_a_time(tube, pattern) - 1.0).max() < 1e-9


@given(st.lists(st.booleans(), min_size=HOLES, max_size=HOLES), st.sampled_from(FORMULAS))
@settings(max_examples=examples(40))
def test_no_flute_gives_power_away(opened: list[bool], formula: str) -> None:
    """Inside and at the lips the resistance is positive for every hole pattern."""
    tube = Tube(TUBE.bore, TUBE.player, TUBE.breath, formula)
    pattern = np.array([opened])
    assert (impedance_at_holes(FREQ_HZ, tube, pattern).real > 0.0).all()
    assert (total_impedance(FREQ_HZ, tube, pattern).real > 0.0).all()


@given(st.floats(0.0, 0.59), st.floats(0.001, 0.6))
@settings(max_examples=examples(40))
def test_every_stretch_of_the_bore_is_reciprocal(start_m: float, length_m: float) -> None:
    """A D - B C = 1 over cones and cylinders in a row."""
    a, b, c, d = stretch(FREQ_HZ, TUBE, start_m, min(start_m + length_m, TUBE.bore.end_m))
    assert np.abs(a * d - b * c - 1.0).max() < 1e-9


def test_head_and_chimney_are_reciprocal() -> None:
    """A D - B C = 1 with the cork's cavity beside the bore."""
    for a, b, c, d in (head(FREQ_HZ, TUBE), chimney(FREQ_HZ, TUBE)):
        assert np.abs(a * d - b * c - 1.0).max() < 1e-9


def test_a_stretch_of_no_length_changes_nothing() -> None:
    """Two holes at one place have the identity between them."""
    a, b, c, d = stretch(FREQ_HZ, TUBE, 0.3, 0.3)
    assert (a == 1.0).all()
    assert (d == 1.0).all()
    assert not b.any()
    assert not c.any()


def test_two_stretches_are_the_stretch_over_both() -> None:
    """Where the bore is cut does not matter."""
    load = open_end(FREQ_HZ, 0.0095, TUBE.breath.at(0.6))
    whole = seen_through(stretch(FREQ_HZ, TUBE, 0.0, 0.6), load)
    cut = seen_through(stretch(FREQ_HZ, TUBE, 0.0, 0.2), seen_through(stretch(FREQ_HZ, TUBE, 0.2, 0.6), load))
    # the pieces of a cylinder take their air from other middles: below a cent in all
    assert np.abs(np.unwrap(np.angle(whole)) - np.unwrap(np.angle(cut))).max() < 0.02


def test_a_cone_open_at_both_ends_sounds_the_whole_series() -> None:
    """A frustum with both ends open has the harmonics n c / 2 L, whatever its taper; slices come near."""
    # closed form of spherical waves with pressure zero at both ends
    freq_hz = np.arange(100.0, 1800.0, 0.25)
    tube = frustum(0.5, 0.009, 0.005)
    zeros = rising_zeros_hz(freq_hz, seen_through(stretch(freq_hz, tube, 0.0, 0.5), 0.0j * freq_hz))
    cents = 1200.0 * np.log2(zeros / (np.arange(1, 6) * 343.0 / 1.0))
    assert np.abs(cents).max() < 0.02


def test_finer_slices_of_a_cone_converge(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each halving of the slice takes off about three quarters of the error."""
    freq_hz, errors = np.array([600.0]), []
    tube = frustum(0.5, 0.009, 0.005)
    for slice_m in (0.032, 0.016, 0.008, 0.0005):
        monkeypatch.setattr(ladder, "SLICE_M", slice_m)
        errors.append(seen_through(stretch(freq_hz, tube, 0.0, 0.5), 0.0j * freq_hz)[0])
    far, middle, near = (abs(error - errors[-1]) for error in errors[:-1])
    assert 3.0 < far / middle < 5.0
    assert 3.0 < middle / near < 5.0


def test_the_cork_s_cavity_is_its_volume_at_low_frequency() -> None:
    """The closed piece behind the embouchure is the compliance V / rho c^2."""
    freq_hz, air = np.array([100.0]), TUBE.breath.at(0.0)
    cork = TUBE.bore.cork
    volume = np.pi * ((cork.start_radius_m + cork.end_radius_m) / 2.0) ** 2 * (cork.end_m - cork.start_m)
    expected = 2.0 * np.pi * 100.0 * volume / (air.density * air.speed**2)
    assert cork_admittance(freq_hz, TUBE).imag[0] == pytest.approx(expected, rel=0.02)


def test_the_chimney_is_the_mass_of_a_cone_at_low_frequency() -> None:
    """Short-circuited, the embouchure hole is the inertance rho h / pi r1 r2 of a frustum."""
    freq_hz, air = np.array([500.0]), TUBE.breath.at(0.0)
    shape = TUBE.bore.embouchure
    inertance = air.density * shape.height_m / (np.pi * shape.outer_radius_m * shape.inner_radius_m)
    impedance = seen_through(chimney(freq_hz, TUBE), np.zeros(1, dtype=complex))
    assert impedance.imag[0] == pytest.approx(2.0 * np.pi * 500.0 * inertance, rel=0.03)


def test_losses_are_counted_against_the_bore_at_the_embouchure() -> None:
    """The surface impedance is rho c over the area there."""
    air, radius_m = TUBE.breath.at(0.0), TUBE.bore.radius_at(0.0)
    plain = cylinder(np.array([1e6]), 0.1, radius_m, air)
    assert surface_impedance(TUBE) == pytest.approx(abs(plain[1][0] / plain[2][0]) ** 0.5, rel=2e-3)
