"""Places on the flute become places on the page, in both forms, with lines that survive a print."""

import pytest

from gripway.catalog.flute.diagram_layout import TouchBox
from gripway.page.diagram.frame import EDGE, LYING, UPRIGHT, frame

BOXES = [TouchBox(0, 0, 1, 1), TouchBox(6, -1.5, 1, 1)]


def test_upright_has_the_head_on_top_and_the_thumb_at_the_left() -> None:
    """The first plate above, what is near the thumb to the left, the tube in the middle."""
    paper = frame(BOXES, UPRIGHT, 8)
    assert paper.point(0, 0) == pytest.approx((2 + EDGE, 0.5 + EDGE))
    assert paper.corner(BOXES[1]) == (6, 606, 100, 100)
    assert paper.page == (412, 712)


def test_lying_is_upright_turned_a_quarter_to_the_left() -> None:
    """The first plate at the left, the thumb below; sizes change places."""
    paper = frame(BOXES, LYING, 8)
    assert paper.point(0, 0) == pytest.approx((0.5 + EDGE, 2 + EDGE))
    assert paper.corner(BOXES[1]) == (606, 306, 100, 100)
    assert paper.page == (712, 412)


@pytest.mark.parametrize("size_mm", [6, 8, 30, 80, 400])
def test_lines_and_cuts_have_their_least_width(size_mm: float) -> None:
    """A line of 0.15 mm and a cut of 0.2 mm are left by an ordinary print (judgement)."""
    paper = frame(BOXES, UPRIGHT, size_mm)
    assert paper.unit_mm == pytest.approx(size_mm / 7.12)
    assert paper.stroke * paper.unit_mm >= 0.15
    assert paper.gap * paper.unit_mm >= 0.2
