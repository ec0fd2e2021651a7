"""The paper of a grip diagram: from places on the flute to places on the page, and how fine a line may be.

A layout counts along and across the tube in distances between plates. The upright form has the
head at the top and the thumb's side on the left; the lying form is the same turned a quarter to
the left. On the page a distance between plates is 100.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.catalog.flute.diagram_layout import TouchBox

UPRIGHT, LYING = "upright", "lying"
FORMS = (UPRIGHT, LYING)

PLATE = 100
"""A distance between plates, in the numbers of the drawing."""

LEAST_STROKE_MM = 0.16
"""A line that survives an ordinary print; thinner ones break up in a copy."""
THINNEST_STROKE = 0.07
LEAST_GAP_MM = 0.24
THINNEST_GAP = 0.14
CLEAR_MM = 0.2
"""The least white inside an outline."""
LABELS_FROM_MM = 40.0
SMALL = 0.62
"""How a touch of special grips is drawn when lifted, against its full size."""
EDGE = 0.06


@dataclass(frozen=True, slots=True)
class Paper:
    """The paper for one size: which part of the layout it shows, and the sizes that follow."""

    form: str
    size_mm: float
    head: float
    foot: float
    half_width: float

    @property
    def unit_mm(self) -> float:
        """A distance between plates on the page; the long side of the drawing is `size_mm`."""
        return self.size_mm / max(self.foot - self.head, 2 * self.half_width)

    @property
    def stroke(self) -> float:
        """Thickness of a line, in distances between plates."""
        return max(THINNEST_STROKE, LEAST_STROKE_MM / self.unit_mm)

    @property
    def gap(self) -> float:
        """Width of a cut through a touch, in distances between plates."""
        return max(THINNEST_GAP, LEAST_GAP_MM / self.unit_mm)

    @property
    def labelled(self) -> bool:
        """Whether there is room for the names of the touches."""
        return self.size_mm >= LABELS_FROM_MM

    @property
    def page(self) -> tuple[int, int]:
        """Width and height in the numbers of the drawing."""
        along, across = whole(self.foot - self.head), whole(2 * self.half_width)
        return (across, along) if self.form == UPRIGHT else (along, across)

    def point(self, along: float, across: float) -> tuple[float, float]:
        """Where a place of the layout stands on the page, not rounded yet."""
        if self.form == UPRIGHT:
            return across + self.half_width, along - self.head
        return along - self.head, self.half_width - across

    def corner(self, box: TouchBox) -> tuple[int, int, int, int]:
        """A box on the page: left, top, width, height."""
        x, y = self.point(box.along, box.across)
        width, height = (box.width, box.length) if self.form == UPRIGHT else (box.length, box.width)
        return whole(x - width / 2), whole(y - height / 2), whole(width), whole(height)

    def opens(self, box: TouchBox) -> bool:
        """Whether the outline of a box has a white inside that a print leaves open."""
        return (min(box.length, box.width) - 2 * self.stroke) * self.unit_mm >= CLEAR_MM


def frame(boxes: Iterable[TouchBox], form: str, size_mm: float) -> Paper:
    """The paper that holds these boxes, the tube in its middle."""
    boxes = tuple(boxes)
    head = min(box.along - box.length / 2 for box in boxes) - EDGE
    foot = max(box.along + box.length / 2 for box in boxes) + EDGE
    half_width = max(abs(box.across) + box.width / 2 for box in boxes) + EDGE
    return Paper(form, size_mm, head, foot, half_width)


def whole(value: float) -> int:
    """A number of the drawing."""
    return round(value * PLATE)
