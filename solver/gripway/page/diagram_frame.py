"""The paper of a grip diagram: from places on the flute to places on the page, and how fine a line may be.

A layout counts along and across the tube in distances between plates. The upright form has the
head at the top and the thumb's side on the left; the lying form is the same turned a quarter to
the left. On the page a distance between plates is 100.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.catalog.diagram_layout import Box, Place
from gripway.model.grip import Grip

UPRIGHT, LYING = "upright", "lying"
FORMS = (UPRIGHT, LYING)

PLATE = 100
"""A distance between plates, in the numbers of the drawing."""

LEAST_STROKE_MM = 0.16
"""A line that survives an ordinary print; thinner ones break up in a copy."""
THINNEST_STROKE = 0.07
LEAST_GAP_MM = 0.24
THINNEST_GAP = 0.14
SIGN_MM = 0.45
"""The least size of a sign beside a touch, and its bounds in distances between plates."""
LARGEST_SIGN, SMALLEST_SIGN = 0.46, 0.3
SIGN_GAP = 0.05
CLEAR_MM = 0.3
"""The least white inside a small outline."""
LABELS_FROM_MM = 40.0
LABEL_SIZE = 0.36
LETTER_WIDTH = 0.65
"""Height of a label in distances between plates; width of a letter against it."""
SMALL = 0.62
"""How a touch of special grips is drawn when lifted, against its full size."""
EDGE = 0.06


@dataclass(frozen=True, slots=True)
class Frame:
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

    def corner(self, box: Box) -> tuple[int, int, int, int]:
        """A box on the page: left, top, width, height."""
        x, y = self.point(box.along, box.across)
        width, height = (box.width, box.length) if self.form == UPRIGHT else (box.length, box.width)
        return whole(x - width / 2), whole(y - height / 2), whole(width), whole(height)

    def shows_small(self, place: Place) -> bool:
        """Whether the small outline of a lifted touch is large enough to have an inside."""
        inside = min(place.box.length, place.box.width) * SMALL - 2 * self.stroke
        return inside * self.unit_mm >= CLEAR_MM


def frame(places: Iterable[Place], form: str, size_mm: float) -> Frame:
    """The paper that holds these places with all their signs, the tube in its middle."""
    labelled = size_mm >= LABELS_FROM_MM
    boxes = [box for place in places for box in _reach(place, labelled, form)]
    head = min(box.along - box.length / 2 for box in boxes) - EDGE
    foot = max(box.along + box.length / 2 for box in boxes) + EDGE
    half_width = max(abs(box.across) + box.width / 2 for box in boxes) + EDGE
    return Frame(form, size_mm, head, foot, half_width)


def sign_size(unit_mm: float) -> float:
    """Size of a sign beside a touch, in distances between plates."""
    return min(LARGEST_SIGN, max(SMALLEST_SIGN, SIGN_MM / unit_mm))


def beside(box: Box, side: str, size: float, *, depth: float = 1.0) -> Box:
    """The box of a sign on one side of a touch: `size` long, `depth` times that wide away from it."""
    deep = size * depth
    away = SIGN_GAP + deep / 2
    if side in ("near", "far"):
        sign = 1 if side == "far" else -1
        return Box(box.along, box.across + sign * (box.width / 2 + away), size, deep)
    sign = 1 if side == "foot" else -1
    return Box(box.along + sign * (box.length / 2 + away), box.across, deep, size)


def whole(value: float) -> int:
    """A number of the drawing."""
    return round(value * PLATE)


def label_of(touch: str) -> str:
    """The name of a touch as a grip is written, without the hand.

    >>> label_of("L1"), label_of("Eb")
    ('1', 'Eb')
    """
    return Grip.of([touch]).short.strip("| ")


def _reach(place: Place, labelled: bool, form: str) -> list[Box]:
    """All that a touch may take up: itself, its sign of change, its label."""
    boxes = [place.box, beside(place.box, place.change_side, SMALLEST_SIGN if labelled else LARGEST_SIGN)]
    if labelled:
        wide = LABEL_SIZE * LETTER_WIDTH * len(label_of(place.touch))
        length, width = (LABEL_SIZE, wide) if form == UPRIGHT else (wide, LABEL_SIZE)
        boxes.append(Box(*place.label, length, width))
    return boxes
