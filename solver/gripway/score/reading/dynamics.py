"""Dynamic marks and hairpins: what each means for the note it stands at and for those that follow."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.model.passage import CRESCENDO, DIMINUENDO, DYNAMICS, Hairpin, Stress
from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.xml.xml_tree import Element

NEAR = 1e-6
"""Whole notes that decide nothing about a hairpin before it is looked at exactly."""

START = "mf"
"""Dynamic before the first mark (judgement: the middle of the range)."""

ACCENTED = {
    "sf": ("f", ""),
    "sfz": ("f", ""),
    "fz": ("f", ""),
    "rf": ("f", ""),
    "rfz": ("f", ""),
    "sffz": ("ff", ""),
    "fp": ("f", "p"),
    "sfp": ("f", "p"),
    "sfzp": ("f", "p"),
    "sfpp": ("f", "pp"),
    "pf": ("p", "f"),
}
"""Marks for one note: (its dynamic, what holds afterwards; empty where the old one returns)."""


@dataclass(frozen=True, slots=True)
class DynamicMark:
    """A mark at (bar index, time in the bar in whole notes)."""

    bar: int
    at: Fraction
    mark: str


def read_dynamics(element: Element) -> str:
    """The mark written in a <dynamics> element, empty where it says nothing known."""
    for child in element.children:
        name = child.text.strip() if child.name == "other-dynamics" else child.name
        if name in DYNAMICS or name in ACCENTED:
            return name
        if name == "n" or (name and set(name) == {"p"}):
            return "pp"
        if name and set(name) == {"f"}:
            return "ff"
    return ""


def dynamic_marks(bars: Sequence[PlacedBar]) -> list[DynamicMark]:
    """The marks written as directions in the bars of a part."""
    return [
        DynamicMark(index, at, mark)
        for index, bar in enumerate(bars)
        for element, at, _ in bar.elements
        if element.name == "direction"
        for kind in element.inside("direction-type")
        if kind.name == "dynamics" and (mark := read_dynamics(kind))
    ]


class DynamicLine:
    """The dynamics of a part, asked in written order."""

    def __init__(self, marks: list[DynamicMark]) -> None:
        self._marks = sorted(marks, key=lambda mark: (mark.bar, mark.at))
        self._next = 0
        self._held = START
        self._here: tuple[int, Fraction, str] | None = None

    def at(self, bar: int, at: Fraction, own: str = "") -> tuple[str, Stress | None]:
        """The dynamic of a note at this place, and its stress; `own` is a mark written on the note itself.

        Calls come in written order. A sforzato counts for the note it stands at only.
        """
        while self._next < len(self._marks):
            mark = self._marks[self._next]
            if (mark.bar, mark.at) > (bar, at):
                break
            self._next += 1
            self._hold(mark.mark)
            stressed = self._here is not None and self._here[:2] == (mark.bar, mark.at)
            if mark.mark in ACCENTED or not stressed:
                self._here = (mark.bar, mark.at, mark.mark)
        here = self._here[2] if self._here is not None and self._here[:2] == (bar, at) else ""
        if own:
            self._hold(own)
            here = own if own in ACCENTED or here not in ACCENTED else here
        return (ACCENTED[here][0], Stress(here, self._held)) if here in ACCENTED else (self._held, None)

    def _hold(self, mark: str) -> None:
        after = ACCENTED[mark][1] if mark in ACCENTED else mark
        self._held = after or self._held


@dataclass(frozen=True, slots=True)
class WrittenHairpin:
    """A hairpin of a part from one time to another, in whole notes of written music from its first bar on."""

    begins: Fraction
    ends: Fraction
    kind: str


def written_hairpins(bars: Sequence[PlacedBar], starts: Sequence[Fraction]) -> list[WrittenHairpin]:
    """The hairpins of a part in the order in which they begin; `starts` says when each bar does.

    One that is never closed, or closed where it began, is left out.
    """
    opened: dict[str, tuple[str, Fraction]] = {}
    found = []
    for start, bar in zip(starts, bars, strict=True):
        for kind, number, at in _wedges(bar):
            if kind in (CRESCENDO, DIMINUENDO):
                opened[number] = kind, start + at
            elif kind == "stop" and number in opened:
                opening, begins = opened.pop(number)
                if begins < start + at:
                    found.append(WrittenHairpin(begins, start + at, opening))
    return sorted(found, key=lambda each: each.begins)


def _wedges(bar: PlacedBar) -> Iterator[tuple[str, str, Fraction]]:
    """Type, number and place of each end of a hairpin in a bar, in the order of the file."""
    for element, at, _ in bar.elements:
        if element.name == "direction":
            for kind in element.inside("direction-type"):
                if kind.name == "wedge":
                    yield kind.attributes.get("type", ""), kind.attributes.get("number", "1"), at


class Hairpins:
    """The hairpins of a part, for looking up those over a note; `starts` says when each bar begins."""

    def __init__(self, bars: Sequence[PlacedBar], starts: Sequence[Fraction]) -> None:
        self.starts = starts
        self.written = written_hairpins(bars, starts)
        self._begins = [float(each.begins) for each in self.written]
        self._ends = [float(each.ends) for each in self.written]
        self._starts = [float(start) for start in starts] if self.written else []

    def over(self, bar: int, at: Fraction, length: Fraction) -> tuple[Hairpin, ...]:
        """Those that are open while a note of a bar (index) sounds, of nested ones the last to begin."""
        if not self.written:
            return ()
        onset = self._starts[bar] + float(at)
        last = bisect_left(self._begins, onset + float(length) + NEAR)
        if last == 0 or self._ends[last - 1] < onset - NEAR:  # no doubt, and that is most notes
            return ()
        return hairpins_over(self.written, self.starts[bar] + at, length)


def hairpins_over(
    hairpins: Sequence[WrittenHairpin], onset: Fraction, length: Fraction
) -> tuple[Hairpin, ...]:
    """Those that are open while a note sounds, both in written time; of nested ones the last to begin."""
    place = bisect_left(hairpins, onset + length, key=lambda each: each.begins)
    found = []
    while place and hairpins[place - 1].ends > onset:
        place -= 1
        each = hairpins[place]
        found.append(Hairpin(each.kind, each.begins - onset, each.ends - onset))
    return tuple(reversed(found))
