"""A grip diagram as a PNG picture, by resvg (an optional extra)."""

from gripway.errors import RequestError

DPI = 300
"""Dots an inch of an ordinary print."""


def png_of(svg: str, dpi: int = DPI) -> bytes:
    """The picture of a diagram, black on white; RequestError where resvg is not installed."""
    try:
        import resvg_py
    except ImportError:
        raise RequestError(
            "a PNG needs resvg, which is not installed",
            next_step='Install it with: pip install "gripway[png]", or take the SVG',
        ) from None
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=float(dpi), background="#ffffff"))
