"""Bars that are only a sign for the bars before them (%), and what they repeat."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.xml.numerals import whole
from gripway.score.xml.xml_tree import Element

MOST_REPEATED = 8
"""Longest pattern of bars that one sign repeats (judgement: printed ones are 1, 2 or 4)."""


@dataclass(frozen=True, slots=True)
class MeasureRepeats:
    """By bar index, the bar whose notes are played; and what there is to say, by bar index."""

    sources: dict[int, int]
    remarks: tuple[tuple[int, str], ...]


def read_measure_repeats(bars: Sequence[PlacedBar]) -> MeasureRepeats:
    """The bars without notes that repeat others; a bar with notes of its own plays those."""
    sources: dict[int, int] = {}
    remarks: list[tuple[int, str]] = []
    size, said = 0, False
    for place, bar in enumerate(bars):
        for kind, value in _styles(bar):
            if kind == "repeat":
                size, said = value, False
            elif not _has_notes(bar):
                remarks.append((place, "slashes in place of notes are not read"))
        if not size or _has_notes(bar):
            continue
        if place < size:
            remarks.append((place, "a repeat of bars before the first one is not followed"))
            continue
        source = place - size
        sources[place] = sources.get(source, source)
        if not said:
            number, bars_before = (
                bars[source].number,
                "the bar before" if size == 1 else f"the {size} bars before",
            )
            remarks.append((place, f"read as a repeat of {bars_before}, from bar {number} on"))
            said = True
    return MeasureRepeats(sources, tuple(remarks))


def _styles(bar: PlacedBar) -> Iterator[tuple[str, int]]:
    """Where repeats begin (with how many bars) and end (0), and where slashes stand for notes."""
    for placed in bar.elements:
        if placed.element.name != "attributes":
            continue
        for style in placed.element.all("measure-style"):
            for each in style.children:
                starts = each.attributes.get("type") == "start"
                if each.name == "measure-repeat":
                    yield "repeat", _size(each) if starts else 0
                elif each.name in ("beat-repeat", "slash") and starts:
                    yield "slash", 0


def _size(element: Element) -> int:
    return min(max(whole(element.text.strip()) or 1, 1), MOST_REPEATED)


def _has_notes(bar: PlacedBar) -> bool:
    """Whether a bar has a note that sounds."""
    notes = (placed.element for placed in bar.elements if placed.element.name == "note")
    return any(note.find("pitch") is not None and note.find("cue") is None for note in notes)
