"""Shapes as SVG: a cut touch keeps the outline of the whole one."""

import re
from dataclasses import replace

import numpy as np
import pytest
from tests.page.drawn import dots, flute_of

from gripway.catalog.flute.diagram_layout import TouchBox, TouchPlace, diagram_layout
from gripway.page.diagram.frame import FORMS, frame
from gripway.page.diagram.shapes import INK, cut_shape, touch_shape

PLACES = diagram_layout(flute_of("all parts")).places


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.touch)
def test_a_cut_touch_is_the_whole_one_but_for_the_cut(form: str, place: TouchPlace) -> None:
    """Its black lies inside the whole touch, in two equal halves, and only a strip is missing."""
    place = replace(place, box=TouchBox(0, 0, place.box.length, place.box.width))
    paper = frame([place.box], form, 40)
    width, height = paper.page

    def page(shape: str, line: str) -> str:
        size = f'width="{4 * width}" height="{4 * height}" viewBox="0 0 {width} {height}"'
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size}'
        return f'{head} fill="{INK}" {line}>{shape}</svg>'

    whole = dots(page(touch_shape(paper, place), f'stroke="{INK}" stroke-width="{paper.stroke * 100:.0f}"'))
    cut = dots(page(cut_shape(paper, place, filled=True), 'stroke="none"'))
    rounding = 0.03 * whole.sum()
    assert (cut & ~whole).sum() <= rounding
    strip = min(place.box.length, place.box.width) * paper.gap * (whole.size / (width * height)) * 100**2
    assert (whole & ~cut).sum() == pytest.approx(strip, abs=rounding)
    halves = np.array_split(cut, 2, axis=0 if height > width else 1)
    assert halves[0].sum() == pytest.approx(halves[1].sum(), rel=0.04)


def test_an_open_cut_is_two_lines() -> None:
    """Neither half is shut."""
    paper = frame([PLACES[0].box], "upright", 40)
    path = cut_shape(paper, PLACES[0], filled=False)
    assert re.findall("[Mz]", path) == ["M", "M"]
