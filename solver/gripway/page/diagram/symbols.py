"""Grip diagrams of a page, each drawn once and used again wherever the grip stands."""

import re
from html import unescape

from markupsafe import Markup

from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.diagram import diagram

_SIZE = re.compile(r'viewBox="0 0 (\d+) (\d+)"')
_OPENING = re.compile(r"<svg[^>]*>")
_TITLE = re.compile(r"<title>(.*?)</title>(?:<desc>.*?</desc>)?", re.DOTALL)
_STROKE = re.compile(r'stroke-width="(\d+)"')
SIZE_MM = 9.0
NOTHING_HELD = Grip(0)


class GripSymbols:
    """The diagrams a page has asked for so far; `prefix` begins their ids where a page has several flutes."""

    def __init__(self, instrument: Instrument, prefix: str = "") -> None:
        self.instrument = instrument
        self.prefix = prefix
        self.known: dict[tuple[Grip, Grip], tuple[str, str, int, int]] = {}
        self.symbols: list[Markup] = []

    def drawing(self, candidate: Candidate, middle: float, top: float, height: float) -> Markup:
        """The diagram at a place of a drawing, its middle and top given in that drawing's units."""
        return self.grip_drawing(candidate.grip, middle, top, height, held_touches(candidate))

    def grip_drawing(
        self, grip: Grip, middle: float, top: float, height: float, held: Grip = NOTHING_HELD
    ) -> Markup:
        """The same of a grip alone; `held` are touches its note does not need."""
        name, _, wide, high = self._known(grip, held)
        width = height * wide / high
        return Markup('<use href="#{}" x="{:.0f}" y="{:.0f}" width="{:.0f}" height="{:.0f}"></use>').format(
            name, middle - width / 2, top, width, height
        )

    def picture(self, candidate: Candidate) -> Markup:
        """The diagram as a picture of its own in a text, with its words for screen readers."""
        name, words, wide, high = self._symbol(candidate)
        return Markup(
            '<svg viewBox="0 0 {} {}" class="grip" role="img" aria-label="{}"><use href="#{}"></use></svg>'
        ).format(wide, high, words, name)

    def width_of(self, candidate: Candidate) -> float:
        """Width of the diagram as a share of its height."""
        _, _, wide, high = self._symbol(candidate)
        return wide / high

    def grip_width(self, grip: Grip) -> float:
        """Width of the diagram of a grip alone as a share of its height."""
        _, _, wide, high = self._known(grip, NOTHING_HELD)
        return wide / high

    def words(self, candidate: Candidate) -> str:
        """What a diagram shows, in words."""
        return self._symbol(candidate)[1]

    def shared(self) -> Markup:
        """The definitions all pictures use; put it anywhere in the page, after asking for the pictures."""
        return Markup(
            '<svg width="0" height="0" class="shared" aria-hidden="true"><defs>{}</defs></svg>'
        ).format(Markup().join(self.symbols))

    def _symbol(self, candidate: Candidate) -> tuple[str, str, int, int]:
        return self._known(candidate.grip, held_touches(candidate))

    def _known(self, grip: Grip, held: Grip) -> tuple[str, str, int, int]:
        key = (grip, held)
        if key not in self.known:
            self.known[key] = self._draw(grip, held)
        return self.known[key]

    def _draw(self, grip: Grip, held: Grip) -> tuple[str, str, int, int]:
        svg = diagram(self.instrument, grip, size_mm=SIZE_MM, held=held.touches)
        opening = _OPENING.match(svg)
        size, title, stroke = _SIZE.search(svg), _TITLE.search(svg), _STROKE.search(svg)
        if opening is None or size is None or title is None or stroke is None:
            raise ValueError(f"no diagram of {grip} as expected")
        name = f"{self.prefix}grip-{len(self.symbols) + 1}"
        inner = _TITLE.sub("", svg[opening.end() :], count=1).removesuffix("</svg>")
        drawing = Markup(inner)  # noqa: S704 - our own drawing
        self.symbols.append(
            Markup(
                '<symbol id="{}" viewBox="0 0 {} {}">'
                '<g fill="none" stroke="currentColor" stroke-width="{}">{}</g></symbol>'
            ).format(name, size[1], size[2], stroke[1], drawing)
        )
        return name, unescape(title[1]), int(size[1]), int(size[2])


def held_touches(candidate: Candidate) -> Grip:
    """Touches held though the grip of the tables has them up, but for a thumb on its other plate."""
    more = Grip(candidate.grip.mask & ~candidate.row_grip.mask)
    thumb_moved = candidate.row_grip.has("T") and not candidate.grip.has("T")
    return more.without("Tb") if thumb_moved else more
