"""Air in the tube: density, speed of sound, viscosity and heat at a temperature.

Reference: D. H. Keefe, "Acoustical wave propagation in cylindrical ducts: transmission line
parameter approximations for isothermal and nonisothermal boundary conditions", JASA 75 (1984),
constants about 26.85 C (from memory). Valid within about 10 degrees of it, dry air; breath is
warm, humid and carries carbon dioxide, for which the speed is scaled (own calculation).
"""

from dataclasses import dataclass

REFERENCE_C = 26.85
BREATH_SPEED = 0.9976
"""Speed of sound of humid breath with 2.5 % carbon dioxide over that of dry air (own calculation)."""


@dataclass(frozen=True, slots=True)
class Air:
    """Density kg/m3, speed m/s, viscosity Pa s, ratio of specific heats, square root of Prandtl's number."""

    density: float
    speed: float
    viscosity: float
    gamma: float
    root_prandtl: float


def air_at(temperature_c: float, speed_factor: float = 1.0) -> Air:
    """Air at a temperature in degrees Celsius, its speed of sound times `speed_factor`.

    >>> round(air_at(26.85).speed, 2)
    347.23
    """
    d = temperature_c - REFERENCE_C
    return Air(
        density=1.1769 * (1.0 - 0.00335 * d),
        speed=347.23 * (1.0 + 0.00166 * d) * speed_factor,
        viscosity=1.846e-5 * (1.0 + 0.0025 * d),
        gamma=1.4017 * (1.0 - 0.00002 * d),
        root_prandtl=0.8410 * (1.0 - 0.0002 * d),
    )


@dataclass(frozen=True, slots=True)
class Breath:
    """Temperature along a blown flute: at the embouchure, and its fall per metre toward the foot.

    Reference: P. A. Dickens, thesis, UNSW 2007: 30.3 C falling 7.7 C per metre.
    """

    at_embouchure_c: float = 30.3
    fall_c_per_m: float = 7.7
    speed_factor: float = BREATH_SPEED

    def at(self, x_m: float) -> Air:
        """Air at a distance in metres from the embouchure, positive toward the foot."""
        return air_at(self.at_embouchure_c - self.fall_c_per_m * x_m, self.speed_factor)
