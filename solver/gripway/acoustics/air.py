"""Air in the tube: density, speed of sound, viscosity and heat at a temperature.

Reference: D. H. Keefe, "Acoustical wave propagation in cylindrical ducts: transmission line
parameter approximations for isothermal and nonisothermal boundary conditions", JASA 75 (1984),
constants about 26.85 C (from memory). Valid within about 10 degrees of it, dry air; breath is
warm, humid and carries carbon dioxide: its figures stand in tables/acoustics/breath.csv.
"""

from dataclasses import dataclass

from gripway.catalog.flute.breath import breath_figures

REFERENCE_C = 26.85


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
    """Temperature at the embouchure, its fall toward the foot, speed of sound over that of dry air."""

    at_embouchure_c: float
    fall_c_per_m: float
    speed_factor: float

    def at(self, x_m: float) -> Air:
        """Air at a distance in metres from the embouchure, positive toward the foot."""
        return air_at(self.at_embouchure_c - self.fall_c_per_m * x_m, self.speed_factor)


def blown() -> Breath:
    """The breath of tables/acoustics/breath.csv."""
    return Breath(*breath_figures())
