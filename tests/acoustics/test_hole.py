"""Tone holes: limits, the two-port laws, keys and their gaps."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.acoustics.air import air_at
from gripway.acoustics.hole import DICKENS, FORMULAS, LEFEBVRE, hole, radiation_length
from gripway.acoustics.tube import cylinder, seen_through
from gripway.model.bore import HoleShape

FREQ_HZ = np.geomspace(230.0, 2500.0, 40)
AIR = air_at(27.0)
BORE_M = 0.0095
PLAIN = HoleShape(radius_m=0.0066, height_m=0.0019, rim_m=0.001)
KEYED = replace(PLAIN, key_radius_m=0.0095, key_gap_m=0.0024, key_thickness_m=0.004)

shapes = st.builds(
    HoleShape,
    radius_m=st.floats(0.001, 0.0085),
    height_m=st.floats(0.001, 0.006),
    rim_m=st.floats(0.0, 0.003),
    key_radius_m=st.sampled_from([0.0, 0.0095, 0.0103]),
    key_gap_m=st.floats(0.0005, 0.01),
    key_hole_radius_m=st.sampled_from([0.0, 0.0034]),
    key_thickness_m=st.just(0.004),
)
states = st.booleans()
formulas = st.sampled_from(FORMULAS)


@given(shapes, states, formulas)
def test_every_hole_is_reciprocal(shape: HoleShape, is_open: bool, formula: str) -> None:
    """A D - B C = 1 and A = D, open or shut, in both formulas."""
    a, b, c, d = hole(FREQ_HZ, shape, BORE_M, AIR, is_open=is_open, formula=formula)
    assert np.abs(a * d - b * c - 1.0).max() < 1e-9
    assert np.array_equal(a, d)


@given(shapes, states, formulas, st.floats(1e3, 1e7), st.floats(-1e7, 1e7))
def test_no_hole_gives_power_away(
    shape: HoleShape, is_open: bool, formula: str, real: float, imaginary: float
) -> None:
    """Above a hole the resistance is positive wherever it is below it."""
    load = np.full_like(FREQ_HZ, real + 1j * imaginary, dtype=complex)
    port = hole(FREQ_HZ, shape, BORE_M, AIR, is_open=is_open, formula=formula)
    assert (seen_through(port, load).real > 0.0).all()


@given(states, formulas)
def test_a_tiny_hole_is_no_hole(is_open: bool, formula: str) -> None:
    """A hole of a thousandth of a millimetre leaves the tube as it is."""
    tiny = HoleShape(radius_m=1e-6, height_m=0.0019, rim_m=0.001)
    below = seen_through(cylinder(FREQ_HZ, 0.3, BORE_M, AIR), 0.0j * FREQ_HZ)
    above = seen_through(hole(FREQ_HZ, tiny, BORE_M, AIR, is_open=is_open, formula=formula), below)
    assert np.abs(above / below - 1.0).max() < 1e-4


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_shut_hole_is_its_volume(formula: str) -> None:
    """Well below its own resonance a shut hole is the compliance V / rho c^2."""
    freq_hz = np.array([50.0])
    _, _, admittance, _ = hole(freq_hz, PLAIN, BORE_M, AIR, is_open=False, formula=formula)
    b = PLAIN.radius_m
    d = b / BORE_M
    # height, volume up to the curved bore (b d / 8 (1 + 0.207 d^3)), less 0.05 b: Lefebvre and Scavone (2012)
    length_m = PLAIN.height_m + b * d / 8.0 * (1.0 + 0.207 * d**3) - 0.05 * b
    compliance = np.pi * b**2 * length_m / (AIR.density * AIR.speed**2)
    assert admittance.imag[0] == pytest.approx(2.0 * np.pi * 50.0 * compliance, rel=1e-3)


def test_an_open_hole_is_the_mass_of_its_air() -> None:
    """At low frequency an open hole is the inertance rho L / S of chimney and ends together."""
    freq_hz = np.array([20.0])
    _, _, admittance, _ = hole(freq_hz, PLAIN, BORE_M, AIR, is_open=True)
    length_m = (1.0 / admittance).imag[0] / (2.0 * np.pi * 20.0) * np.pi * PLAIN.radius_m**2 / AIR.density
    # between the bare chimney and chimney + two flanged ends (2 x 0.8216 b: Nomura) + the bore's curve
    assert PLAIN.height_m + 0.6133 * PLAIN.radius_m < length_m
    assert length_m < PLAIN.height_m + 2.0 * 0.8216 * PLAIN.radius_m + 0.001


@pytest.mark.parametrize("is_open", [True, False])
def test_the_hole_shortens_the_air_beside_it(is_open: bool) -> None:
    """In both formulas the series term is a small negative length."""
    # Dickens (2007), p. 66; Lefebvre and Scavone (2012): between -0.5 b d^2 and 0
    for formula in (LEFEBVRE, DICKENS):
        a, _, c, _ = hole(FREQ_HZ[:1], PLAIN, BORE_M, AIR, is_open=is_open, formula=formula)
        series = 2.0 * (a - 1.0) / c  # A = 1 + Z Y / 2, C = Y
        k = 2.0 * np.pi * FREQ_HZ[0] / AIR.speed
        length_m = (series.imag / (k * AIR.density * AIR.speed / (np.pi * BORE_M**2)))[0]
        assert -0.5 * PLAIN.radius_m * (PLAIN.radius_m / BORE_M) ** 2 < length_m < 0.0


def test_the_rim_lies_between_no_flange_and_a_wide_one() -> None:
    """Without a wall the end is unflanged (0.6133 b), with a very wide one flanged (0.8216 b)."""
    # Levine and Schwinger (1948); Nomura: limits of Dalmont, Nederveen and Joly (2001)
    b = PLAIN.radius_m
    assert radiation_length(replace(PLAIN, rim_m=0.0)) == pytest.approx(0.6133 * b)
    assert radiation_length(replace(PLAIN, rim_m=10.0)) == pytest.approx(0.8216 * b, rel=1e-3)
    assert 0.6133 * b < radiation_length(PLAIN) < 0.8216 * b


def test_a_key_far_away_is_no_key() -> None:
    """A gap of a metre leaves the end correction of the rim."""
    assert radiation_length(replace(KEYED, key_gap_m=1.0)) == pytest.approx(radiation_length(PLAIN), rel=1e-4)


@given(st.floats(0.0005, 0.01), st.floats(1.05, 3.0))
def test_a_lower_key_makes_the_hole_flatter(gap_m: float, factor: float) -> None:
    """Closing the gap lengthens the air of the hole."""
    low, high = replace(KEYED, key_gap_m=gap_m), replace(KEYED, key_gap_m=gap_m * factor)
    assert radiation_length(low) > radiation_length(high) > radiation_length(PLAIN)


def test_a_finger_hole_in_the_key_lets_air_through() -> None:
    """A perforated key adds less length than a whole plate; a pinhole changes nothing."""
    whole = radiation_length(KEYED)
    assert radiation_length(PLAIN) < radiation_length(replace(KEYED, key_hole_radius_m=0.0034)) < whole
    assert radiation_length(replace(KEYED, key_hole_radius_m=1e-6)) == pytest.approx(whole, rel=1e-4)
