"""Repeats, endings and jumps as written in the bars of a part."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.xml.numerals import whole
from gripway.score.xml.xml_tree import Element

_WORDS = (
    ("dacapo", re.compile(r"^(d\. ?c\.|da capo|dc\b)", re.IGNORECASE)),
    ("dalsegno", re.compile(r"^(d\. ?s\.|dal segno|ds\b)", re.IGNORECASE)),
    ("tocoda", re.compile(r"^(to|al) coda$", re.IGNORECASE)),
    ("fine", re.compile(r"^fine\.?$", re.IGNORECASE)),
)
"""How jumps are spelt where no <sound> says them (common practice, no source)."""


@dataclass(slots=True)
class BarJumps:
    """What one bar says about the order of playing.

    `backward` is how often the section is played (0: no repeat here); `ending` the numbers of
    an ending that starts here, `ending_stop` whether one ends here. Labels pair a segno with
    its D.S., a coda with its "to coda"; None where the mark is absent.
    """

    forward: bool = False
    backward: int = 0
    ending: frozenset[int] = frozenset()
    ending_stop: bool = False
    segno: str | None = None
    coda: str | None = None
    tocoda: str | None = None
    dalsegno: str | None = None
    dacapo: bool = False
    fine: bool = False


def read_jumps(bars: Sequence[PlacedBar]) -> list[BarJumps]:
    """The jumps of each bar, from barlines, <sound> attributes, signs and words."""
    jumps = []
    for bar in bars:
        here = BarJumps()
        for element, at, _ in bar.elements:
            if element.name == "barline":
                _barline(here, element, at_start=at == 0 and bar.length > 0)
            elif element.name in ("direction", "sound"):
                _direction(here, element)
        jumps.append(here)
    _pair_coda_signs(jumps)
    return jumps


def _barline(here: BarJumps, element: Element, *, at_start: bool) -> None:
    location = element.attributes.get("location", "right")
    if (repeat := element.find("repeat")) is not None:
        if repeat.attributes.get("direction") == "forward":
            here.forward = True
        else:
            here.backward = max(2, whole(repeat.attributes.get("times", "")) or 2)
    for ending in element.all("ending"):
        kind = ending.attributes.get("type")
        if kind == "start":
            numbers = re.findall(r"[0-9]{1,9}", ending.attributes.get("number", "")) or re.findall(
                r"[0-9]{1,9}", ending.text
            )
            here.ending = frozenset(int(number) for number in numbers)
        elif kind in ("stop", "discontinue") and not (location == "left" and at_start):
            here.ending_stop = True
    for name in ("segno", "coda"):
        if element.attributes.get(name) or element.find(name) is not None:
            setattr(here, name, element.attributes.get(name, ""))


def _direction(here: BarJumps, element: Element) -> None:
    sound = element if element.name == "sound" else element.find("sound")
    said = sound.attributes if sound is not None else {}
    here.segno = said.get("segno", here.segno)
    here.coda = said.get("coda", here.coda)
    here.tocoda = said.get("tocoda", here.tocoda)
    here.dalsegno = said.get("dalsegno", here.dalsegno)
    here.dacapo = here.dacapo or said.get("dacapo") == "yes"
    here.fine = here.fine or "fine" in said
    here.forward = here.forward or said.get("forward-repeat") == "yes"
    if not set(said) & {"segno", "coda", "tocoda", "dalsegno", "dacapo", "fine"}:
        _signs(here, element)


def _signs(here: BarJumps, element: Element) -> None:
    """Jumps written as signs or words only."""
    for kind in (child for holder in element.all("direction-type") for child in holder.children):
        if kind.name in ("segno", "coda"):
            setattr(here, kind.name, "")
        elif kind.name == "words":
            for name, pattern in _WORDS:
                if pattern.search(kind.text.strip()):
                    setattr(here, name, True if name in ("dacapo", "fine") else "")


def _pair_coda_signs(jumps: list[BarJumps]) -> None:
    """Two coda signs and no "to coda": the first is where one leaves for the second."""
    signs = [bar for bar in jumps if bar.coda is not None]
    if len(signs) > 1 and all(bar.tocoda is None for bar in jumps):
        signs[0].tocoda, signs[0].coda = signs[-1].coda, None
