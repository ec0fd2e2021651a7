"""The PNG of a diagram: resvg's picture at the right size, and a clear word where it is missing."""

import io
import sys

import pytest
from PIL import Image
from tests.page.drawn import flute_of

from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.page.diagram.diagram import diagram
from gripway.page.diagram.png import png_of

SVG = diagram(flute_of("concert-flute"), Grip.parse("T 2 3 | Eb"), size_mm=25.4)


def test_a_picture_has_300_dots_an_inch_and_a_white_ground() -> None:
    """25.4 mm are an inch: 300 dots high; the corner is white, the picture only grey."""
    with Image.open(io.BytesIO(png_of(SVG))) as picture:
        assert picture.height == 300
        pixels = picture.convert("RGBA")
        assert pixels.getpixel((0, 0)) == (255, 255, 255, 255)
        red, green, blue, alpha = pixels.split()
        assert red.tobytes() == green.tobytes() == blue.tobytes()
        assert alpha.getextrema() == (255, 255)


def test_without_resvg_the_error_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """The extra and the way around it are named."""
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(RequestError, match=r"not installed.*gripway\[png\]"):
        png_of(SVG)
