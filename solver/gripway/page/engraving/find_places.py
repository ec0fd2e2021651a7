"""Where notes, staff lines and placeholders stand in a drawing of the engraver."""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace

from gripway.page.engraving.drawing_parts import ROW, Box, NoteBox, System
from gripway.page.engraving.sheet_xml import SheetXml
from gripway.page.engraving.svg_cleaning import Drawn, clean

_LINE = re.compile(r"M(-?[\d.]+) (-?[\d.]+) L(-?[\d.]+) (-?[\d.]+)")
_NUMBER = re.compile(r"[0-9]{1,4}")
_SHIFT = re.compile(r"translate\((-?[\d.]+),? (-?[\d.]+)\)")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
CURVE_STEPS = 12
"""Points between which a curve is as good as straight."""
HEAD, NUMBER_WIDTH = 150.0, 800.0
"""From the middle of a head to a number above it, and of a number with a head and its line before it, in the
engraver's measures."""
ASCENT = 0.7
"""How far letters of a row rise above its baseline, in rows."""


def system_of(drawing: Drawn, sheet: SheetXml, width: float) -> System:
    """A drawing of the engraver cleaned, its placeholders taken out and their places noted."""
    scaled = next(child for child in drawing.children if child.name == "svg")
    height = float(scaled.attributes["viewBox"].split()[3])
    margin = next(child for child in scaled.children if "page-margin" in child.kinds)
    places = _Places(sheet.lyric_lines, _shift(margin))
    places.walk(margin, ())
    notes = {name: NoteBox(head, places.room(name)) for name, head in places.heads.items()}
    first = () if places.first_bar is None else (places.first_bar,)
    return System(clean(margin), width, height, _staff(places.lines, width), notes, first)


def with_bars(systems: Sequence[System], bars: Sequence[str]) -> Iterator[System]:
    """The systems, which know their first bar, with all of theirs: up to the first bar of the next one.

    Rows of empty bars that are drawn as one rest are counted in, bars without a drawn number as well.
    """
    starts, at = [], 0
    for system in systems:
        at = next((k for k in range(at, len(bars)) if bars[k] in system.bars), at)
        starts.append(at)
    for system, start, end in zip(systems, starts, (*starts[1:], len(bars)), strict=True):
        yield replace(system, bars=tuple(bars[start:end]))


def keep_numbers(drawing: Drawn, numbered: Collection[str], *, bare: bool = False) -> None:
    """Take the numbers of bars out of a line of music, but for its first (none if `bare`) and those wanted.

    These end at the bar line, as notes stand behind it, above the notes and ties before it.
    """
    heads = [*_heads(drawing), *_curves(drawing)]
    first = not bare

    def walk(element: Drawn) -> None:
        nonlocal first
        kept = []
        for child in element.children:
            if "mNum" not in child.kinds or "bounding-box" in child.kinds:
                walk(child)
            elif first:
                first = False
            elif _letters(child).strip() in numbered:
                _end_at_bar_line(child, heads)
            else:
                continue
            kept.append(child)
        element.children = kept

    walk(drawing)


def _end_at_bar_line(number: Drawn, heads: Sequence[tuple[float, float]]) -> None:
    """Set a number of a bar to the left of its bar line, above the heads there."""
    for text in (child for child in number.children if child.name == "text"):
        right, foot = (float(text.attributes.get(name, "0")) for name in ("x", "y"))
        near = [y for x, y in heads if right - NUMBER_WIDTH < x < right]
        if any(foot - NUMBER_WIDTH < y < foot + HEAD for y in near):
            foot = min(near) - HEAD
        text.attributes |= {"text-anchor": "end", "y": f"{foot:g}"}


def _heads(element: Drawn, inside: bool = False) -> Iterator[tuple[float, float]]:
    """The left edge and the middle of each head."""
    inside = inside or "notehead" in element.kinds
    if inside and (found := _SHIFT.match(element.attributes.get("transform", ""))):
        yield float(found[1]), float(found[2])
    for child in element.children:
        yield from _heads(child, inside)


def _curves(element: Drawn, inside: bool = False) -> Iterator[tuple[float, float]]:
    """Points on the outer edge of each slur and tie, a cubic curve."""
    inside = inside or bool({"slur", "tie"}.intersection(element.kinds))
    if inside and element.name == "path":
        ends = [float(each) for each in _NUMBER.findall(element.attributes.get("d", ""))[:8]]
        for step in range(CURVE_STEPS + 1) if len(ends) == 8 else ():
            at = step / CURVE_STEPS
            shares = ((1 - at) ** 3, 3 * at * (1 - at) ** 2, 3 * at**2 * (1 - at), at**3)
            x, y = (sum(s * e for s, e in zip(shares, ends[axis::2], strict=True)) for axis in (0, 1))
            yield x, y
    for child in element.children:
        yield from _curves(child, inside)


