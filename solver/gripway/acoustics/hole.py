"""A tone hole as a two-port: open under its key, or shut.

Two published forms of the network: `lefebvre` (A. Lefebvre and G. P. Scavone, JASA 131 (2012)
3153, read second-hand) and `dickens` (the same shunt with the series terms of P. A. Dickens,
thesis 2007, eq. 2.36 shut; open from memory). Their difference is part of the model's spread.

b is the hole's radius, d = b/a its ratio to the bore's, t its height, k the wave number.
"""

import numpy as np

from gripway.acoustics.air import Air
from gripway.acoustics.end_corrections import FLANGED, UNFLANGED
from gripway.acoustics.tube import Complex, Real, TwoPort
from gripway.model.bore import HoleShape

LEFEBVRE, DICKENS = "lefebvre", "dickens"
FORMULAS = (LEFEBVRE, DICKENS)


def hole(
    freq_hz: Real, shape: HoleShape, bore_m: float, air: Air, *, is_open: bool, formula: str = LEFEBVRE
) -> TwoPort:
    """Two-port of a hole on a bore of radius `bore_m`: series halves about a shunt."""
    k = 2.0 * np.pi * freq_hz / air.speed
    series = 1j * k * _bore_impedance(bore_m, air) * _series_length(shape, bore_m, is_open, formula)
    shunt = (_open_shunt if is_open else _shut_shunt)(k, shape, bore_m, air)
    admittance = 1.0 / shunt
    half = 1.0 + series * admittance / 2.0
    return half, series * (1.0 + series * admittance / 4.0), admittance, half


def _bore_impedance(radius_m: float, air: Air) -> float:
    return air.density * air.speed / (np.pi * radius_m**2)


def _series_length(shape: HoleShape, bore_m: float, is_open: bool, formula: str) -> float:
    """Length (m, negative) that the hole's cavity takes off the bore."""
    b, t = shape.radius_m, shape.height_m
    d = b / bore_m
    if formula == LEFEBVRE:
        if is_open:
            return float((-0.35 + 0.06 * np.tanh(2.7 * t / b)) * b * d**2)
        return float((-0.12 - 0.17 * np.tanh(2.4 * t / b)) * b * d**2)
    slope = np.tanh(1.84 * t / b) if is_open else 1.0 / np.tanh(1.84 * t / b)
    return float(-b * d**2 / (1.78 * slope + 0.940 + 0.540 * d + 0.285 * d**2))


def _inner_length(b: float, d: float) -> float:
    """Inner end correction (m) at low frequency."""
    return b * (0.822 - 0.095 * d - 1.566 * d**2 + 2.138 * d**3 - 1.640 * d**4 + 0.502 * d**5)


def _matching_length(b: float, d: float) -> float:
    """Length (m) of the volume between the hole's end and the curved bore."""
    return b * d / 8.0 * (1.0 + 0.207 * d**3)


def _open_shunt(k: Real, shape: HoleShape, bore_m: float, air: Air) -> Complex:
    b, t = shape.radius_m, shape.height_m
    d, ka = b / bore_m, k * bore_m
    inner = _inner_length(b, d) * (
        1.0 + (1.0 - 4.56 * d + 6.55 * d**2) * ka * (0.17 + 0.92 * ka + 0.16 * ka**2 - 0.29 * ka**3)
    )
    length = t + _matching_length(b, d) + 0.1 * b
    outer = radiation_length(shape)
    reactance = k * inner + np.tan(k * (length + outer))
    return np.asarray(_bore_impedance(b, air) * (1j * reactance + (k * b) ** 2 / 4.0))


def _shut_shunt(k: Real, shape: HoleShape, bore_m: float, air: Air) -> Complex:
    b, t = shape.radius_m, shape.height_m
    d = b / bore_m
    length = t + _matching_length(b, d) - 0.05 * b
    tangent = np.tan(k * length)
    return np.asarray(_bore_impedance(b, air) * (1.0 - k * _inner_length(b, d) * tangent) / (1j * tangent))


def radiation_length(shape: HoleShape) -> float:
    """Outer end correction (m) of an open hole: rim, then the key above it.

    Reference: J.-P. Dalmont, C. J. Nederveen, N. Joly, J. Sound Vib. 244 (2001) 505 (from
    memory). A perforated key lets its finger hole work beside the gap: the two inertances
    stand in parallel.
    """
    b, outside = shape.radius_m, shape.radius_m + shape.rim_m
    ratio = b / outside
    rim = FLANGED * b + ratio * (UNFLANGED - FLANGED) * b + 0.057 * ratio * (1.0 - ratio**5) * b
    if not shape.key_radius_m:
        return rim
    gap, wall = shape.key_gap_m / b, shape.rim_m / b
    narrow = 3.5 * gap**0.8 * (gap + 3.0 * wall) ** -0.4
    under_key = b / (narrow + 30.0 * (shape.key_gap_m / shape.key_radius_m) ** 2.6)
    if shape.key_hole_radius_m:
        under_key = 1.0 / (1.0 / under_key + 1.0 / _finger_hole_length(shape))
    return float(rim + under_key)


def _finger_hole_length(shape: HoleShape) -> float:
    """Length (m) of a finger hole in the key, as if it had the tone hole's radius."""
    q = shape.key_hole_radius_m
    return (shape.key_thickness_m + 2.0 * 0.82 * q) * (shape.radius_m / q) ** 2
