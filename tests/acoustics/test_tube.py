"""Pieces of tube: closed forms, losses, and the laws every passive two-port keeps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ive
from tests.acoustics.flute import IDEAL_AIR

from gripway.acoustics import tube
from gripway.acoustics.air import air_at
from gripway.acoustics.tube import chain, cylinder, line, seen_through

FREQ_HZ = np.geomspace(230.0, 2500.0, 40)
AIR = air_at(27.0)
LENGTHS_M, RADII_M = st.floats(0.001, 0.7), st.floats(0.003, 0.02)


def rising_zeros_hz(freq_hz: np.ndarray, impedance: np.ndarray) -> np.ndarray:
    """Where the imaginary part passes zero on the rise, between two grid frequencies."""
    x = impedance.imag
    places = np.nonzero((x[:-1] < 0.0) & (x[1:] >= 0.0))[0]
    share = x[places] / (x[places] - x[places + 1])
    return freq_hz[places] + share * (freq_hz[places + 1] - freq_hz[places])


def test_a_tube_open_at_both_ends_sounds_the_whole_series() -> None:
    """Without losses, pressure zero at both ends: n c / 2 L."""
    # closed form of the wave equation; also any textbook, e.g. Fletcher and Rossing, chapter 8
    freq_hz = np.arange(50.0, 1500.0, 0.5)
    zeros = rising_zeros_hz(freq_hz, seen_through(cylinder(freq_hz, 0.6, 0.0095, IDEAL_AIR), 0.0j * freq_hz))
    assert zeros == pytest.approx(np.arange(1, 6) * IDEAL_AIR.speed / 1.2, rel=1e-5)


def test_a_tube_closed_at_one_end_sounds_the_odd_series() -> None:
    """Without losses, flow zero at the far end: (2 n - 1) c / 4 L."""
    freq_hz = np.arange(50.0, 1500.0, 0.5)
    a, _, c, _ = cylinder(freq_hz, 0.6, 0.0095, IDEAL_AIR)
    odd = np.arange(1, 11, 2)
    assert rising_zeros_hz(freq_hz, a / c) == pytest.approx(odd * IDEAL_AIR.speed / 2.4, rel=1e-5)


@given(LENGTHS_M, RADII_M)
def test_every_cylinder_is_reciprocal(length_m: float, radius_m: float) -> None:
    """A D - B C = 1 whatever the length and the radius."""
    a, b, c, d = cylinder(FREQ_HZ, length_m, radius_m, AIR)
    assert a * d - b * c == pytest.approx(np.ones_like(a), abs=1e-9)


@given(LENGTHS_M, RADII_M, st.floats(0.0, 1e7), st.floats(-1e7, 1e7))
def test_a_tube_gives_no_power_away(length_m: float, radius_m: float, real: float, imaginary: float) -> None:
    """Closed with any passive load, a lossy tube has a positive resistance."""
    load = np.full_like(FREQ_HZ, real + 1j * imaginary, dtype=complex)
    assert (seen_through(cylinder(FREQ_HZ, length_m, radius_m, AIR), load).real > 0.0).all()


@given(LENGTHS_M, LENGTHS_M, RADII_M)
def test_two_pieces_of_one_tube_are_the_whole_tube(first_m: float, second_m: float, radius_m: float) -> None:
    """Chaining lengths adds them."""
    parts = chain(cylinder(FREQ_HZ, first_m, radius_m, AIR), cylinder(FREQ_HZ, second_m, radius_m, AIR))
    whole = cylinder(FREQ_HZ, first_m + second_m, radius_m, AIR)
    for own, other in zip(parts, whole, strict=True):
        assert np.abs(own / other - 1.0).max() < 1e-6


@given(LENGTHS_M, LENGTHS_M, RADII_M, RADII_M)
def test_seen_through_two_pieces_is_seen_through_one_after_the_other(
    first_m: float, second_m: float, first_radius_m: float, second_radius_m: float
) -> None:
    """The chained matrix and stepwise transformation of a load agree."""
    near, far = (
        cylinder(FREQ_HZ, first_m, first_radius_m, AIR),
        cylinder(FREQ_HZ, second_m, second_radius_m, AIR),
    )
    load = 1e5 * (1.0 + 1j) * np.ones_like(FREQ_HZ)
    at_once, stepwise = seen_through(chain(near, far), load), seen_through(near, seen_through(far, load))
    assert np.abs(at_once / stepwise - 1.0).max() < 1e-9


def test_the_bessel_quotient_is_that_of_scipy() -> None:
    """The asymptotic series is 2 I1(s) / (s I0(s)) to 1e-5 from |s| = 10 up (any tube here: above 50)."""
    # scipy.special.ive: exponentially scaled Bessel functions, the scale falls out of the quotient
    s = np.geomspace(10.0, 2000.0, 60) * np.exp(1j * np.pi / 4.0)
    exact = 2.0 * ive(1, s) / (s * ive(0, s))
    assert np.abs(tube._boundary(s) / exact - 1.0).max() < 1e-5


def test_losses_at_the_wall_are_those_of_kirchhoff() -> None:
    """In a wide tube the decay per metre is that of a thin boundary layer."""
    # Kirchhoff (1868), first order in the layer:
    # alpha = sqrt(mu w / (2 rho)) (1 + (gamma - 1) / sqrt(Pr)) / (a c)
    omega, radius_m = 2.0 * np.pi * FREQ_HZ, 0.0095
    thin = np.sqrt(AIR.viscosity * omega / (2.0 * AIR.density)) * (1.0 + (AIR.gamma - 1.0) / AIR.root_prandtl)
    constant, _ = line(FREQ_HZ, radius_m, AIR)
    assert constant.real == pytest.approx(thin / (radius_m * AIR.speed), rel=0.03)


def test_losses_are_the_rule_of_thumb_of_the_textbook() -> None:
    """1.2e-5 sqrt(w) / a a metre."""
    # Fletcher and Rossing, The Physics of Musical Instruments, chapter 8, eq. 8.14 (from memory)
    constant, _ = line(FREQ_HZ, 0.0095, AIR)
    assert constant.real == pytest.approx(1.2e-5 * np.sqrt(2.0 * np.pi * FREQ_HZ) / 0.0095, rel=0.06)


def test_without_losses_the_impedance_is_rho_c_over_the_area() -> None:
    """The characteristic impedance of ideal air is real."""
    constant, impedance = line(FREQ_HZ, 0.0095, IDEAL_AIR)
    assert impedance.real == pytest.approx(
        1.2 * 343.0 / (np.pi * 0.0095**2) * np.ones_like(FREQ_HZ), rel=1e-6
    )
    assert np.abs(constant.real).max() < 1e-5
