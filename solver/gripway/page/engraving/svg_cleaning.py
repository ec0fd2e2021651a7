"""Drawings of the engraver, made safe: only shapes, texts and measures on a list get through.

Titles, lyrics and words of a score come from strangers, and so do attribute values that an
engraver may pass on. What is not on the lists below is dropped; nothing is repaired.
"""

import re
from dataclasses import dataclass, field
from html import escape
from xml.parsers import expat

SHAPES = frozenset(
    {"circle", "ellipse", "g", "line", "path", "polygon", "polyline", "rect", "text", "tspan", "use"}
)
NUMBER = r"-?\d+(?:\.\d+)?(?:px|%)?"
_NUMBERS = re.compile(rf"\s*{NUMBER}(?:[\s,]+{NUMBER})*\s*")
_PATH = re.compile(r"[MmLlHhVvCcSsQqTtAaZz0-9\s,.eE+-]*")
_TRANSFORM = re.compile(rf"(?:\s*(?:translate|scale|rotate|matrix)\({NUMBER}(?:[\s,]+{NUMBER})*\)\s*)+")
_COLOUR = re.compile(r"none|transparent|currentColor")
_GLYPH = re.compile(r"#([0-9A-F]{4,5})(?:-\w+)?")
_WORD = re.compile(r"[a-z]+(?:-[a-z]+)*")

_MEASURES = (
    *("x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "dx", "dy", "width", "height", "points"),
    *("font-size", "stroke-width", "stroke-dasharray", "stroke-opacity", "fill-opacity", "opacity"),
)
VALUES = {
    **dict.fromkeys(_MEASURES, _NUMBERS),
    **dict.fromkeys(("fill", "stroke"), _COLOUR),
    **dict.fromkeys(("font-style", "font-weight", "text-anchor", "stroke-linecap", "stroke-linejoin"), _WORD),
    "d": _PATH,
    "transform": _TRANSFORM,
}
"""Attributes that get through, and what their whole value must look like."""

CLASSES = frozenset({"dir", "dynam", "ending", "fing", "mNum", "reh", "tempo", "syl"})
"""Classes that get through: those the style sheet of the music knows."""

HIDDEN = frozenset({"bounding-box", "placeholder"})
"""Classes of what the engraver draws for itself only."""

MUSIC_FONT = "Leipzig"
GLYPH_PREFIX = "glyph-"
OUR_NOTE = re.compile(r"P\d+-n\d+")
"""Ids of notes, the only ids that are carried on (as `data-head`)."""

EMPTY = frozenset({"g", "text", "tspan"})
MAX_DEPTH = 60


@dataclass(slots=True)
class Drawn:
    """One element of a drawing as it came, before cleaning."""

    name: str
    attributes: dict[str, str]
    text: str = ""
    children: list["Drawn"] = field(default_factory=list)

    @property
    def kinds(self) -> list[str]:
        """Its classes."""
        return self.attributes.get("class", "").split()


def parse_drawing(svg: str) -> Drawn:
    """The tree of an SVG text, blanks and all; ValueError where it is no well-formed drawing."""
    document = Drawn("", {})
    stack = [document]
    parser = expat.ParserCreate()
    parser.buffer_text = True

    def start(name: str, attributes: dict[str, str]) -> None:
        element = Drawn(name, attributes)
        stack[-1].children.append(element)
        stack.append(element)

    def characters(data: str) -> None:
        stack[-1].text += data

    parser.StartElementHandler = start
    parser.EndElementHandler = lambda _name: stack.pop()
    parser.CharacterDataHandler = characters
    try:
        parser.Parse(svg.encode("utf-8", "replace"), True)
    except expat.ExpatError as error:
        raise ValueError(f"no well-formed drawing: {error}") from None
    return document.children[0]


def clean(element: Drawn, depth: int = 0) -> str:
    """The element as safe SVG text; empty where nothing of it may stay.

    References to glyphs become references to `#glyph-E0A4`; see `glyphs_of`.
    """
    if element.name not in SHAPES or depth > MAX_DEPTH or HIDDEN.intersection(element.kinds):
        return ""
    attributes = dict(_attributes(element))
    if element.name == "use":
        glyph = _GLYPH.fullmatch(element.attributes.get("href", element.attributes.get("xlink:href", "")))
        if glyph is None:
            return ""
        attributes["href"] = f"#{GLYPH_PREFIX}{glyph[1]}"
    inner = escape(element.text, quote=False) if element.name in ("text", "tspan") else ""
    inner += "".join(clean(child, depth + 1) for child in element.children)
    if not inner and element.name in EMPTY:
        return ""
    if element.name == "g" and not attributes:
        return inner
    written = "".join(f' {name}="{escape(value)}"' for name, value in attributes.items())
    return f"<{element.name}{written}>{inner}</{element.name}>" if inner else f"<{element.name}{written}/>"


def _attributes(element: Drawn) -> list[tuple[str, str]]:
    """The attributes that may stay, in their order; classes as `class`, the music font among them."""
    kept = [
        (name, value)
        for name, value in element.attributes.items()
        if name in VALUES and VALUES[name].fullmatch(value)
    ]
    kinds = [kind for kind in element.kinds if kind in CLASSES]
    if element.attributes.get("font-family") == MUSIC_FONT:
        kinds.append("music-font")
    if "note" in element.kinds and OUR_NOTE.fullmatch(element.attributes.get("id", "")):
        kept.append(("data-head", element.attributes["id"]))
    return [*kept, *([("class", " ".join(kinds))] if kinds else [])]


def glyphs_of(drawing: Drawn) -> dict[str, str]:
    """The outlines of the glyphs a drawing defines, by their code point: `E0A4` to safe SVG text."""
    found = {}
    for defs in (child for child in drawing.children if child.name == "defs"):
        for glyph in defs.children:
            name = _GLYPH.fullmatch("#" + glyph.attributes.get("id", ""))
            if name is not None and (outline := clean(Drawn("g", {}, children=glyph.children))):
                found[name[1]] = outline
    return found
