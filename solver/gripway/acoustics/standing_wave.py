"""The standing wave of one hole pattern at one frequency, from the open end up to the embouchure.

Pressure and flow are carried through the same two-ports as in the ladder, so that at the
embouchure their quotient is the impedance the ladder gives.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap

import numpy as np

from gripway.acoustics.end_corrections import open_end
from gripway.acoustics.hole import hole
from gripway.acoustics.ladder import SLICE_M, Tube, stretch
from gripway.acoustics.tube import Complex, Real, TwoPort, line
from gripway.model.bore import BoreHole

Scalars = tuple[complex, complex, complex, complex]
"""A two-port at one frequency."""

PLOT_ROWS = 8
GUTTER = 5
WIDEST = 100
"""Rows of the plot, columns of its scale, and its greatest width in characters."""

NODE_WINDOW_M = 0.010
"""A node has the lowest pressure within this distance on both sides (metres).

A hole's series term steps the pressure back by about a millimetre of its slope; two holes side
by side would otherwise look like a node.
"""

WEAKEST_LOOP = 0.1
"""Share of the largest pressure that is reached on both sides of a node; ripples among open holes do not."""


@dataclass(frozen=True, eq=False)
class StandingWave:
    """Pressure and flow along a tube; arrays have the axis (place,), head to foot.

    `x_m` runs from 0 at the embouchure to the foot end, about every 2 mm; a hole's place comes
    twice, above the hole and below it. `pressure` (Pa) is scaled so that its largest magnitude
    is 1; `flow` (m3/s, toward the foot) belongs to it. `is_open` says it of each of `holes`.
    `effective_end_m` is where a plain tube would have to be cut off to reflect like the hole
    that ends it: the first open one below which no pressure is higher than at it (a vent is none), else
    the foot end. `nodes_m` are the places of least pressure inside the tube.
    """

    freq_hz: float
    x_m: Real
    pressure: Complex
    flow: Complex
    holes: tuple[BoreHole, ...]
    is_open: tuple[bool, ...]
    effective_end_m: float
    nodes_m: tuple[float, ...]

    @property
    def open_holes(self) -> tuple[BoreHole, ...]:
        """The open holes, head to foot."""
        return tuple(here for here, is_open in zip(self.holes, self.is_open, strict=True) if is_open)


def standing_wave(tube: Tube, open_holes: Sequence[bool], freq_hz: float) -> StandingWave:
    """The standing wave of a hole pattern (holes as in the bore, head to foot) at a frequency in hertz."""
    freq, foot_m = np.array([freq_hz]), tube.bore.end_m
    load = open_end(freq, tube.bore.radius_at(foot_m), tube.breath.at(foot_m))
    places, states = [foot_m], [(complex(load[0]), 1.0 + 0.0j)]
    for x_m, (a, b, c, d) in _steps(freq, tube, open_holes):
        pressure, flow = states[-1]
        places.append(x_m)
        states.append((a * pressure + b * flow, c * pressure + d * flow))
    x, carried = np.array(places[::-1]), np.array(states[::-1], dtype=np.complex128).T
    magnitude = np.abs(carried[0])
    carried, magnitude = carried / magnitude.max(), magnitude / magnitude.max()
    stop_m = _end_stop(tube, open_holes, x, magnitude)
    above = np.searchsorted(x, stop_m)
    end_m = _effective_end(freq, tube, stop_m, complex(carried[0, above] / carried[1, above]))
    return StandingWave(
        freq_hz=freq_hz,
        x_m=x,
        pressure=carried[0],
        flow=carried[1],
        holes=tube.bore.holes,
        is_open=tuple(map(bool, open_holes)),
        effective_end_m=end_m,
        nodes_m=tuple(node_m for node_m in _nodes(x, magnitude) if node_m < end_m - NODE_WINDOW_M),
    )


def _steps(freq: Real, tube: Tube, open_holes: Sequence[bool]) -> Iterator[tuple[float, Scalars]]:
    """From the open end to the embouchure: each place reached, and the two-port that leads up to it."""
    bore = tube.bore
    at = {here.x_m: (here, bool(is_open)) for here, is_open in zip(bore.holes, open_holes, strict=True)}
    edges = {piece.start_m for piece in bore.pieces} | {0.0, bore.end_m}
    stops = sorted(set(at) | {edge for edge in edges if 0.0 <= edge <= bore.end_m}, reverse=True)
    for high, low in pairwise(stops):
        yield from _cells(freq, tube, low, high)
        if low in at:
            here, is_open = at[low]
            yield low, _scalars(_hole_port(freq, tube, here, is_open=is_open))


def _hole_port(freq: Real, tube: Tube, here: BoreHole, *, is_open: bool) -> TwoPort:
    bore_m, air = tube.bore.radius_at(here.x_m), tube.breath.at(here.x_m)
    return hole(freq, here.shape, bore_m, air, is_open=is_open, formula=tube.formula)


def _cells(freq: Real, tube: Tube, low_m: float, high_m: float) -> Iterator[tuple[float, Scalars]]:
    """Short cells between two stops, lower ones first; in a cylinder all are the one at its middle."""
    middle = (low_m + high_m) / 2.0
    piece = next(piece for piece in tube.bore.pieces if piece.start_m <= middle < piece.end_m)
    edges = np.linspace(high_m, low_m, int(np.ceil((high_m - low_m) / SLICE_M)) + 1)
    half = (edges[0] - edges[1]) / 2.0
    same = _scalars(stretch(freq, tube, middle - half, middle + half))
    tapers = piece.start_radius_m != piece.end_radius_m
    for below, above in pairwise(edges):
        yield float(above), _scalars(stretch(freq, tube, above, below)) if tapers else same


def _scalars(port: TwoPort) -> Scalars:
    a, b, c, d = port
    return complex(a[0]), complex(b[0]), complex(c[0]), complex(d[0])


def _end_stop(tube: Tube, open_holes: Sequence[bool], x: Real, magnitude: Real) -> float:
    """Place (m) of the hole that ends the tube, else of the foot end."""
    for here, is_open in zip(tube.bore.holes, open_holes, strict=True):
        beyond = magnitude[x > here.x_m + NODE_WINDOW_M]
        if is_open and beyond.max(initial=0.0) <= magnitude[np.searchsorted(x, here.x_m)]:
            return here.x_m
    return tube.bore.end_m


def _effective_end(freq: Real, tube: Tube, stop_m: float, impedance: complex) -> float:
    """Place (m) where a plain tube, its pressure nil there, has the reactance found at a stop."""
    constant, own = line(freq, tube.bore.radius_at(stop_m), tube.breath.at(stop_m))
    return float(stop_m + np.arctan(impedance.imag / own[0].real) / constant[0].imag)


def _nodes(x: Real, magnitude: Real) -> tuple[float, ...]:
    """Places of least pressure, by a parabola through the squares around each."""
    once = np.concatenate(([True], np.diff(x) > 0.0))
    x, magnitude = x[once], magnitude[once]
    dips = np.flatnonzero((magnitude[1:-1] <= magnitude[:-2]) & (magnitude[1:-1] <= magnitude[2:])) + 1
    lowest = [int(place) for place in dips if _is_lowest(x, magnitude, int(place))]
    edges = [0, *lowest, len(x) - 1]
    found = []
    for before, place, after in zip(edges, lowest, edges[2:], strict=False):
        if min(magnitude[before:place].max(), magnitude[place:after].max()) >= WEAKEST_LOOP:
            near = np.abs(x - x[place]) <= NODE_WINDOW_M
            curve, slope, _ = np.polyfit(x[near] - x[place], magnitude[near] ** 2, 2)
            found.append(float(x[place] - slope / (2.0 * curve)))
    return tuple(found)


def _is_lowest(x: Real, magnitude: Real, place: int) -> bool:
    """Whether no pressure within the window is lower, and the window lies in the tube."""
    low, high = x[place] - NODE_WINDOW_M, x[place] + NODE_WINDOW_M
    near = (x >= low) & (x <= high)
    return bool(x[0] < low and high < x[-1] and magnitude[place] == magnitude[near].min())


def wave_lines(wave: StandingWave, names: Mapping[str, str] | None = None, width: int = 100) -> list[str]:
    """A plot of the pressure along the tube in plain characters, lines no longer than `width` (40 or more).

    Under it the tube from embouchure to foot: `E` the embouchure, `O` an open hole, `.` a shut
    one, `^` a pressure node; then the places in millimetres. `names` words the holes by id.
    """
    columns = min(width, WIDEST) - GUTTER - 1
    end_m = float(wave.x_m[-1])
    heights = np.interp(np.linspace(0.0, end_m, columns), wave.x_m, np.abs(wave.pressure)) * PLOT_ROWS
    lines = []
    for row in range(PLOT_ROWS, 0, -1):
        marks = "".join("#" if height > row - 0.5 else " " for height in heights)
        label = "1" if row == PLOT_ROWS else "1/2" if 2 * row == PLOT_ROWS else ""
        lines.append(f"{label:>{GUTTER - 1}} |{marks}".rstrip())
    lines += [" " * GUTTER + _tube_row(wave, columns), " " * GUTTER + _node_row(wave, columns)]
    return [line.rstrip() for line in lines] + _legend(wave, names or {}, min(width, WIDEST))


def _column(x_m: float, wave: StandingWave, columns: int) -> int:
    return round(x_m / float(wave.x_m[-1]) * (columns - 1))


def _tube_row(wave: StandingWave, columns: int) -> str:
    row = ["="] * columns
    row[0] = "E"
    for here, is_open in sorted(zip(wave.holes, wave.is_open, strict=True), key=lambda pair: pair[1]):
        row[_column(here.x_m, wave, columns)] = "O" if is_open else "."
    return "".join(row)


def _node_row(wave: StandingWave, columns: int) -> str:
    row = [" "] * columns
    for node_m in wave.nodes_m:
        row[_column(node_m, wave, columns)] = "^"
    return "".join(row)


def _legend(wave: StandingWave, names: Mapping[str, str], width: int) -> list[str]:
    """What the marks mean, with places in millimetres from the embouchure."""
    nodes = ", ".join(f"{node_m * 1000.0:.0f}" for node_m in wave.nodes_m)
    opened = ", ".join(f"{names.get(here.id, here.id)} {here.x_m * 1000.0:.0f}" for here in wave.open_holes)
    texts = [
        f"pressure at {wave.freq_hz:.0f} Hz; places in mm from the embouchure E",
        f"^ pressure nodes: {nodes or 'none'}; effective end: {wave.effective_end_m * 1000.0:.0f}",
        f"O open holes: {opened or 'none'}",
    ]
    return [line for text in texts for line in wrap(text, width, subsequent_indent="  ")]
