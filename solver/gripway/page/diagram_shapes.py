"""The signs of a grip diagram as SVG: touches, the bar between the hands, changes, trills, labels.

Pressed is filled, lifted is open, as methods have printed it for a century. Whatever else is
said is said by shape alone, never by colour: all ink is `currentColor`.
"""

from gripway.catalog.diagram_layout import Box, Place
from gripway.page.diagram_frame import LABEL_SIZE, UPRIGHT, Frame, beside, label_of, sign_size, whole

INK = "currentColor"
DOT = 0.4
"""The dot of a held touch against its outline."""
WAVE_DEPTH = 0.5
WAVE_LENGTH = 1.9
"""A trill's wave against the size of a sign: how deep, how long."""


def touch_shape(frame: Frame, place: Place, box: Box | None = None) -> str:
    """The outline of a touch, its line inside its box; what it is filled with is the group's affair."""
    whole_box = box or place.box
    inner = whole_box.thinner(frame.stroke)
    return _shape(frame, inner, place.shape, f' data-touch="{place.touch}"')


def dot(frame: Frame, place: Place) -> str:
    """The dot inside a touch that rests on its place without need."""
    smaller = min(place.box.length, place.box.width) * (1 - DOT)
    return _shape(frame, place.box.thinner(smaller), place.shape, "")


def bar_line(frame: Frame, bar: Box) -> str:
    """The line between the hands."""
    ends = (frame.point(bar.along, bar.across + side * bar.width / 2) for side in (-1, 1))
    (x1, y1), (x2, y2) = ((whole(x), whole(y)) for x, y in ends)
    return f'<path d="M{x1} {y1}L{x2} {y2}"/>'


def change_sign(frame: Frame, place: Place, *, down: bool) -> str:
    """A triangle beside the touch, its point down where the finger goes down, up where it goes up."""
    x, y, width, height = frame.corner(
        beside(place.box, place.change_side, sign_size(frame.unit_mm))
    )
    base, point = (y, y + height) if down else (y + height, y)
    return f"M{x} {base}h{width}L{whole_half(2 * x + width)} {point}z"


def trill_sign(frame: Frame, place: Place) -> str:
    """A wave beside the touch that moves in a trill."""
    size = sign_size(frame.unit_mm)
    box = beside(place.box, place.trill_side, size, depth=WAVE_DEPTH)
    along_tube = place.trill_side in ("near", "far")
    long = size * WAVE_LENGTH
    stretched = Box(
        box.along, box.across, long if along_tube else box.length, box.width if along_tube else long
    )
    x, y, width, height = frame.corner(stretched)
    if along_tube == (frame.form == UPRIGHT):
        points = [(x + (width if step % 2 else 0), y + height * step // 4) for step in range(5)]
    else:
        points = [(x + width * step // 4, y + (height if step % 2 else 0)) for step in range(5)]
    return "M" + "L".join(f"{px} {py}" for px, py in points)


def label_text(frame: Frame, place: Place) -> str:
    """The name of the touch as a grip is written, without the hand."""
    x, y = (whole(value) for value in frame.point(*place.label))
    return f'<text x="{x}" y="{y + whole(LABEL_SIZE * 0.36)}">{label_of(place.touch)}</text>'


def whole_half(twice: int) -> str:
    """Half a whole number, without a needless point."""
    return str(twice // 2) if twice % 2 == 0 else f"{twice / 2}"


def _shape(frame: Frame, box: Box, shape: str, attributes: str) -> str:
    x, y, width, height = frame.corner(box)
    if shape == "round" and width == height:
        middle = f'cx="{whole_half(2 * x + width)}" cy="{whole_half(2 * y + height)}"'
        return f'<circle{attributes} {middle} r="{whole_half(width)}"/>'
    corners = f' rx="{min(width, height) // 2}"' if shape == "round" else ""
    return f'<rect{attributes} x="{x}" y="{y}" width="{width}" height="{height}"{corners}/>'
