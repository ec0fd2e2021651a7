"""Where the music grows or fades for long, by hairpins and words such as cresc., on to what it arrives at."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import CRESCENDO, DYNAMICS, Note, bar_length, rest_between
from gripway.practice.ways.around import Ends
from gripway.practice.ways.phrase_ends import from_upbeat, to_arrival
from gripway.practice.ways.way_conditions import QUIET, is_expressive
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after
from gripway.score.reading.expression_words import COURSE, courses_of, is_growing, kind_of

LEAST_BARS = 2
"""What grows or fades for so many bars is worked on (judgement)."""

FADES_TO = 88
"""What fades up to a soft note from E6 on is worked on however short it is (judgement)."""

LEAST_HAIRPINS = 3
"""So are so many hairpins that come one after another (judgement)."""

MARK_BARS = 24
"""A mark so many bars after a word is what it leads to (judgement)."""

WORD_BARS = 8
"""Without a mark after it a word holds to the end of the passage where so few bars are left (judgement)."""

BETWEEN = ("mp", "mf")
"""Neither soft nor loud."""

JOINED_BARS = 8
"""What grows and fades with a rest or plain notes between is joined to so many bars at most (judgement)."""


SOFT_SHARE = 0.75
"""A note that grows no sooner than after so much of it is as soft as it began (judgement)."""


@dataclass(frozen=True, slots=True)
class Swell:
    """What grows or fades: its first and last note, and the one it arrives at; how many hairpins it has."""

    first: int
    last: int
    arrives: int
    hairpins: int


def swells(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Ends, ...]:
    """First and last notes of bars that grow or fade: what grows first, the longest of all.

    They begin with the bar of the level that the music comes from, where that is near, and end with that of
    the note it arrives at.
    """
    found: list[Ends] = []
    met: set[str] = set()
    up: set[Ends] = set()
    for swell in _joined(notes, [*_of_hairpins(notes), *_of_words(notes, figures)]):
        within = notes[swell.first : swell.last + 1]
        work = _is_work(swell, within) or _fades_up(notes, swell)
        if not met & {note.id for note in within} and work:
            begin = _begin(notes, swell.first)
            begin = from_upbeat(notes, begin) if notes[begin].slurred else begin
            found.append((begin, _end(notes, swell.arrives)))
            up |= {found[-1]} if _fades_up(notes, swell) else set()
        met |= {note.id for note in within}

    def exposed(ends: Ends) -> tuple[bool, bool, Fraction, int]:
        within = notes[ends[0] : ends[1] + 1]
        first = grows_and_fades(notes, ends)[0] or ends in up
        return not first, not is_expressive(within), -_bars_of(within), ends[0]

    return tuple(sorted(dict.fromkeys(found), key=exposed))


def grows_and_fades(notes: Sequence[Note], ends: Ends) -> tuple[bool, bool]:
    """Whether some bars grow, and whether they fade, by the hairpins and words that stand there.

    What begins with the last note and goes on after it is for the next bars.
    """
    within, last = notes[ends[0] : ends[1]], notes[ends[1]]
    turns = {pin.kind == CRESCENDO for note in within for pin in note.hairpins}
    turns |= {is_growing(word) for note in within for _, word in courses_of(note)}
    turns |= {pin.kind == CRESCENDO for pin in last.hairpins if pin.begins < 0 or pin.ends <= last.length}
    return True in turns, False in turns


def grown(notes: Sequence[Note]) -> list[bool]:
    """Whether each note is louder than its mark: more has grown than has faded since, or grows there."""
    found: list[bool] = []
    steps, counted = 0, set[tuple[str, Fraction]]()
    for place, note in enumerate(notes):
        if note.dynamic_mark or (place and not goes_on(notes, place - 1, place)):
            steps = 0
        pins = {(pin.kind, note.onset + pin.begins) for pin in note.hairpins}
        turns = [kind == CRESCENDO for kind, _ in pins - counted]
        turns += [is_growing(word) for _, word in courses_of(note)]
        begun = any(kind == CRESCENDO and onset < note.onset for kind, onset in pins)
        found.append(not note.dynamic_mark and (begun or steps > 0))
        counted |= pins
        steps += sum(1 if grows else -1 for grows in turns)
        if not note.dynamic_mark and _level(note):
            steps = 0
    return found


def grows(note: Note) -> bool:
    """Whether a word such as cresc. stands at a note or under it, earlier than at its end."""
    return any(is_growing(word) for at, word in courses_of(note) if at < SOFT_SHARE * note.length)


def _has_course(note: Note) -> bool:
    return any(kind_of(word) == COURSE for word in note.words)


def _level(note: Note) -> str:
    """The level that is printed at a note or under it; empty for none."""
    under = (each for _, said in reversed(note.during) for each in said.split() if each in DYNAMICS)
    return next(under, note.dynamic if note.dynamic_mark else "")


def _of_hairpins(notes: Sequence[Note]) -> list[Swell]:
    """Each hairpin, to the note that comes next or, within a bar, to the next mark."""
    ends: dict[tuple[str, Fraction, Fraction], Ends] = {}
    for place, note in enumerate(notes):
        for pin in note.hairpins:
            key = pin.kind, note.onset + pin.begins, note.onset + pin.ends
            ends[key] = ends.get(key, (place, place))[0], place
    return [Swell(first, last, _after(notes, last), 1) for first, last in ends.values()]


def _after(notes: Sequence[Note], last: int) -> int:
    """The note a hairpin arrives at: the first mark within a bar, else the next note where no rest comes."""
    place, bar = last + 1, bar_length(notes[last])
    end = notes[last].onset + notes[last].length
    while place < len(notes) and goes_on(notes, place - 1, place) and notes[place].onset - end <= bar:
        if _level(notes[place]):
            return place
        if notes[place].hairpins or _has_course(notes[place]):
            break
        place += 1
    nxt = last + 1 < len(notes) and goes_on(notes, last, last + 1)
    return last + 1 if nxt and rest_between(notes[last], notes[last + 1]) <= 0 else last


def _of_words(notes: Sequence[Note], figures: PracticeFigures) -> list[Swell]:
    """Each word, to the level it leads to; none where that is not told."""
    found = []
    for place, note in enumerate(notes):
        for at, word in courses_of(note):
            arrives = _reached(notes, place, at, figures, grows=is_growing(word))
            if arrives is not None:
                last = arrives - (arrives > place and bool(_level(notes[arrives])))
                found.append(Swell(place, last, arrives, 0))
    return found


def _reached(
    notes: Sequence[Note], place: int, at: Fraction, figures: PracticeFigures, *, grows: bool
) -> int | None:
    """The note a word leads to: with the next mark, or where a hairpin or a word turns the other way.

    Where the mark is no louder (softer) the music breathes before it, at the first long rest there is, or is
    soft at once. Without a mark it holds to the end of the notes, where that is near.
    """
    bar = bar_length(notes[place])
    pause: int | None = None
    for each in range(place + 1, len(notes)):
        note = notes[each]
        far = note.onset - notes[place].onset > MARK_BARS * bar
        if (
            far
            or not goes_on(notes, each - 1, each)
            or rest_after(notes, each - 1) > figures.rest_most_s * 1000
        ):
            return each - 1 if not far else pause
        if pause is None and 2 * rest_between(notes[each - 1], note) >= bar:
            pause = each - 1
        if level := _level(note):
            return each if _leads(notes[place], level, grows=grows) or pause is None else pause
        turns = [pin.kind == CRESCENDO for pin in note.hairpins if pin.begins >= 0]
        turns += [is_growing(word) for _, word in courses_of(note)]
        if (not grows) in turns:
            return each
    last = len(notes) - 1
    return last if notes[last].onset - notes[place].onset <= WORD_BARS * bar else pause


def _leads(note: Note, level: str, *, grows: bool) -> bool:
    """Whether a word at a note leads to a level: a louder (softer) one, or as loud as f, as soft as p again.

    Where nothing is known of the level of the note it does.
    """
    if not (note.dynamic_sure or note.dynamic_mark) or note.dynamic not in DYNAMICS:
        return True
    step = DYNAMICS.index(level) - DYNAMICS.index(note.dynamic)
    if not step:
        return level not in BETWEEN and grows is (level not in QUIET)
    return grows is (step > 0)


def _joined(notes: Sequence[Note], found: Sequence[Swell]) -> list[Swell]:
    """What follows on each other as one: where one arrives the next begins, or no more than a bar later."""
    joined: list[Swell] = []
    for each in sorted(found, key=lambda swell: (swell.first, swell.last)):
        before = joined[-1] if joined else None
        if before and (each.first <= before.arrives or _is_near(notes, before, each)):
            last, arrives = max(before.last, each.last), max(before.arrives, each.arrives)
            joined[-1] = Swell(before.first, last, arrives, before.hairpins + each.hairpins)
        else:
            joined.append(each)
    return joined


def _is_near(notes: Sequence[Note], one: Swell, other: Swell) -> bool:
    """Whether there is no more than a bar between two, and both are short together."""
    between = rest_between(notes[one.last], notes[other.first])
    short = _bars_of(notes[one.first : other.arrives + 1]) <= JOINED_BARS
    on = all(goes_on(notes, at, at + 1) for at in range(one.last, other.first))
    return short and on and between <= bar_length(notes[one.last])


def _begin(notes: Sequence[Note], first: int) -> int:
    """The bar of the first note; that before, if the level the music comes from is printed there."""
    begin = bar_of(notes, first)[0]
    if any(_level(note) for note in notes[begin : first + 1]):
        return begin
    if not begin or not goes_on(notes, begin - 1, begin):
        return begin
    before = bar_of(notes, begin - 1)
    near = notes[begin].onset - notes[before[0]].onset <= 2 * bar_length(notes[begin])
    marked = any(_level(note) for note in notes[before[0] : before[1] + 1])
    return before[0] if near and marked else begin


def _end(notes: Sequence[Note], arrives: int) -> int:
    """The note it arrives at, where a rest comes or it fills its bar; else its bar, to the phrase end.

    Its bar is the next one where the level stands there, under the note that is held.
    """
    note, end = notes[arrives], bar_of(notes, arrives)[1]
    under = [at for at, said in note.during if {*said.split()} & {*DYNAMICS}]
    if note.metre and any(note.at + at >= bar_length(note) for at in under) and arrives + 1 < len(notes):
        return bar_of(notes, arrives + 1)[1]
    if arrives < end and rest_between(*notes[arrives : arrives + 2]) > 0:
        return arrives
    if note.at:
        return to_arrival(notes, end)
    if 2 * note.length >= bar_length(note):
        return arrives
    over = end + 1 < len(notes) and notes[end + 1].slurred
    return to_arrival(notes, end) if over else end


def _is_work(swell: Swell, within: Sequence[Note]) -> bool:
    """Whether some notes grow or fade for long enough, or often enough, over more than one note."""
    long = _bars_of(within) >= LEAST_BARS or swell.hairpins >= LEAST_HAIRPINS
    return len(within) > 1 and long


def _fades_up(notes: Sequence[Note], swell: Swell) -> bool:
    """Whether some notes fade while they rise to a high one that is soft: it is risky to get there."""
    last = notes[swell.arrives]
    soft = last.dynamic_mark in QUIET and last.pitch.number >= FADES_TO
    rises = last.pitch.number > notes[swell.last].pitch.number > notes[swell.first].pitch.number
    return soft and rises and grows_and_fades(notes, (swell.first, swell.arrives)) == (False, True)


def _bars_of(within: Sequence[Note]) -> Fraction:
    """How long notes last, in bars."""
    return (within[-1].onset + within[-1].length - within[0].onset) / bar_length(within[0])
