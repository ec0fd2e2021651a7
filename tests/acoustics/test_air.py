"""Air at a temperature, against the handbooks."""

import pytest

from gripway.acoustics.air import REFERENCE_C, air_at, blown


def test_air_at_fifteen_degrees_is_the_standard_atmosphere() -> None:
    """Density, speed of sound and viscosity agree with the standard atmosphere at sea level."""
    # ISO 2533:1975, table at 0 m: 15 C, 1.225 kg/m3, 340.294 m/s, 1.7894e-5 Pa s
    air = air_at(15.0)
    assert air.density == pytest.approx(1.225, rel=2e-3)
    assert air.speed == pytest.approx(340.294, rel=1e-3)
    assert air.viscosity == pytest.approx(1.7894e-5, rel=2e-3)


def test_speed_at_twenty_degrees_is_the_reference_of_outdoor_acoustics() -> None:
    """Dry air at 20 C carries sound at 343.2 m/s."""
    # ISO 9613-1:1993, reference speed at 293.15 K
    assert air_at(20.0).speed == pytest.approx(343.2, abs=0.3)


@pytest.mark.parametrize("temperature_c", [15.0, 20.0, REFERENCE_C, 33.0])
def test_speed_follows_from_density_and_pressure(temperature_c: float) -> None:
    """The speed squared is gamma p / rho at one atmosphere (Laplace): the constants belong together."""
    air = air_at(temperature_c)
    assert air.speed**2 == pytest.approx(air.gamma * 101_325.0 / air.density, rel=3e-3)


def test_a_warmer_flute_is_sharper_by_three_cents_a_degree() -> None:
    """Speed rises 0.17 % a degree, 2.9 cents."""
    # c ~ sqrt(T): 1200 log2(sqrt(301/300)) = 2.88 cents
    assert air_at(REFERENCE_C + 1.0).speed / air_at(REFERENCE_C).speed == pytest.approx(
        (301.0 / 300.0) ** 0.5, abs=2e-5
    )


def test_breath_cools_toward_the_foot() -> None:
    """Half a metre down the tube the breath is 3.85 degrees cooler, so slower and denser."""
    breath = blown()
    assert breath.at(0.5) == air_at(30.3 - 3.85, breath.speed_factor)
    assert breath.at(0.5).speed < breath.at(0.0).speed
    assert breath.at(0.5).density > breath.at(0.0).density
