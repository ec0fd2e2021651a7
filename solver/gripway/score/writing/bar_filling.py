"""A passage cut into bars: notes and rests as printed values, tied over bar lines and inside bars."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.model.passage import Note
from gripway.score.writing.note_values import NoteValue, is_plain, rest_values_of, tuplet_of, values_of

THREE_EIGHTHS = Fraction(3, 8)

GRACE_VALUE = NoteValue(Fraction(1, 8))
"""What a grace note is printed as."""


@dataclass(frozen=True, slots=True)
class PrintedNote:
    """One printed note or rest at its place in a bar (whole notes from the bar line).

    `index` is the note of the passage it belongs to, None for a rest. `first` and `last` tell
    whether the note begins and ends here; between them it is tied. `whole_bar` is a rest that
    fills its bar.
    """

    at: Fraction
    value: NoteValue
    index: int | None = None
    first: bool = True
    last: bool = True
    grace: bool = False
    whole_bar: bool = False

    @property
    def length(self) -> Fraction:
        """What it lasts; nothing for a grace note."""
        return Fraction(0) if self.grace else self.value.length


def fill_bars(
    notes: Sequence[Note],
    bar_length: Fraction,
    *,
    in_threes: bool = False,
    rests_after: int = 0,
    short: Fraction | None = None,
) -> list[list[PrintedNote]]:
    """The bars of a passage that begins on a bar line at onset 0; the last is filled with rests.

    Notes must not overlap (one that does is cut where the next begins), and lengths must be
    writable: RequestError of gripway.score.writing.note_values otherwise. Rests show the beats, which are
    dotted quarters in bars counted `in_threes`, as do notes. So many empty bars stand after the last
    (`rests_after`). A last bar that is `short`, as an upbeat is, has this length. Grace notes that end a bar
    of the part stand before the bar line.
    """
    bars: list[list[PrintedNote]] = [[]]
    now = Fraction(0)
    for index, note in enumerate(notes):
        if note.grace:
            place = max(now, note.onset)
            now = _lay(bars, bar_length, now, place, in_threes=in_threes)
            ends = bool(place) and place % bar_length == 0 and note.at == bar_length
            bar = bars[-1] if ends else _bar_at(bars, bar_length, place)
            bar.append(
                PrintedNote(bar_length if ends else place % bar_length, GRACE_VALUE, index, grace=True)
            )
            continue
        rest = now, max(now, note.onset)
        for cut in (*_tuplet_edges(notes, (index - 1, index), rest, bar_length), rest[1]):
            now = _lay(bars, bar_length, now, cut, in_threes=in_threes)
        following = notes[index + 1].onset if index + 1 < len(notes) else None
        end = note.onset + note.length
        end = end if following is None or following >= end else max(following, now)
        whole = now, end
        for cut in (*_tuplet_edges(notes, (index - 1, index + 1), whole, bar_length), end):
            now = _lay(bars, bar_length, now, cut, index, whole, in_threes=in_threes)
    end = (-(-now // bar_length) + rests_after) * bar_length
    if short is not None:
        end = max(0, -(-now // bar_length) - 1) * bar_length + short
    _lay(bars, bar_length, now, end, in_threes=in_threes)
    return [[_as_whole_bar(bar[0])] if len(bar) == 1 and _fills(bar[0], bar_length) else bar for bar in bars]


def _tuplet_edges(
    notes: Sequence[Note], beside: tuple[int, int], ends: tuple[Fraction, Fraction], bar_length: Fraction
) -> Iterator[Fraction]:
    """Where a note that is tied out of a tuplet or into one, or a rest there, is cut.

    That is after the tuplet of the note before it, and before that of the note after, which are `beside` it.
    """
    begin, end = ends
    for other, edge, after in zip(beside, ends, (True, False), strict=True):
        length = notes[other].length if 0 <= other < len(notes) else Fraction(0)
        wide = length * tuplet_of(length)
        if is_plain(edge) or is_plain(length) or not is_plain(wide):
            continue
        place = edge - edge % bar_length % wide + wide * after
        if begin < place < end:
            yield place


def _fills(printed: PrintedNote, bar_length: Fraction) -> bool:
    return printed.index is None and printed.value.length == bar_length


def _as_whole_bar(printed: PrintedNote) -> PrintedNote:
    return replace(printed, whole_bar=True)


def _bar_at(bars: list[list[PrintedNote]], bar_length: Fraction, at: Fraction) -> list[PrintedNote]:
    """The bar a time lies in; bars are added up to it."""
    number = int(at // bar_length)
    while len(bars) <= number:
        bars.append([])
    return bars[number]


def _lay(
    bars: list[list[PrintedNote]],
    bar_length: Fraction,
    start: Fraction,
    end: Fraction,
    index: int | None = None,
    whole: tuple[Fraction, Fraction] | None = None,
    *,
    in_threes: bool = False,
) -> Fraction:
    """Print one note (or a rest, without an index) from `start` to `end`; gives `end`.

    Of a note that is printed in parts `whole` is where it begins and ends.
    """

    def values(at: Fraction, length: Fraction) -> list[NoteValue]:
        if length == bar_length:
            return values_of(at, length)
        if index is None:
            return rest_values_of(at, length, in_threes)
        cut = _in_its_beat(at, length) if in_threes else length
        return values_of(at, cut) + (values(at + cut, length - cut) if cut < length else [])

    begins, ends = whole or (start, end)
    for at, value in _pieces(bar_length, start, end, values):
        printed = PrintedNote(
            at % bar_length, value, index, first=at == begins, last=at + value.length == ends
        )
        _bar_at(bars, bar_length, at).append(printed)
    return max(start, end)


def _in_its_beat(at: Fraction, length: Fraction) -> Fraction:
    """How much of a note that is counted in threes is printed before it is tied on: to the end of a beat."""
    begun = at % THREE_EIGHTHS
    if begun + length <= THREE_EIGHTHS:
        return length
    return THREE_EIGHTHS - begun if begun else length // THREE_EIGHTHS * THREE_EIGHTHS


def _pieces(
    bar_length: Fraction,
    start: Fraction,
    end: Fraction,
    values: Callable[[Fraction, Fraction], list[NoteValue]],
) -> Iterator[tuple[Fraction, NoteValue]]:
    """Start and value of each printed piece of a stretch of time, cut at bar lines first."""
    at = start
    while at < end:
        bar_end = (at // bar_length + 1) * bar_length
        for value in values(at % bar_length, min(end, bar_end) - at):
            yield at, value
            at += value.length
