"""The open foot and the player's end."""

import numpy as np
import pytest
from tests.acoustics.flute import IDEAL_AIR
from tests.acoustics.test_tube import rising_zeros_hz

from gripway.acoustics.air import air_at
from gripway.acoustics.end_corrections import PlayerTerm, open_end
from gripway.acoustics.tube import cylinder, seen_through

FREQ_HZ = np.arange(100.0, 2500.0, 0.5)
AIR = air_at(27.0)


def test_an_open_tube_is_longer_by_0_6133_radii() -> None:
    """The first resonance of a tube, ideal at one end and free at the other, is c / 2 (L + 0.6133 a)."""
    # Levine and Schwinger (1948), low-frequency limit
    impedance = seen_through(cylinder(FREQ_HZ, 0.6, 0.0095, IDEAL_AIR), open_end(FREQ_HZ, 0.0095, IDEAL_AIR))
    first_hz = rising_zeros_hz(FREQ_HZ, impedance)[0]
    assert first_hz == pytest.approx(343.0 / (2.0 * (0.6 + 0.6133 * 0.0095)), rel=1e-4)


def test_an_open_end_radiates_like_a_small_source_in_the_open() -> None:
    """The resistance is that of a point source into all directions: rho c k^2 / 4 pi."""
    # Pierce, Acoustics: monopole in free space; Levine and Schwinger's (ka)^2/4 of rho c / pi a^2 is the same
    k = 2.0 * np.pi * FREQ_HZ / AIR.speed
    free = AIR.density * AIR.speed * k**2 / (4.0 * np.pi)
    assert open_end(FREQ_HZ, 0.0095, AIR).real == pytest.approx(free, rel=1e-9)


def test_the_player_adds_the_inertance_of_the_table_at_a4() -> None:
    """At 440 Hz the reactance is w rho E; an octave higher E has grown by its second figure."""
    impedance = PlayerTerm(121.3, 41.3).impedance(np.array([440.0, 880.0]), AIR)
    inertance = impedance.imag / (2.0 * np.pi * np.array([440.0, 880.0]) * AIR.density)
    assert inertance == pytest.approx([121.3, 121.3 + 41.3])


def test_the_player_s_side_radiates_into_half_a_space() -> None:
    """Lips and face halve the space, so the resistance is twice that of a free end."""
    k = 2.0 * np.pi * FREQ_HZ / AIR.speed
    half_space = AIR.density * AIR.speed * k**2 / (2.0 * np.pi)  # Pierce, Acoustics: source on a wall
    assert PlayerTerm(0.0, 0.0).impedance(FREQ_HZ, AIR) == pytest.approx(half_space)
