"""The ladder: impedance of many hole patterns at once, from the foot to the player's lips.

Patterns that agree below a hole share the work below it: going from foot to head, each hole
doubles at most the number of different tubes there are.
"""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gripway.acoustics.air import Breath, blown
from gripway.acoustics.end_corrections import PlayerTerm, open_end
from gripway.acoustics.hole import LEFEBVRE, hole
from gripway.acoustics.tube import Complex, Real, TwoPort, chain, cylinder, seen_through
from gripway.model.bore import Bore, BorePiece

SLICE_M = 0.002
"""Cones are cut into cylinders no longer than this (metres)."""

CHIMNEY_SLICES = 8


@dataclass(frozen=True, slots=True)
class Tube:
    """A bore with its breath, its hole formula and its player: all that sets the impedance."""

    bore: Bore
    player: PlayerTerm
    breath: Breath = field(default_factory=blown)
    formula: str = LEFEBVRE


def stretch(freq_hz: Real, tube: Tube, start_m: float, end_m: float) -> TwoPort:
    """Two-port of the bore between two places (start nearer the head), holes left out."""
    port: TwoPort | None = None
    for piece in _cut(tube.bore, start_m, end_m):
        middle = (piece.start_m + piece.end_m) / 2.0
        part = cylinder(freq_hz, piece.end_m - piece.start_m, piece.radius_at(middle), tube.breath.at(middle))
        port = part if port is None else chain(port, part)
    if port is None:
        ones = np.ones_like(freq_hz, dtype=np.complex128)
        return ones, 0.0 * ones, 0.0 * ones, ones
    return port


def _cut(bore: Bore, start_m: float, end_m: float) -> list[BorePiece]:
    """The bore between two places in pieces that may count as cylinders."""
    found = []
    for piece in bore.pieces:
        low, high = max(piece.start_m, start_m), min(piece.end_m, end_m)
        if high <= low:
            continue
        tapers = piece.start_radius_m != piece.end_radius_m
        count = int(np.ceil((high - low) / SLICE_M)) if tapers else 1
        edges = np.linspace(low, high, count + 1)
        found += [BorePiece(a, b, piece.radius_at(a), piece.radius_at(b)) for a, b in pairwise(edges)]
    return found


def total_impedance(freq_hz: Real, tube: Tube, open_holes: NDArray[np.bool_]) -> Complex:
    """Impedance (Pa s/m3) at the lips, axes (pattern, freq): head, body and player.

    `open_holes` has axes (pattern, hole), holes as in the bore from head to foot.
    """
    inside = seen_through(head(freq_hz, tube), impedance_at_holes(freq_hz, tube, open_holes))
    inside += tube.player.impedance(freq_hz, tube.breath.at(0.0))
    return inside


def impedance_at_holes(freq_hz: Real, tube: Tube, open_holes: NDArray[np.bool_]) -> Complex:
    """Impedance (Pa s/m3) looking toward the foot from just above the first hole, axes (pattern, freq)."""
    bore = tube.bore
    load = open_end(freq_hz, bore.radius_at(bore.end_m), tube.breath.at(bore.end_m))[np.newaxis, :]
    suffix = np.zeros(len(open_holes), dtype=np.int64)
    for place in range(len(bore.holes) - 1, -1, -1):
        keys = 2 * suffix + open_holes[:, place]
        unique, suffix = np.unique(keys, return_inverse=True)
        load = _above_hole(freq_hz, tube, place, load, unique)
    return load[suffix]


def _above_hole(freq_hz: Real, tube: Tube, place: int, load: Complex, keys: NDArray[np.int64]) -> Complex:
    """Impedances above a hole for keys 2 x suffix + open, from those above the hole below it."""
    holes, breath = tube.bore.holes, tube.breath
    here = holes[place]
    below_m = holes[place + 1].x_m if place + 1 < len(holes) else tube.bore.end_m
    below, bore_m = stretch(freq_hz, tube, here.x_m, below_m), tube.bore.radius_at(here.x_m)
    result = np.empty((len(keys), len(freq_hz)), dtype=np.complex128)
    for is_open in (False, True):
        rows = (keys & 1) == is_open
        if rows.any():
            port = hole(
                freq_hz, here.shape, bore_m, breath.at(here.x_m), is_open=is_open, formula=tube.formula
            )
            result[rows] = seen_through(chain(port, below), load[keys[rows] >> 1])
    return result


def head(freq_hz: Real, tube: Tube) -> TwoPort:
    """Two-port from outside the embouchure hole to just above the first hole, cork cavity included."""
    ones = np.ones_like(freq_hz, dtype=np.complex128)
    cavity = (ones, 0.0 * ones, cork_admittance(freq_hz, tube), ones)
    down = stretch(freq_hz, tube, 0.0, tube.bore.holes[0].x_m)
    return chain(chain(chimney(freq_hz, tube), cavity), down)


def cork_admittance(freq_hz: Real, tube: Tube) -> Complex:
    """Admittance of the closed piece between embouchure and cork."""
    cork, air = tube.bore.cork, tube.breath.at(0.0)
    radius = (cork.start_radius_m + cork.end_radius_m) / 2.0
    a, _, c, _ = cylinder(freq_hz, cork.end_m - cork.start_m, radius, air)
    return np.asarray(c / a)


def chimney(freq_hz: Real, tube: Tube) -> TwoPort:
    """Two-port of the embouchure hole, outside first."""
    shape, air = tube.bore.embouchure, tube.breath.at(0.0)
    shares = (np.arange(CHIMNEY_SLICES) + 0.5) / CHIMNEY_SLICES
    radii = shape.outer_radius_m + shares * (shape.inner_radius_m - shape.outer_radius_m)
    length = shape.height_m / CHIMNEY_SLICES
    port = cylinder(freq_hz, length, float(radii[0]), air)
    for radius in radii[1:]:
        port = chain(port, cylinder(freq_hz, length, float(radius), air))
    return port


def surface_impedance(tube: Tube) -> float:
    """Characteristic impedance (Pa s/m3) of the bore at the embouchure, for relative losses."""
    air = tube.breath.at(0.0)
    return air.density * air.speed / (np.pi * tube.bore.radius_at(0.0) ** 2)
