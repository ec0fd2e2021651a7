"""A grip diagram as SVG text, drawn from the instrument's tables: upright or lying, small or large.

Filled is pressed, open is lifted. What is cut in two does not matter to the note: filled it is held
all the same, open it may go down. A wave marks what moves in a trill, a triangle what has gone
down or up since the grip before. Touches of special grips are small when lifted, and left
out where that could not be read: their signs stand alone then.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Unpack
from xml.sax.saxutils import escape

from gripway.catalog.flute.diagram_layout import DiagramLayout, TouchPlace, diagram_layout
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.frame import FORMS, SMALL, UPRIGHT, Paper, frame, whole
from gripway.page.diagram.shapes import (
    INK,
    bar_line,
    cut_shape,
    name_text,
    touch_shape,
    triangle,
    wave,
)
from gripway.page.diagram.touch_signs import LABEL_SIZE, room, signs
from gripway.page.diagram.words import DiagramSigns, ShownSigns, heading, words

SMALLEST_MM, LARGEST_MM = 6.0, 400.0
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def diagram(
    instrument: Instrument,
    grip: Grip,
    *,
    form: str = UPRIGHT,
    size_mm: float = 8.0,
    title: str = "",
    bare: bool = False,
    **signs: Unpack[DiagramSigns],
) -> str:
    """The diagram of a grip as one self-contained `<svg>`, its long side `size_mm` millimetres.

    All flutes of a mechanism get the same paper, so that diagrams of one size share one scale.

    `title` (the pitch, say) goes before the words for screen readers. `bare` leaves no room beside
    the touches, for a diagram without triangles and waves. A touch the instrument lacks is drawn all
    the same where the grip has it. RequestError for a form, a size or touches
    that make no sense.

    >>> from gripway.catalog.flute.instruments import load_instrument
    >>> diagram(load_instrument(), Grip.parse("T 2 3 | Eb"), title="D6")[:38]
    '<svg xmlns="http://www.w3.org/2000/svg'
    """
    said = said_of(grip, **signs)
    if form not in FORMS:
        raise RequestError(f"{form!r} is no form of a diagram", next_step=f"Choose {' or '.join(FORMS)}")
    if not SMALLEST_MM <= size_mm <= LARGEST_MM:
        raise RequestError(
            f"a diagram of {size_mm:g} mm cannot be drawn",
            next_step=f"Choose {SMALLEST_MM:g} to {LARGEST_MM:g} mm",
        )
    layout = diagram_layout(instrument)
    used = {*instrument.mechanism.touches, *said.touches}
    places = tuple(place for place in layout.places if place.touch in used)
    boxes = (box for place in layout.places for box in ((place.box,) if bare else room(place, form, size_mm)))
    paper = frame(boxes, form, size_mm)
    return _svg(paper, "".join(_groups(paper, layout, places, said)), _texts(layout, said, title))


def alt_text(instrument: Instrument, grip: Grip, *, title: str = "", **signs: Unpack[DiagramSigns]) -> str:
    """The same in words, for whoever does not see the diagram.

    >>> from gripway.catalog.flute.instruments import load_instrument
    >>> alt_text(load_instrument(), Grip.parse("T 2 3 | Eb"), title="D6")
    'D6: left hand thumb, second and third finger; right hand E-flat key.'
    """
    said = said_of(grip, **signs)
    return " ".join(filter(None, _texts(diagram_layout(instrument), said, title)))


def said_of(grip: Grip, **signs: Unpack[DiagramSigns]) -> ShownSigns:
    """What a diagram says of a grip, checked; RequestError where it contradicts itself."""
    try:
        held, free = Grip.of(signs.get("held", ())), Grip.of(signs.get("free", ()))
        movers = Grip.of(signs.get("movers", ()))
    except ValueError as problem:
        raise RequestError(str(problem), next_step="Use the names a grip is written with") from None
    said = ShownSigns(grip, held, free, movers, signs.get("before"))
    if lifted := Grip(said.held.mask & ~grip.mask).touches:
        raise RequestError(
            f"{', '.join(lifted)} cannot be held: the grip {grip.short} does not press it",
            next_step="Name touches that the grip presses",
        )
    if pressed := Grip(said.free.mask & grip.mask).touches:
        raise RequestError(
            f"{', '.join(pressed)} cannot be free to go down: the grip {grip.short} presses it",
            next_step="Name touches that the grip leaves up",
        )
    return said


@dataclass(frozen=True, slots=True)
class _Group:
    """Shapes that are drawn alike: a name for tests and style sheets, attributes, the shapes."""

    name: str
    attributes: str
    shapes: tuple[str, ...]

    @property
    def svg(self) -> str:
        """The group, empty where it has no shape."""
        if not self.shapes:
            return ""
        return f'<g data-state="{self.name}"{self.attributes}>{"".join(self.shapes)}</g>'


def _groups(
    paper: Paper, layout: DiagramLayout, places: tuple[TouchPlace, ...], said: ShownSigns
) -> Iterator[str]:
    """Everything drawn, in the order of painting."""
    yield bar_line(paper, layout.bar)
    filled = f' fill="{INK}"'
    by_state: dict[str, list[TouchPlace]] = {}
    for place in places:
        by_state.setdefault(said.state(place.touch), []).append(place)
    lifted = by_state.get("lifted", [])
    full = [p for p in lifted if p.always or (said.moves(p.touch) and paper.opens(p.box))]
    small = [p for p in lifted if p not in full and paper.opens(p.box.scaled(SMALL))]
    held = by_state.get("held", [])
    free = [place for place in by_state.get("free", []) if place.always or paper.opens(place.box)]
    for group in (
        _Group("pressed", filled, tuple(touch_shape(paper, place) for place in by_state.get("pressed", []))),
        _Group("lifted", "", tuple(touch_shape(paper, place) for place in full)),
        _Group("small", "", tuple(touch_shape(paper, place, place.box.scaled(SMALL)) for place in small)),
        _Group("held", f'{filled} stroke="none"', tuple(cut_shape(paper, p, filled=True) for p in held)),
        _Group("free", "", tuple(cut_shape(paper, place, filled=False) for place in free)),
    ):
        yield group.svg
    yield from _signs(paper, places, said)


def _signs(paper: Paper, places: tuple[TouchPlace, ...], said: ShownSigns) -> Iterator[str]:
    """What stands beside the touches: changes, waves, names."""
    down, up = said.down, said.up
    triangles, waves, names = [], [], []
    for place in places:
        touch = place.touch
        stand = signs(paper, place, trill=said.movers.has(touch), changed=touch in down or touch in up)
        if stand.triangle:
            triangles.append(triangle(paper, stand.triangle, down=touch in down))
        if stand.wave:
            waves.append(wave(paper, stand.wave))
        names.append(name_text(paper, touch, stand.name))
    if triangles:
        yield f'<path data-state="changes" fill="{INK}" stroke="none" d="{"".join(triangles)}"/>'
    if waves:
        yield f'<path data-state="trill" d="{"".join(waves)}"/>'
    if paper.labelled:
        letters = f'font-family="sans-serif" font-size="{whole(LABEL_SIZE)}" text-anchor="middle"'
        yield f'<g fill="{INK}" stroke="none" {letters}>{"".join(names)}</g>'


def _texts(layout: DiagramLayout, said: ShownSigns, title: str) -> tuple[str, str]:
    """The two texts of a diagram: what is pressed, and what more is said."""
    names = {place.touch: place.words for place in layout.places}
    return heading(said.grip, names, title), words(said, names)


def _svg(paper: Paper, drawn: str, texts: tuple[str, str]) -> str:
    """The outermost element with its size and the words for screen readers."""
    width, height = paper.page
    scale = paper.size_mm / max(width, height)
    title, more = (escape(_NOT_XML.sub("", text)) for text in texts)
    size = f'width="{width * scale:.2f}mm" height="{height * scale:.2f}mm" viewBox="0 0 {width} {height}"'
    line = f'fill="none" stroke="{INK}" stroke-width="{whole(paper.stroke)}"'
    described = f"<desc>{more}</desc>" if more else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" {size} {line}>'
        f"<title>{title}</title>{described}{drawn}</svg>"
    )
