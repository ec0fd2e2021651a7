"""Dynamic marks: what each means for the note it stands at and for those that follow."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.model.passage import DYNAMICS
from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.xml.xml_tree import Element

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
        for holder in element.all("direction-type")
        for kind in holder.all("dynamics")
        if (mark := read_dynamics(kind))
    ]


class DynamicLine:
    """The dynamics of a part, asked in written order."""

    def __init__(self, marks: list[DynamicMark]) -> None:
        self._marks = sorted(marks, key=lambda mark: (mark.bar, mark.at))
        self._next = 0
        self._held = START
        self._here: tuple[int, Fraction, str] | None = None

    def at(self, bar: int, at: Fraction, own: str = "") -> str:
        """The dynamic of a note at this place; `own` is a mark written on the note itself.

        Calls come in written order. A sforzato counts for the note it stands at only.
        """
        while self._next < len(self._marks):
            mark = self._marks[self._next]
            if (mark.bar, mark.at) > (bar, at):
                break
            self._next += 1
            self._hold(mark.mark)
            self._here = (mark.bar, mark.at, mark.mark)
        here = self._here[2] if self._here is not None and self._here[:2] == (bar, at) else ""
        if own:
            self._hold(own)
            here = own
        return ACCENTED[here][0] if here in ACCENTED else self._held

    def _hold(self, mark: str) -> None:
        after = ACCENTED[mark][1] if mark in ACCENTED else mark
        self._held = after or self._held
