"""The heat map: a field a change, with its number; the shade is only beside it."""

import re
from xml.etree import ElementTree

import pytest

from gripway.page.sheet.heat_map import heat_map, ink_of

LOADS = {("F#6", "G#6"): 1.26, ("G#6", "F#6"): 0.95, ("G#6", "A6"): 1.8, ("A6", "G#6"): 0.4}


def test_every_change_has_its_number_in_its_row_and_column() -> None:
    """Rows from a pitch, columns to a pitch."""
    root = ElementTree.fromstring(heat_map(("F#6", "G#6", "A6"), LOADS, "Map"))
    names, fields, _ = root.findall("g")
    texts = names.findall("text")
    rows = {t.text: float(t.get("y", "")) for t in texts if t.get("text-anchor") == "end"}
    columns = {t.text: float(t.get("x", "")) for t in texts if t.get("text-anchor") == "middle"}
    told = {
        (
            min(rows, key=lambda n: abs(rows[n] - float(t.get("y", "")))),
            min(columns, key=lambda n: abs(columns[n] - float(t.get("x", "")))),
        ): t.text
        for t in fields.findall("text")
    }
    assert told == {pair: f"{load:.2f}" for pair, load in LOADS.items()}


def test_a_large_map_has_shorter_numbers_in_larger_letters() -> None:
    """Three octaves are read in print: one decimal, larger than in a small map."""
    names = [f"{step}{octave}" for octave in (4, 5, 6) for step in "CDEFGAB"]
    large = heat_map(names, {("C4", "D4"): 1.26}, "Map")
    small = heat_map(names[:7], {("C4", "D4"): 1.26}, "Map")
    assert ">1.3<" in large
    assert ">1.26<" in small
    sizes = [max(map(int, re.findall(r'font-size="(\d+)"', drawn))) for drawn in (large, small)]
    assert sizes[0] > sizes[1]


@pytest.mark.parametrize("load", [0.5, 0.9, 1.0, 1.2, 1.5, 3.0])
def test_numbers_can_be_read_on_their_shade(load: float) -> None:
    """Contrast of at least 4.5 to 1 (WCAG 2.2, 1.4.3), black or white on grey."""
    drawn = heat_map(("A6", "B6"), {("A6", "B6"): load}, "Map")
    grey = 1.0 - ink_of(load)
    linear = grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
    number = re.search(rf'fill="(#\w+)">{load:.2f}<', drawn)
    assert number is not None
    text = {"#000": 0.0, "#fff": 1.0}[number[1]]
    lighter, darker = max(text, linear), min(text, linear)
    assert (lighter + 0.05) / (darker + 0.05) >= 4.5


def test_late_changes_are_bold() -> None:
    """A load above 1 is told without any shade."""
    drawn = heat_map(("A6", "B6"), {("A6", "B6"): 1.01, ("B6", "A6"): 1.0}, "Map")
    assert re.search(r'font-weight="bold"[^>]*>1\.01<', drawn)
    assert not re.search(r'font-weight="bold"[^>]*>1\.00<', drawn)
