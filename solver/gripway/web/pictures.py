"""Diagrams of grips for the page, and their words."""

from functools import lru_cache

from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.diagram import alt_text, diagram


@lru_cache(maxsize=4096)
def picture(
    instrument: Instrument, grip: Grip, form: str = "upright", movers: tuple[str, ...] = ()
) -> dict[str, str]:
    """A grip as `{svg, alt}`."""
    return {
        "svg": diagram(instrument, grip, size_mm=12.0),
        "alt": alt_text(instrument, grip),
    }
