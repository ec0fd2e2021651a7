"""Bars of the passage as they stand in the part: what a page has room to print of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from gripway.errors import RequestError
from gripway.model.passage import (
    BarMetre,
    Note,
    Passage,
    bar_length,
    bars_held,
    last_bar,
    metre_of_bar,
    rest_from,
)
from gripway.model.tempo import Metre
from gripway.practice.cells.short_passages import words_at_beginning
from gripway.practice.drills.held_dynamic import is_dynamic_told
from gripway.score.writing.bar_filling import fill_bars

SHORTER = 0.75
"""Each excerpt has this share of the bars of the one before it."""


@dataclass(frozen=True, slots=True)
class EmptyBars:
    """So many empty bars of a metre; one that is `short` has that length."""

    count: int
    metre: Metre
    short: Fraction | None = None

    @property
    def length(self) -> Fraction:
        """What they last, in whole notes."""
        return self.count * (self.short or Fraction(*self.metre))


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Whole bars of a part in one metre: notes from the first bar line on, index of the first.

    Its last bar is that in which its last note ends, as `short` as that where the part goes on there. Where
    it `follows` the one before it, past a change of metre, empty bars between the two are `rests_before`
    (its notes begin after them) or `rests_after` that one, and those of other metres and lengths stand
    `between`. Its last bar has the length `short` where that is less than its metre, as an upbeat is. Where
    it `has_held`, its first note is the rest of one that is held over into its first bar; `first` is the
    note after it.
    """

    first: int
    passage: Passage
    metre: tuple[int, int]
    rests_before: int = 0
    rests_after: int = 0
    between: tuple[EmptyBars, ...] = ()
    follows: bool = False
    short: Fraction | None = None
    has_held: bool = False

    @property
    def bars(self) -> tuple[str, str]:
        """The numbers of its first and its last bar that are not empty."""
        return self.passage.notes[0].bar, last_bar(self.passage.notes[-1])


def with_held(held: Note, found: Sequence[Excerpt]) -> tuple[Excerpt, ...]:
    """Excerpts, that of the first note of all with the rest of a note that is held over into its bar.

    It may have bars of its own before that. Nothing tells its dynamic: it has that of the first note, as sure
    as that one is.
    """
    return tuple(
        _with_held(held, each) if not each.first and not each.rests_before else each for each in found
    )


def _with_held(held: Note, excerpt: Excerpt) -> Excerpt:
    head = excerpt.passage.notes[0]
    before = int(head.bar) - int(held.bar) if head.bar.isdecimal() and held.bar.isdecimal() else 0
    later = before * Fraction(*excerpt.metre)
    notes = (replace(note, onset=note.onset + later) for note in excerpt.passage.notes)
    return replace(excerpt, passage=Passage((_as_loud(held, head), *notes)), has_held=True)


