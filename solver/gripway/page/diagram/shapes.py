"""The signs of a grip diagram as SVG: touches, the bar between the hands, changes, trills, labels.

Pressed is filled, lifted is open, as methods have printed it for a century. Whatever else is
said is said by shape alone, never by colour: all ink is `currentColor`.
"""

from dataclasses import dataclass
from math import sqrt

from gripway.catalog.flute.diagram_layout import TouchBox, TouchPlace
from gripway.page.diagram.frame import Paper, whole
from gripway.page.diagram.touch_signs import LABEL_SIZE, name_of

INK = "currentColor"


def touch_shape(frame: Paper, place: TouchPlace, box: TouchBox | None = None) -> str:
    """The outline of a touch, its line inside its box; what it is filled with is the group's affair."""
    whole_box = box or place.box
    inner = whole_box.thinner(frame.stroke)
    return _shape(frame, inner, place.shape, f' data-touch="{place.touch}"')


def cut_shape(frame: Paper, place: TouchPlace, *, filled: bool) -> str:
    """The touch cut in two, filled or as a line: where it is does not matter to the note."""
    box = place.box if filled else place.box.thinner(frame.stroke)
    x, y, width, height = frame.corner(box)
    gap = whole(frame.gap)
    radius = min(width, height) / 2 if place.shape == "round" else 0.0
    halves = _halves(max(width, height), min(width, height), radius, gap)
    lying = width >= height
    path = "".join(_half(half, x, y, lying=lying, close=filled) for half in halves)
    return f'<path data-touch="{place.touch}" d="{path}"/>'


def bar_line(frame: Paper, bar: TouchBox) -> str:
    """The line between the hands."""
    ends = (frame.point(bar.along, bar.across + side * bar.width / 2) for side in (-1, 1))
    (x1, y1), (x2, y2) = ((whole(x), whole(y)) for x, y in ends)
    return f'<path d="M{x1} {y1}L{x2} {y2}"/>'


def triangle(frame: Paper, box: TouchBox, *, down: bool) -> str:
    """A triangle, its point down where the finger goes down, up where it goes up."""
    x, y, width, height = frame.corner(box)
    base, point = (y, y + height) if down else (y + height, y)
    return f"M{x} {base}h{width}L{whole_half(2 * x + width)} {point}z"


def wave(frame: Paper, box: TouchBox) -> str:
    """A wave along the longer side of its box."""
    x, y, width, height = frame.corner(box)
    if height > width:
        points = [(x + (width if step % 2 else 0), y + height * step // 4) for step in range(5)]
    else:
        points = [(x + width * step // 4, y + (height if step % 2 else 0)) for step in range(5)]
    return "M" + "L".join(f"{px} {py}" for px, py in points)


def name_text(frame: Paper, touch: str, box: TouchBox) -> str:
    """The name of a touch in the middle of a box."""
    x, y = (whole(value) for value in frame.point(box.along, box.across))
    return f'<text x="{x}" y="{y + whole(LABEL_SIZE * 0.36)}">{name_of(touch)}</text>'


def whole_half(twice: int) -> str:
    """Half a whole number, without a needless point."""
    return str(twice // 2) if twice % 2 == 0 else f"{twice / 2}"


@dataclass(frozen=True, slots=True)
class _Half:
    """Half of a cut shape: where it is cut, where its straight side ends, its end, the two edges."""

    cut: float
    bend: float
    end: float
    near: float
    far: float
    radius: float


def _halves(long: float, short: float, radius: float, gap: float) -> tuple[_Half, _Half]:
    """Both halves of a shape cut across its long side, measured from its corner."""
    cut = (long - gap) / 2
    inside = max(0.0, radius - cut)  # how much of the round end the cut takes away
    edge = radius - sqrt(radius**2 - inside**2)
    bend = min(radius, cut)
    first = _Half(cut, bend, 0.0, edge, short - edge, radius)
    return first, _Half(long - cut, long - bend, long, edge, short - edge, radius)


def _half(half: _Half, x: int, y: int, *, lying: bool, close: bool) -> str:
    """The path of one half, from the cut around its end and back to the cut."""

    def at(along: float, across: float) -> str:
        px, py = (x + along, y + across) if lying else (x + across, y + along)
        return f"{round(px, 2):g} {round(py, 2):g}"

    corners = (half.cut, half.near), (half.bend, half.near), (half.bend, half.far), (half.cut, half.far)
    start, bend, back, last = (at(*corner) for corner in corners)
    end = "z" if close else ""
    if not half.radius:
        return f"M{start}L{at(half.end, half.near)}L{at(half.end, half.far)}L{last}{end}"
    sweep = int((half.end < half.cut) != lying)
    arc = f"A{half.radius:g} {half.radius:g} 0 0 {sweep} {back}"
    straight = half.bend != half.cut
    return f"M{start}" + (f"L{bend}" if straight else "") + arc + (f"L{last}" if straight else "") + end


def _shape(frame: Paper, box: TouchBox, shape: str, attributes: str) -> str:
    x, y, width, height = frame.corner(box)
    if shape == "round" and width == height:
        middle = f'cx="{whole_half(2 * x + width)}" cy="{whole_half(2 * y + height)}"'
        return f'<circle{attributes} {middle} r="{whole_half(width)}"/>'
    corners = f' rx="{min(width, height) // 2}"' if shape == "round" else ""
    return f'<rect{attributes} x="{x}" y="{y}" width="{width}" height="{height}"{corners}/>'
