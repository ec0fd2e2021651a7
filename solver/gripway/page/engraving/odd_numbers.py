"""Numbers at which the engraver would end the whole process, or never end: what states them is not drawn."""

from dataclasses import dataclass

from gripway.score.xml.numerals import decimal, whole
from gripway.score.xml.xml_tree import Element


@dataclass(frozen=True, slots=True)
class _Numbers:
    """From `least` to `most`; else the element goes, or `with_it` the one around it that needs it."""

    least: int
    most: int
    with_it: str = ""
    fractions: bool = False


# Ranges are those of MusicXML 4.0 where it has one (tremolo-marks, octave), else judgement: far more
# than any part has, far less than breaks verovio (tests/page/test_odd_numbers.py hands it all of them).
_DRAWN = {
    "staves": _Numbers(1, 20),
    "staff": _Numbers(1, 20),
    "staff-lines": _Numbers(0, 20),
    "beat-type": _Numbers(1, 1024, "time"),
    "multiple-rest": _Numbers(1, 9999),
    "tremolo": _Numbers(0, 8),
    "display-octave": _Numbers(0, 9),
    "root-alter": _Numbers(-9, 9, "harmony", fractions=True),
    "bass-alter": _Numbers(-9, 9, "harmony", fractions=True),
    "degree-alter": _Numbers(-9, 9, "harmony", fractions=True),
    "degree-value": _Numbers(1, 99, "harmony"),
    "inversion": _Numbers(0, 99, "harmony"),
}


def drop_odd_numbers(element: Element) -> str:
    """Take out of an element what states a number that is not drawn; gives the name of what goes with it."""
    goes, kept = "", []
    for child in element.children:
        numbers = _DRAWN.get(child.name)
        if numbers and not _is_drawn(child.text, numbers):
            goes = numbers.with_it or goes
            continue
        needed = drop_odd_numbers(child) if child.children else ""
        if needed != child.name or not needed:
            goes = needed or goes
            kept.append(child)
    if len(kept) < len(element.children):
        element.children = kept
    return goes


def _is_drawn(text: str, numbers: _Numbers) -> bool:
    number = decimal(text) if numbers.fractions else whole(text)
    return number is not None and numbers.least <= number <= numbers.most