def excerpts(
    notes: Sequence[Note],
    first: int,
    last: int,
    place: int,
    metres: Sequence[BarMetre] = (),
    *,
    rests_follow: bool = False,
) -> Iterator[tuple[Excerpt, ...]]:
    """Excerpts of `first` to `last`: first all bars, then those around a note, ever fewer, down to its own.

    Bars are in several excerpts where the metre changes or repeats stand between them; a note that is tied
    over into another metre stands in both, the rest of it as the first note of the second. None where bars
    have no numbers or metre; bars that cannot be written are left out. Rests stay, however long. A note that
    is held over into the first bar stands there with what is left of it; one that is held on after the last
    stands there to its end, and the page ends with it (after the last note of all only rests may be known to
    follow in its bar: `rests_follow`). `metres` are those of the part, by the bars from which they hold: the
    only word of those of empty bars.
    """
    runs = list(_runs(notes, list(_bars(notes, first, last))))
    there = next((number for number, run in enumerate(runs) if run[-1][1] >= place), 0)
    for count in range(len(runs), 1, -1):
        start = min(max(0, there - (count - 1) // 2), len(runs) - count)
        found = [
            _excerpt(
                notes,
                run[0][0],
                run[-1][1],
                begins=not number,
                ends=number + 1 == count,
                rests_follow=rests_follow,
            )
            for number, run in enumerate(runs[start : start + count])
        ]
        if written := {_ids(each): each for each in reversed(found) if each}:
            yield tuple(_joined(notes, tuple(reversed(written.values())), metres))
    bars = runs[there]
    own = next((number for number, (_, end) in enumerate(bars) if end >= place), 0)
    count = len(bars)
    while count:
        start = min(max(0, own - (count - 1) // 2), len(bars) - count)
        ends = bars[start][0], bars[start + count - 1][1]
        if made := _excerpt(notes, *ends, rests_follow=rests_follow):
            yield (made,)
        count = int(count * SHORTER)


def _as_loud(held: Note, first: Note) -> Note:
    """A note that is held over, in the dynamic that holds before the first one is played."""
    level = first.stress.level if first.stress else first.dynamic
    return replace(held, dynamic=level, dynamic_sure=first.dynamic_sure and not first.dynamic_mark)


def whole_bars(notes: Sequence[Note], first: int, last: int) -> tuple[int, int]:
    """First and last of some notes with the rest of their bars."""

    def same(one: Note, other: Note) -> bool:
        return bool(one.bar) and (one.bar, one.time_through) == (other.bar, other.time_through)

    while first > 0 and same(notes[first - 1], notes[first]):
        first -= 1
    while last + 1 < len(notes) and same(notes[last], notes[last + 1]):
        last += 1
    return first, last


def is_cut(notes: Sequence[Note], at: int) -> bool:
    """Whether the note before one still sounds in its bar."""
    if not 0 < at < len(notes):
        return False
    before, note = notes[at - 1], notes[at]
    there = note.onset - note.at
    return before.time_through == note.time_through and before.onset < there < before.onset + before.length


def held_into(notes: Sequence[Note], at: int) -> Note:
    """What is left of the note before one, held over into its bar: tied in, as loud as that one begins."""
    return _as_loud(replace(_rest_of(notes, at), held_over=True), notes[at])


def _joined(notes: Sequence[Note], found: Sequence[Excerpt], metres: Sequence[BarMetre]) -> Iterator[Excerpt]:
    """Excerpts with the empty bars between those that follow one another."""
    following = [_empty_bars(notes, one, other, metres) for one, other in pairwise(found)]
    for each, before, after in zip(found, (None, *following), (*following, None), strict=True):
        joined = replace(each, rests_after=after.first) if after else each
        if before and is_cut(notes, each.first):
            yield _held_over(notes, joined)
        else:
            slurred = notes[each.first].slurred
            yield _begun_later(joined, before, slurred=slurred) if before else joined


def _held_over(notes: Sequence[Note], excerpt: Excerpt) -> Excerpt:
    """An excerpt that follows the one before it and begins with the rest of its last note."""
    own, *others = excerpt.passage.notes
    head = notes[excerpt.first]
    held = replace(_rest_of(notes, excerpt.first), slurred=notes[excerpt.first - 1].slurred or head.slurred)
    line = (held, replace(own, slurred=head.slurred), *others)
    return replace(excerpt, first=excerpt.first - 1, passage=Passage(line), follows=True)


def _rest_of(notes: Sequence[Note], at: int) -> Note:
    """What is left of the note before one where the bar of that begins."""
    head = notes[at]
    return rest_from(notes[at - 1], head.onset - head.at, head.bar, head.metre)


def _begun_later(excerpt: Excerpt, empty: "_Empty", *, slurred: bool) -> Excerpt:
    """An excerpt that follows the one before it after empty bars; perhaps under one slur."""
    passed = empty.last * Fraction(*excerpt.metre)
    own, *others = (replace(note, onset=note.onset + passed) for note in excerpt.passage.notes)
    later = Passage((replace(own, slurred=slurred), *others))
    return replace(excerpt, passage=later, rests_before=empty.last, between=empty.between, follows=True)


@dataclass(frozen=True, slots=True)
class _Empty:
    """Empty bars between two excerpts: how many in the metre of the first, of others, and of the last."""

    first: int
    between: tuple[EmptyBars, ...]
    last: int


def _empty_bars(
    notes: Sequence[Note], one: Excerpt, other: Excerpt, metres: Sequence[BarMetre]
) -> _Empty | None:
    """The empty bars between an excerpt and the next; None where that does not follow it."""
    last, head = one.first + len(one.passage.notes) - one.has_held - 1, notes[other.first]
    numbers = (one.bars[1], other.bars[0])
    if not all(map(str.isdecimal, numbers)) or notes[last].time_through != head.time_through:
        return None
    runs = list(_silent(metres, range(int(numbers[0]) + 1, int(numbers[1])), one.metre))
    if sum(each.length for each in runs) != head.onset - head.at - _end(notes, last):
        return None
    before = runs.pop(0).count if runs and runs[0] == EmptyBars(runs[0].count, one.metre) else 0
    after = runs.pop().count if runs and runs[-1] == EmptyBars(runs[-1].count, other.metre) else 0
    return _Empty(before, tuple(runs), after)


def _silent(metres: Sequence[BarMetre], numbers: range, metre: Metre) -> Iterator[EmptyBars]:
    """Empty bars with their metres (`metre` where nothing tells), each short one by itself."""
    bars = [metre_of_bar(metres, number) for number in numbers]
    kinds = [(each.metre, each.length) if each else (metre, Fraction(*metre)) for each in bars]
    for (own, length), run in groupby(kinds):
        count = len(list(run))
        if length == Fraction(*own):
            yield EmptyBars(count, own)
        else:
            yield from [EmptyBars(1, own, length)] * count


def _ids(excerpt: Excerpt) -> tuple[str, ...]:
    """The written notes of an excerpt: the same for bars that are repeated, which are printed once."""
    return tuple(note.id for note in excerpt.passage.notes)


def _runs(notes: Sequence[Note], bars: Sequence[tuple[int, int]]) -> Iterator[list[tuple[int, int]]]:
    """Bars that go on without a change of metre or a repeat between them."""
    run = [bars[0]]
    for bar in bars[1:]:
        if not _goes_on(notes, run[-1], bar):
            yield run
            run = []
        run.append(bar)
    yield run


def _bars(notes: Sequence[Note], first: int, last: int) -> Iterator[tuple[int, int]]:
    """First and last note of each bar, one after another; of several that a tie holds together."""
    start = first
    for one, other in pairwise(range(first, last + 1)):
        parted = notes[one].bar != notes[other].bar and not _is_held_into_bar_of(notes[one], notes[other])
        if parted or notes[one].time_through != notes[other].time_through:
            yield start, one
            start = other
    yield start, last


def _is_held_into_bar_of(note: Note, after: Note) -> bool:
    """Whether a note still sounds where the bar of a later one begins, whole bars of the same metre on."""
    passed = after.onset - after.at - (note.onset - note.at)
    whole = note.metre == after.metre and (not note.metre or passed % Fraction(*note.metre) == 0)
    return whole and note.onset + note.length > after.onset - after.at


def _goes_on(notes: Sequence[Note], bar: tuple[int, int], after: tuple[int, int]) -> bool:
    """Whether a bar follows another in the same metre, perhaps after empty ones, with no repeat between."""
    one, other = notes[bar[0]], notes[after[0]]
    if not one.metre or one.metre != other.metre or one.time_through != other.time_through:
        return False
    passed = (other.onset - other.at - (one.onset - one.at)) / Fraction(*one.metre)
    counted = int(other.bar) - int(one.bar) if one.bar.isdecimal() and other.bar.isdecimal() else passed
    return passed.denominator == 1 and passed >= 1 and passed == counted


def _is_held_into(notes: Sequence[Note], last: int) -> bool:
    """Whether a note ends within a bar after its own in which the part goes on (or may, after the last)."""
    note = notes[last]
    if last + 1 < len(notes):
        return is_cut(notes, last + 1)
    return bars_held(note) > 1 and (note.at + note.length) % bar_length(note) > 0


def _end(notes: Sequence[Note], last: int) -> Fraction:
    """The end of the bar in which a note ends, but no later than the next note's bar begins."""
    note = notes[last]
    end = note.onset - note.at + bars_held(note) * Fraction(*(note.metre or (0, 1)))
    after = notes[last + 1] if last + 1 < len(notes) else None
    if after and after.time_through == note.time_through and after.onset - after.at > note.onset:
        return min(end, after.onset - after.at)
    return end


def _excerpt(
    notes: Sequence[Note],
    first: int,
    last: int,
    *,
    begins: bool = True,
    ends: bool = True,
    rests_follow: bool = False,
) -> Excerpt | None:
    """Notes as an excerpt; None where they cannot be written.

    The first one on a page `begins` with the words that hold there; the last one `ends` with its last note
    where that is held into a bar in which the part goes on.
    """
    head, metre = notes[first], notes[first].metre
    if not metre or not head.bar:
        return None
    start, end = head.onset - head.at, _end(notes, last)
    if ends and _is_held_into(notes, last) and not (rests_follow and last + 1 == len(notes)):
        end = notes[last].onset + notes[last].length
    shown = [
        replace(
            note,
            onset=note.onset - start,
            length=min(note.length, end - note.onset),
            slurred=note.slurred and place > first,
            words=words_at_beginning(note) if begins and place == first else note.words,
            during=tuple(each for each in note.during if note.onset + each[0] < end),
            dynamic_sure=note.dynamic_sure and (place > first or is_dynamic_told(notes, first)),
        )
        for place, note in enumerate(notes[first : last + 1], start=first)
    ]
    try:
        fill_bars(shown, Fraction(*metre))
    except RequestError:
        return None
    short = (end - start) % Fraction(*metre)
    excerpt = Excerpt(first, Passage(tuple(shown)), metre, short=short or None)
    if not begins or not is_cut(notes, first):
        return excerpt
    line = (held_into(notes, first), replace(shown[0], slurred=head.slurred), *shown[1:])
    return replace(excerpt, passage=Passage(line), has_held=True)
