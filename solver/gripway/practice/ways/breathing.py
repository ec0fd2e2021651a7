"""Which lines of a passage have no rest for a breath for longer than one lasts, and which slurs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, last_bar
from gripway.practice.ways.whole_passage import goes_on, rest_after

SIP_MS, GIVEN_SHARE = 150.0, 0.25
"""A rest so long is enough for a breath with so much of the note before it, which ends early (judgement)."""

REPEATED_SHARE = 0.6
"""In a line of so many repeated notes one of them is left out for a breath (judgement)."""


@dataclass(frozen=True, slots=True)
class LongLine:
    """A line without a rest: its bars, how long it lasts at the tempo of the part, first and last note.

    `slur` is the longest slur in it where that outlasts a breath, too; `repeats` that most of its notes are
    the one before once more.
    """

    bars: tuple[str, str]
    lasts_s: float
    ends: tuple[int, int] = (0, 0)
    slur: "LongLine | None" = None
    repeats: bool = False


def long_lines(notes: Sequence[Note], figures: PracticeFigures) -> tuple[LongLine, ...]:
    """The lines without a rest that last longer than `breath_most_s`; what is written once comes once.

    Not one held note by itself: no breath is asked within it.
    """
    found: list[LongLine] = []
    met: set[str] = set()
    for line in _lines(notes, figures):
        first, last = line.ends
        long = first < last and line.lasts_s > figures.breath_most_s
        if long and notes[first].id not in met:
            found.append(replace(line, slur=_long_slur(notes, first, last, figures)))
        met |= {note.id for note in notes[first : last + 1]}
    return tuple(found)


def outlasts_a_breath(notes: Sequence[Note], share: float, figures: PracticeFigures) -> bool:
    """Whether some notes at a share of their tempo have a line without a rest that lasts too long."""
    return any(line.lasts_s > figures.breath_most_s * share for line in _lines(notes, figures, share))


def _lines(notes: Sequence[Note], figures: PracticeFigures, share: float = 1.0) -> Iterator[LongLine]:
    """The notes from rest to rest; a rest is one for a breath at a share of the tempo."""
    first = 0
    for last in range(len(notes)):
        on = last + 1 < len(notes) and goes_on(notes, last, last + 1)
        if on and not _is_breath(notes, last, share, figures):
            continue
        yield _line(notes, first, last)
        first = last + 1


def _is_breath(notes: Sequence[Note], place: int, share: float, figures: PracticeFigures) -> bool:
    """Whether the rest after a note is a breath at a share of the tempo, or one with a part of the note."""
    rest_ms = rest_after(notes, place) / share
    given_ms = GIVEN_SHARE * notes[place].length_ms / share if rest_ms >= SIP_MS else 0.0
    return rest_ms + given_ms >= figures.breath_rest_ms


def _line(notes: Sequence[Note], first: int, last: int) -> LongLine:
    lasts_ms = notes[last].onset_ms + notes[last].length_ms - notes[first].onset_ms
    bars = notes[first].bar, last_bar(notes[last])
    return LongLine(bars, lasts_ms / 1000, (first, last), repeats=_repeats(notes[first : last + 1]))


def _repeats(notes: Sequence[Note]) -> bool:
    """Whether most of some notes are the one before once more, tongued."""
    again = sum(one.pitch == other.pitch and not other.slurred for one, other in pairwise(notes))
    return again > REPEATED_SHARE * (len(notes) - 1)


def _long_slur(notes: Sequence[Note], first: int, last: int, figures: PracticeFigures) -> LongLine | None:
    """The longest slur of a line, if it outlasts a breath."""
    begins = [place for place in range(first, last + 1) if place == first or not notes[place].slurred]
    ends = [place - 1 for place in begins[1:]] + [last]
    slurs = (_line(notes, *each) for each in zip(begins, ends, strict=True))
    longest = max(slurs, key=lambda slur: slur.lasts_s)
    return longest if longest.lasts_s > figures.breath_most_s else None


def breath_words(lines: Sequence[LongLine], most: int, told_of: str = "") -> str:
    """`bars 408 to 431: no rest for a breath in 23 s; ...`, of no more than so many lines, the longest.

    Where more are as long as the last of those, `all through, no rest for a breath in 21 to 34 s`. `told_of`
    is what the seconds are told of (` at this tempo`).
    """
    by_length = sorted(lines, key=lambda line: -line.lasts_s)
    longest = by_length[:most]
    seconds = [round(line.lasts_s) for line in by_length]
    if len(seconds) > most and seconds[most] == seconds[most - 1]:
        ends = dict.fromkeys(str(each) for each in (seconds[-1], seconds[0]))
        return f"all through, no rest for a breath in {' to '.join(ends)} s{told_of}"
    return "; ".join(_told(line, told_of) for line in lines if line in longest)


def _told(line: LongLine, told_of: str) -> str:
    told = f"no rest for a breath in {line.lasts_s:.0f} s{told_of}"
    told = f"{_bars(line)}: {told}" if line.bars[0] else told
    if line.repeats:
        return f"{told}: leave out one of the repeated notes, two players by turns"
    if line.slur is None:
        return told
    slur = f"the slur of {_bars(line.slur)}" if line.bars[0] else "the longest slur"
    return f"{told}, {slur} lasts {line.slur.lasts_s:.0f} s: break it where that is least heard"


def _bars(line: LongLine) -> str:
    first, last = line.bars
    return f"bar{'s' * (first != last)} {first}{f' to {last}' * (first != last)}"
