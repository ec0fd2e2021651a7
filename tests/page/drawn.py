"""Diagrams as the tests look at them: the grips there are, the elements drawn, the dots printed."""

import io
from collections.abc import Iterable
from functools import cache

import numpy as np
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.catalog.flute.trills import trill_rows
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.png import png_of
from gripway.tasks.flute_knowledge import survey_of

FLUTES = {
    **{name: (name, ()) for name in instrument_names()},
    "all parts": ("concert-flute", ("high-c", "split-e", "c-sharp-trill", "open-holes")),
    "open G-sharp": ("concert-flute", ("b-foot", "open-g-sharp")),
}
"""Every instrument, and the concert flute with every part some flute has."""

SVG = "{http://www.w3.org/2000/svg}"


@cache
def flute_of(name: str) -> Instrument:
    """One of FLUTES."""
    return load_instrument(*FLUTES[name])


@cache
def grips_of(name: str) -> tuple[Grip, ...]:
    """Every grip of a flute that hands can hold: of its tables, its trills, and all with free fingers."""
    flute = flute_of(name)
    found = {row.grip for rows in grip_rows(flute).values() for row in rows}
    found |= {grip for rows in trill_rows(flute).values() for row in rows for grip in row.grips}
    survey = survey_of(flute)
    if survey is not None:
        found |= {free for grips in survey.free.values() for free in grips}
    return tuple(sorted((grip for grip in found if can_hold(flute, grip)), key=lambda grip: grip.mask))


def can_hold(flute: Instrument, grip: Grip) -> bool:
    """Whether hands can hold a grip on this flute."""
    try:
        return bool(flute.mechanism.holds(grip))
    except ImpossibleHoldError:
        return False


def states(svg: str) -> dict[str, set[str]]:
    """The touches drawn in each group of a diagram."""
    root = etree.fromstring(svg)
    return {
        group.get("data-state"): {shape.get("data-touch") for shape in group}
        for group in root.iter(f"{SVG}g")
        if group.get("data-state")
    }


def dots(svg: str, dpi: int = 300) -> NDArray[np.bool_]:
    """Which dots are black when a diagram is printed and copied: darker than half."""
    with Image.open(io.BytesIO(png_of(svg, dpi))) as picture:
        return np.asarray(picture.convert("L")) < 128


def least_difference(pictures: Iterable[NDArray[np.bool_]]) -> int:
    """How many dots the two most similar of the pictures differ by."""
    rows = np.array([picture.ravel() for picture in pictures], dtype=np.float32)
    black = rows.sum(axis=1)
    apart = black[:, None] + black[None, :] - 2 * rows @ rows.T
    np.fill_diagonal(apart, np.inf)
    return int(apart.min())
