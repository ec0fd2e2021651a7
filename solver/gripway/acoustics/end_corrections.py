"""The two ends of the tube: the open foot, and the head with cork, embouchure hole and player."""

from dataclasses import dataclass

import numpy as np

from gripway.acoustics.air import Air
from gripway.acoustics.tube import Complex, Real

FLANGED, UNFLANGED = 0.8216, 0.6133
"""End corrections over the radius: Nomura; Levine and Schwinger (1948)."""


def open_end(freq_hz: Real, radius_m: float, air: Air) -> Complex:
    """Radiation impedance of an unflanged open end.

    Reference: H. Levine and J. Schwinger, Phys. Rev. 73 (1948): length 0.6133 a, resistance
    (ka)^2/4, for ka well below 1.
    """
    ka = 2.0 * np.pi * freq_hz / air.speed * radius_m
    own = air.density * air.speed / (np.pi * radius_m**2)
    return np.asarray(own * (ka**2 / 4.0 + 1j * np.tan(UNFLANGED * ka)))


@dataclass(frozen=True, slots=True)
class PlayerTerm:
    """What lips and face add at the embouchure hole: an inertance that grows with the octave.

    `inertance_per_m` is E at 440 Hz in 1/m, `growth_per_m` its rise an octave. The two figures
    are fitted on the standard grips C4 to C#6 only, never one for each note.
    """

    inertance_per_m: float
    growth_per_m: float

    def impedance(self, freq_hz: Real, air: Air) -> Complex:
        """Impedance (Pa s/m3): j w rho E(f), and radiation into half a space."""
        omega = 2.0 * np.pi * freq_hz
        inertance = self.inertance_per_m + self.growth_per_m * np.log2(freq_hz / 440.0)
        wave = omega / air.speed
        resistance = air.density * air.speed * wave**2 / (2.0 * np.pi)
        return np.asarray(1j * omega * air.density * inertance + resistance)
