"""A lossy piece of tube as a two-port between pressure and volume flow.

Matrices are tuples (A, B, C, D) of complex arrays over frequency: p1 = A p2 + B u2,
u1 = C p2 + D u2, with end 1 nearer the head.

Reference: Zwikker and Kosten, Sound Absorbing Materials (1949), in the transmission-line form
of Keefe (1984). The Bessel quotient is its asymptotic series, good to 1e-5 for boundary layers
thinner than a tenth of the radius (every piece of a flute in its range).
"""

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.air import Air

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]
TwoPort = tuple[Complex, Complex, Complex, Complex]


def line(freq_hz: Real, radius_m: float, air: Air) -> tuple[Complex, Complex]:
    """Propagation constant (1/m) and characteristic impedance (Pa s/m3) over frequency."""
    omega = 2.0 * np.pi * freq_hz
    area = np.pi * radius_m**2
    shear = np.sqrt(1j * omega * air.density / air.viscosity) * radius_m
    series = 1j * omega * air.density / area / (1.0 - _boundary(shear))
    shunt = 1j * omega * area / (air.density * air.speed**2)
    shunt = shunt * (1.0 + (air.gamma - 1.0) * _boundary(shear * air.root_prandtl))
    return np.sqrt(series * shunt), np.sqrt(series / shunt)


def _boundary(s: Complex) -> Complex:
    """2 I1(s) / (s I0(s)) by its asymptotic series for large |s|."""
    quotient = 1.0 - 1.0 / (2.0 * s) - 1.0 / (8.0 * s**2) - 1.0 / (8.0 * s**3) - 25.0 / (128.0 * s**4)
    return np.asarray(2.0 * quotient / s)


def cylinder(freq_hz: Real, length_m: float, radius_m: float, air: Air) -> TwoPort:
    """Two-port of a cylinder; reciprocal: A D - B C = 1."""
    constant, impedance = line(freq_hz, radius_m, air)
    sinh, cosh = np.sinh(constant * length_m), np.cosh(constant * length_m)
    return cosh, impedance * sinh, sinh / impedance, cosh


def chain(first: TwoPort, second: TwoPort) -> TwoPort:
    """The two-port of `first` (nearer the head) followed by `second`."""
    a, b, c, d = first
    e, f, g, h = second
    return a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h


def seen_through(port: TwoPort, load: Complex) -> Complex:
    """Impedance at end 1 of a two-port closed with `load` at end 2."""
    a, b, c, d = port
    above, below = a * load, c * load
    above += b
    below += d
    above /= below
    return above
