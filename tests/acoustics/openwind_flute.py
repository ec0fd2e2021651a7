"""The body of a flute in openwind: same bore, same holes without keys, dry air of the same temperature."""

import warnings

import numpy as np

from gripway.acoustics.ladder import Tube
from gripway.acoustics.tube import Complex, Real


def openwind_impedance(freq_hz: Real, tube: Tube, opened: np.ndarray) -> Complex:
    """Impedance (Pa s/m3) of the body at the embouchure, by the library's finite elements.

    `opened` tells for each hole of the bore, head to foot, whether it is open.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library's own warnings are not ours to fail on
        from openwind import ImpedanceComputation

        computed = ImpedanceComputation(
            freq_hz,
            _bore(tube),
            _holes(tube),
            _chart(opened),
            note="held",
            temperature=lambda x: tube.breath.at_embouchure_c - tube.breath.fall_c_per_m * x,
            humidity=0.0,
            carbon=0.0,
            losses="bessel",
            radiation_category="unflanged",
            discontinuity_mass=False,
            matching_volume=True,
        )
    return np.asarray(computed.impedance)


def _bore(tube: Tube) -> list[list[float | str]]:
    return [
        [piece.start_m, piece.end_m, piece.start_radius_m, piece.end_radius_m, "linear"]
        for piece in tube.bore.pieces
    ]


def _label(place: int) -> str:
    return f"hole{place:02d}"


def _holes(tube: Tube) -> list[list[float | str]]:
    rows: list[list[float | str]] = [["label", "position", "length", "radius"]]
    for place, hole in enumerate(tube.bore.holes):
        rows.append([_label(place), hole.x_m, hole.shape.height_m, hole.shape.radius_m])
    return rows


def _chart(opened: np.ndarray) -> list[list[str]]:
    states = [[_label(place), "o" if is_open else "x"] for place, is_open in enumerate(opened)]
    return [["label", "held"], *states]
