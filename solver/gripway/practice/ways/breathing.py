"""Which lines of a passage have no rest in them for longer than a breath lasts."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, last_bar
from gripway.practice.ways.whole_passage import goes_on, rest_after


@dataclass(frozen=True, slots=True)
class LongLine:
    """A line without a rest: its bars, how long it lasts at the tempo of the part, first and last note."""

    bars: tuple[str, str]
    lasts_s: float
    ends: tuple[int, int] = (0, 0)


def long_lines(notes: Sequence[Note], figures: PracticeFigures) -> tuple[LongLine, ...]:
    """The lines without a rest that last longer than `breath_most_s`; what is written once comes once."""
    found: list[LongLine] = []
    met: set[str] = set()
    first = 0
    for last in range(len(notes)):
        on = last + 1 < len(notes) and goes_on(notes, last, last + 1)
        if on and rest_after(notes, last) < figures.breath_rest_ms:
            continue
        lasts_s = (notes[last].onset_ms + notes[last].length_ms - notes[first].onset_ms) / 1000
        if lasts_s > figures.breath_most_s and notes[first].id not in met:
            found.append(LongLine((notes[first].bar, last_bar(notes[last])), lasts_s, (first, last)))
        met |= {note.id for note in notes[first : last + 1]}
        first = last + 1
    return tuple(found)


def breath_words(lines: Sequence[LongLine], most: int) -> str:
    """`bars 408 to 431: no rest for 23 s; ...`, of no more than so many lines, the longest."""
    longest = sorted(lines, key=lambda line: -line.lasts_s)[:most]
    return "; ".join(_told(line) for line in lines if line in longest)


def _told(line: LongLine) -> str:
    first, last = line.bars
    bars = f"bar{'s' * (first != last)} {first}{f' to {last}' * (first != last)}: " if first else ""
    return f"{bars}no rest for {line.lasts_s:.0f} s"
