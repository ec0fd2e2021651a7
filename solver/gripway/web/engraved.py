"""The chosen part and bars engraved as SVG pages, each note under its id; nothing in them can run."""

import re
from xml.etree import ElementTree

from gripway.errors import ScoreError
from gripway.score.bar_choice import chosen_bars
from gripway.score.reading import ScoreReading

SVG = "{http://www.w3.org/2000/svg}"
ELEMENTS = frozenset("svg g defs path use ellipse rect polygon polyline text tspan".split())
ATTRIBUTES = frozenset(
    "class cx cy d fill font-size font-style font-weight height href id points rx ry stroke stroke-dasharray "
    "stroke-linecap stroke-linejoin stroke-width text-anchor transform viewBox width x y".split()
)
PLAIN_VALUE = re.compile(r"[^<>&]*")
FRAGMENT = re.compile(r"#[\w-]+")
MUSIC_SIGNS = {0xECA2: "𝅝", 0xECA3: "𝅗𝅥", 0xECA5: "♩", 0xECA7: "♪", 0xECA9: "𝅘𝅥𝅯", 0xECB7: "."}
"""Signs of the music font's private area that stand in texts, as signs every font may have."""


def engraved(reading: ScoreReading, bars: str | None, width_px: int, scale: int) -> list[str]:
    """The pages, `width_px` wide at `scale` percent. Raises ScoreError where it cannot be engraved."""
    import verovio

    root, numbers = _one_part(reading)
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(
        {
            "pageWidth": max(100, width_px * 100 // scale),
            "pageHeight": 60_000,
            "adjustPageHeight": True,
            "scale": scale,
            "header": "none",
            "footer": "none",
            "breaks": "auto",
            "pageMarginLeft": 10,
            "pageMarginRight": 10,
            "pageMarginTop": 30,
            "pageMarginBottom": 30,
            "spacingSystem": 24,
            "spacingLinear": 0.32,
            "spacingNonLinear": 0.62,
            "svgViewBox": True,
            "svgRemoveXlink": True,
            "smuflTextFont": "none",
            "xmlIdChecksum": True,
        }
    )
    if not toolkit.loadData(ElementTree.tostring(root, encoding="unicode")):
        raise ScoreError("the part could not be engraved", place=reading.source.name, next_step="Choose other bars")
    if bars:
        wanted = chosen_bars(bars, numbers, reading.source.name)
        toolkit.select({"measureRange": f"{wanted.start + 1}-{wanted.stop}"})
        toolkit.redoLayout()
    return [harmless(toolkit.renderToSVG(page)) for page in range(1, toolkit.getPageCount() + 1)]


def _one_part(reading: ScoreReading) -> tuple[ElementTree.Element, list[str]]:
    """The score with the read part alone, ids on its notes; and the numbers of its bars."""
    parser = ElementTree.XMLParser()  # the reader has refused entities before  # noqa: S314
    root = ElementTree.fromstring(reading.source.data, parser)  # noqa: S314
    part, number = reading.part, 0
    listed = root.find("part-list")
    names = [] if listed is None else [entry for entry in listed if entry.tag == "score-part"]
    for entry in [] if listed is None else list(listed):
        if entry.tag == "part-group" or (entry in names and entry.get("id") != part.id):
            listed.remove(entry)  # type: ignore[union-attr]
    for place, element in enumerate(root.findall("part"), start=1):
        if place != part.index:
            root.remove(element)
    for credit in root.findall("credit"):
        root.remove(credit)
    for note in root.iter("note"):
        number += 1
        note.set("id", f"P{part.index}-n{number}")
    return root, [measure.get("number", "") for measure in root.iter("measure")]


def harmless(svg: str) -> str:
    """An SVG with none but drawing elements and plain attributes; ids only where they are used."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - written by the engraver, no entities
    _clean(root, wanted=frozenset(FRAGMENT.findall(svg)))
    ElementTree.register_namespace("", "http://www.w3.org/2000/svg")
    return ElementTree.tostring(root, encoding="unicode")


def _clean(element: ElementTree.Element, wanted: frozenset[str]) -> None:
    for child in list(element):
        if child.tag.removeprefix(SVG) not in ELEMENTS:
            element.remove(child)
        else:
            _clean(child, wanted)
            child.tail = None if not (child.tail or "").strip() else child.tail
    is_text = element.tag.removeprefix(SVG) in ("text", "tspan")
    element.text = "".join(MUSIC_SIGNS.get(ord(c), c) for c in element.text or "") if is_text else None
    for name, value in list(element.attrib.items()):
        keep = name in ATTRIBUTES and "url(" not in value and "javascript" not in value.lower()
        if name == "href":
            keep = keep and FRAGMENT.fullmatch(value) is not None
        if name == "id":
            keep = f"#{value}" in wanted or element.get("class", "").split()[:1] == ["note"]
        if not keep:
            del element.attrib[name]
