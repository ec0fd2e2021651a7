"""A long part in chunks that are engraved one by one, so that what is in view can come first.

A chunk ends where a bar ends, nothing is drawn across (slurs, ties, hairpins, endings) and no row of
empty bars is joined, so that together the chunks show what the whole would; only the lines break there.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gripway.page.engraving.sheet_xml import RoomUnderNotes, SheetBars, SheetXml, is_empty, sheet_bars
from gripway.score.reading.score_reading import ScoreReading
from gripway.score.xml.xml_tree import Element

LONGEST_WHOLE = 640
"""Note elements up to which a part is one chunk: engraved in a quarter of a second (judgement)."""

CHUNK_NOTES = 320
"""Note elements from which a chunk ends where it can: two screens of music (judgement)."""

SPANNERS = frozenset(
    {
        "bracket",
        "dashes",
        "ending",
        "glissando",
        "octave-shift",
        "pedal",
        "slide",
        "slur",
        "tied",
        "wavy-line",
    }
    | {"wedge"}
)
"""Elements that begin in one place and end in another, by their `type`."""

ENDS = frozenset({"stop", "discontinue"})
GOES_ON = frozenset({"continue", "change", "let-ring"})
SAME = frozenset({"time"})
"""What is not drawn anew where a chunk begins."""


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some bars in a row: the first and the last of its note elements, counted from 1, and its document."""

    first: int
    last: int
    sheet: SheetXml


def sheet_chunks(
    reading: ScoreReading, bars: str | None = None, room: RoomUnderNotes | None = None
) -> tuple[Chunk, ...]:
    """The part that was read in chunks; one where it is short. Raises ScoreError for bars not there."""
    whole = sheet_bars(reading, bars, room)
    total = sum(_count(measure) for measure in whole.measures)
    ends = [len(whole.measures)] if total <= LONGEST_WHOLE else list(_ends(whole.measures))
    return tuple(_chunks(whole, ends, reading.part.index))


def _chunks(whole: SheetBars, ends: Iterable[int], part: int) -> Iterator[Chunk]:
    state, start, last = whole.state, 0, 0
    for end in ends:
        bars = whole.measures[start:end]
        carried = bars[0] if start else None
        names = [note.attributes["id"] for bar in bars for note in bar.all("note")]
        if carried is not None:
            state.into(carried, unseen=SAME)
        for bar in bars:
            state.meet(bar)
        ordinals = [int(name.removeprefix(f"P{part}-n")) for name in names]
        first, last = (ordinals[0], ordinals[-1]) if ordinals else (last + 1, last)
        yield Chunk(first, last, whole.sheet(bars))
        start = end


def _count(measure: Element) -> int:
    return sum(1 for _ in measure.all("note"))


def _ends(measures: Sequence[Element]) -> Iterator[int]:
    """The bars after which a chunk ends, as how many bars are done then."""
    spanning, notes = _Spanning(), 0
    for done, measure in enumerate(measures, start=1):
        notes += _count(measure)
        spanning.meet(measure)
        if done == len(measures):
            yield done
        elif notes >= CHUNK_NOTES and not spanning.open and not _joined(measure, measures[done]):
            notes = 0
            yield done


def _joined(before: Element, after: Element) -> bool:
    return is_empty(before, first=True) and is_empty(after, first=False)


class _Spanning:
    """How many of each kind of spanner are open."""

    def __init__(self) -> None:
        self._open: dict[tuple[str, str], int] = {}

    @property
    def open(self) -> bool:
        """Whether anything is drawn on to the next bar."""
        return any(self._open.values())

    def meet(self, element: Element) -> None:
        """Count what begins and ends in an element."""
        if element.name in SPANNERS and (kind := element.attributes.get("type", "")) not in GOES_ON:
            number = "" if element.name == "tied" else element.attributes.get("number", "1")
            key = element.name, number
            self._open[key] = max(0, self._open.get(key, 0) + (-1 if kind in ENDS else 1))
        for child in element.children:
            self.meet(child)
