"""Diagrams of grips for the page, and their words."""

from functools import lru_cache

from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.diagram import alt_text, diagram

PAGE_DIAGRAM_MM = 20.5
"""Height at medium size: the plates are 8 CSS pixels wide then."""


@lru_cache(maxsize=4096)
def picture(instrument: Instrument, grip: Grip) -> dict[str, str]:
    """A grip as `{svg, alt}`."""
    return {
        "svg": diagram(instrument, grip, size_mm=PAGE_DIAGRAM_MM, bare=True),
        "alt": alt_text(instrument, grip),
    }
