"""The engraved music of the report: diagrams, tuning signs, hard changes, and a link at every note."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import Box, Engraving, System
from gripway.page.engraving.svg_cleaning import GLYPH_PREFIX
from gripway.page.markup import Markup, join, tag
from gripway.page.report.changes import LATE, HardChange
from gripway.page.report.placing import (
    ARROW,
    DIAGRAM,
    DIGIT,
    LINE,
    TEXT,
    PlacedSign,
    line_width,
    line_words,
    place_signs,
    words_width,
)
from gripway.page.report.signs import Sign

LEVEL = 430
"""Height of one level of brackets for hard changes."""

NARROWEST_HIT = 640
"""A note's button is as wide as its neighbours leave it, at most this (24 CSS pixels at plain size)."""


@dataclass(frozen=True, slots=True)
class Signs:
    """All that is drawn onto the music; `names` has what a screen reader says of each note by its id."""

    signs: Mapping[str, Sign]
    changes: Iterable[HardChange]
    names: Mapping[str, str]
    symbols: GripSymbols


def music(engraving: Engraving, drawn: Signs) -> Markup:
    """All systems, each a drawing of its own that no page break cuts."""
    systems = (
        _system(system, number, len(engraving.systems), drawn)
        for number, system in enumerate(engraving.systems, start=1)
    )
    outlines = (
        tag("g", Markup(outline), id=GLYPH_PREFIX + code) for code, outline in engraving.glyphs.items()
    )
    shared = tag("svg", tag("defs", *outlines), width="0", height="0", class_="shared", aria_hidden="true")
    return join([shared, *systems])


def _system(system: System, number: int, of: int, drawn: Signs) -> Markup:
    placed = place_signs(system, drawn.signs, drawn.symbols)
    foot = max([system.height, *(each.box.bottom + 60 for each in placed)])
    brackets, depth = _brackets(system, drawn.changes, foot)
    bottoms = {each.sign.note.note.id: each.box.bottom for each in placed}
    picture = tag(
        "svg",
        tag("g", Markup(system.drawing), class_="engraved", aria_hidden="true"),
        tag("g", *(_sign(each, drawn.symbols) for each in placed), aria_hidden="true"),
        tag("g", *brackets),
        tag("g", *_hits(system, drawn.names, bottoms)),
        viewbox=f"0 0 {system.width:.0f} {foot + depth:.0f}",
        role="group",
        aria_label=f"System {number} of {of}",
    )
    return tag("div", picture, class_="system")


def _sign(placed: PlacedSign, symbols: GripSymbols) -> Markup:
    """Diagram and line of one note, centred under its head."""
    sign, box = placed.sign, placed.box
    parts = []
    candidate = sign.note.candidate
    if sign.diagram and candidate is not None:
        parts.append(symbols.drawing(candidate, box.middle, box.y, DIAGRAM))
    if sign.line:
        parts.append(_line(sign, box.middle, box.bottom - LINE + TEXT))
    mark = tag("g", *parts, class_="mark", data_note=sign.note.note.id)
    if placed.leader is None:
        return mark
    line = f"M{box.middle:.0f} {placed.leader:.0f}V{box.y - 30:.0f}"
    return join([tag("path", d=line, class_="leader"), mark])


def _line(sign: Sign, middle: float, baseline: float) -> Markup:
    """`▲ 15 !`: which way the note leans, by how much, and that there is more to read."""
    words, left = line_words(sign), middle - line_width(sign) / 2
    if sign.lean is None or sign.note.candidate is None:
        return _set_text(words, left, baseline, words_width(words))
    arrow = _arrow(left, baseline, up=sign.lean > 0)
    return join([_set_text(words, left + ARROW, baseline, words_width(words)), arrow])


def _set_text(words: str, left: float, baseline: float, wide: float) -> Markup:
    """A text made as wide as was reckoned, whatever font the reader has."""
    return tag(
        "text", words, x=left, y=baseline, class_="sign", textLength=wide, lengthAdjust="spacingAndGlyphs"
    )