def _letters(element: Drawn) -> str:
    return element.text + "".join(_letters(child) for child in element.children)


@dataclass(slots=True)
class _Places:
    """What is found on a walk through a drawing, shifted to the corner of the system.

    `rooms` has the baseline and the row of each placeholder, by note.
    """

    lyric_lines: int
    shift: tuple[float, float]
    lines: list[tuple[float, float, float]] = field(default_factory=list)
    heads: dict[str, Box] = field(default_factory=dict)
    rooms: dict[str, tuple[float, int]] = field(default_factory=dict)
    first_bar: str | None = None

    def walk(self, element: Drawn, inside: tuple[str, ...]) -> None:
        """Collect from an element that lies inside these notes; placeholders are taken out of it."""
        if "measure" in element.kinds and self.first_bar is None:
            self.first_bar = element.attributes.get("data-n", "")
        if "staff" in element.kinds:
            self.lines += self._lines(element)
        if "note" in element.kinds:
            name = element.attributes.get("id", "")
            if (box := self._bounding_box(element)) is not None:
                self.heads[name] = box
            inside = (*inside, name)
        elif "chord" in element.kinds:
            inside = (*inside, *_notes_in(element))
        kept = []
        for child in element.children:
            if (row := self._placeholder_row(child)) > 0:
                baseline = _baseline(child)
                if baseline is not None:
                    self._keep(inside, baseline + self.shift[1], row)
            else:
                self.walk(child, inside)
                kept.append(child)
        element.children = kept

    def _keep(self, names: tuple[str, ...], baseline: float, row: int) -> None:
        """Remember the lowest placeholder of each note."""
        for name in names:
            if row > self.rooms.get(name, (0.0, 0))[1]:
                self.rooms[name] = (baseline, row)

    def room(self, name: str) -> Box | None:
        """The room of a note, centred under its head; of no width of its own."""
        if name not in self.rooms:
            return None
        baseline, rows = self.rooms[name]
        top = baseline - (rows - 1 + ASCENT) * ROW
        return Box(self.heads[name].middle, top, 0.0, rows * ROW)

    def _placeholder_row(self, element: Drawn) -> int:
        """Which row of our own a verse is, 0 for anything else."""
        number = element.attributes.get("data-n", "")
        if "verse" not in element.kinds or not _NUMBER.fullmatch(number):
            return 0
        return max(0, int(number) - self.lyric_lines)

    def _bounding_box(self, note: Drawn) -> Box | None:
        for child in note.children:
            if "bounding-box" in child.kinds:
                for rect in child.children:
                    x, y, width, height = (
                        float(rect.attributes[key]) for key in ("x", "y", "width", "height")
                    )
                    return Box(x + self.shift[0], y + self.shift[1], width, height)
        return None

    def _lines(self, staff: Drawn) -> Iterator[tuple[float, float, float]]:
        """Left end, right end and height of each staff line."""
        right, down = self.shift
        for child in staff.children:
            if child.name == "path" and (line := _LINE.fullmatch(child.attributes.get("d", "").strip())):
                x1, y1, x2, y2 = map(float, line.groups())
                if y1 == y2:
                    yield x1 + right, x2 + right, y1 + down


def _notes_in(chord: Drawn) -> Iterator[str]:
    return (child.attributes.get("id", "") for child in chord.children if "note" in child.kinds)


def _baseline(verse: Drawn) -> float | None:
    if verse.name == "text":
        return float(verse.attributes["y"])
    return next((found for child in verse.children if (found := _baseline(child)) is not None), None)


def _staff(lines: list[tuple[float, float, float]], width: float) -> Box:
    """The box of the staff lines of a system."""
    if not lines:
        return Box(0.0, 0.0, width, 0.0)
    left, right = min(line[0] for line in lines), max(line[1] for line in lines)
    top, bottom = min(line[2] for line in lines), max(line[2] for line in lines)
    return Box(left, top, right - left, bottom - top)


def _shift(margin: Drawn) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((-?[\d.]+),? ?(-?[\d.]+)\)", margin.attributes.get("transform", ""))
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)