def _arrow(left: float, baseline: float, *, up: bool) -> Markup:
    """A filled triangle, up for sharp, down for flat."""
    base, tip = (baseline, baseline - 170) if up else (baseline - 170, baseline)
    return tag("path", d=f"M{left:.0f} {base:.0f}h120l-60 {tip - base:.0f}z", class_="fill")


def _brackets(system: System, changes: Iterable[HardChange], foot: float) -> tuple[list[Markup], float]:
    """A bracket with its load from head to head below `foot`, and how deep all of them reach."""
    ends: list[float] = []
    drawn = []
    for hard in sorted(changes, key=lambda each: _span(system, each)[1]):
        if hard.after not in system.notes:
            continue
        left, right = _span(system, hard)
        width = max(right - left, 180 + DIGIT * (len(hard.load) + 2 * bool(hard.rank)))
        middle = (left + right) / 2
        level = next((n for n, end in enumerate(ends) if end <= middle - width / 2), len(ends))
        ends[level : level + 1] = [middle + width / 2 + 40]
        drawn.append(_bracket(hard, left, right, foot + level * LEVEL))
    return drawn, LEVEL * len(ends) + (60 if ends else 0)


def _span(system: System, hard: HardChange) -> tuple[float, float]:
    """Where the bracket of a change begins and ends; from the edge, where its first note is elsewhere."""
    after = system.notes.get(hard.after)
    if after is None:
        return (0.0, 0.0)
    before = system.notes.get(hard.before)
    right = after.head.middle - 30
    left = before.head.middle + 30 if before is not None else right - 500
    return (left, right) if left < right else (right - 500, right)


def _bracket(hard: HardChange, left: float, right: float, top: float) -> Markup:
    """The load of a change, with a bracket where the fingers come late and a number among the worst."""
    line = tag(
        "path",
        d=f"M{left:.0f} {top:.0f}v90H{right:.0f}v-90",
        class_="bracket worst" if hard.rank else "bracket",
    )
    words = f"load {hard.load}"
    middle, baseline = (left + right) / 2, top + 350
    parts: list[str] = [line] if hard.change.load >= LATE else []
    shift = 0.0
    if hard.rank:
        shift = 170.0
        disc = middle - DIGIT * len(hard.load) / 2 - 10
        parts.append(tag("circle", cx=disc, cy=baseline - 88, r="150", class_="fill"))
        parts.append(
            tag("text", str(hard.rank), x=disc, y=baseline, text_anchor="middle", class_="sign inverse")
        )
        words = f"hard change {hard.rank}, {words}"
    parts.append(tag("text", hard.load, x=middle + shift, y=baseline, text_anchor="middle", class_="sign"))
    target = f"#change-{hard.rank}" if hard.rank else f"#note-{hard.after}"
    return tag("a", *parts, href=target, aria_label=words[0].upper() + words[1:], class_="change")


def _hits(system: System, names: Mapping[str, str], bottoms: Mapping[str, float]) -> Iterator[Markup]:
    """A link over every note, from above the staff down to the end of its sign."""
    places = sorted(
        ((name, box) for name, box in system.notes.items() if name in names),
        key=lambda each: each[1].head.middle,
    )
    for order, (name, box) in enumerate(places):
        middle = box.head.middle
        before = places[order - 1][1].head.middle if order else middle - 2 * NARROWEST_HIT
        after = places[order + 1][1].head.middle if order + 1 < len(places) else middle + 2 * NARROWEST_HIT
        left = max(middle - NARROWEST_HIT / 2, (before + middle) / 2)
        right = min(middle + NARROWEST_HIT / 2, (middle + after) / 2)
        top = min(box.head.y, system.staff.y) - 60
        bottom = max(box.head.bottom, system.staff.bottom, bottoms.get(name, 0.0)) + 60
        yield _hit(name, names[name], Box(left, top, max(right - left, 120.0), bottom - top))


def _hit(name: str, words: str, box: Box) -> Markup:
    area = tag("rect", x=box.x, y=box.y, width=box.width, height=box.height, rx="60")
    return tag("a", area, href=f"#note-{name}", id=f"at-{name}", aria_label=words, class_="hit")
