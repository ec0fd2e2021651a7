"""The pieces in which a passage is gone through: the bars that need it, and which of them a day takes."""

from collections.abc import Collection, Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.phrase_ends import HELD, NEW_SLUR, UPBEAT_REST_MS, from_upbeat, long_of, opening_of
from gripway.practice.ways.way_conditions import QUIET
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

SECTION_BARS = 2
"""Bars of a section: two are what a player keeps in mind (common practice)."""

LEAST_BARS = 2 * SECTION_BARS
"""Sections are of no fewer bars together: two at a time, then all four."""

LONG_REST_MS = 4000.0
"""Sections are not played over a rest as long as this: they begin and end with music (judgement)."""

PHRASE_MORE = 1.5
"""A phrase is not cut that has no more than so many times the pieces there is time for (judgement)."""

PHRASE_BARS = 10
"""A phrase of no more bars is gone through whole where a bar of it needs it (judgement)."""

LONE_NOTES = 2
"""So many notes beside a rest of a bar begin and end no section (judgement)."""

LEAST_NOTES = 8
"""A phrase with fewer notes between long rests is no work by itself (judgement)."""

MOVING_NOTES = 4
"""A bar with so much that moves needs work: a quick note counts twice, one from D6 on once (judgement)."""

THIRD_OCTAVE = 86
"""D6: the third octave begins."""

BUSY_SHARE = 0.2
"""A phrase of which less needs work is left to the passage (judgement)."""

GAP_BARS = 2
"""So many bars that are not wanted go with those around them (judgement)."""

HARD_NOTES = 8
"""A hard change counts as much as so many notes that move (judgement)."""

Piece = tuple[int, int]
"""First and last note of a bar."""


def pieces(notes: Sequence[Note]) -> list[Piece]:
    """The bars of a passage, each written bar once."""
    found: list[Piece] = []
    met: set[str] = set()
    place = 0
    while place < len(notes):
        first, last = bar_of(notes, place)
        if notes[first].id not in met:
            found.append((first, last))
        met.update(note.id for note in notes[first : last + 1])
        place = last + 1
    return found


def needs_of(
    bars: Sequence[Piece], hard: Collection[int], notes: Sequence[Note], figures: PracticeFigures
) -> list[int]:
    """How much each bar needs work: its notes that move quickly, or high up, and its hard changes.

    What is repeated, slow or low is read at sight. `hard` are the notes that hard changes lead to.
    """
    written = {notes[place].id for place in hard}

    def need(place: int) -> int:
        before, note = notes[place - 1] if place else None, notes[place]
        if before is None or note.grace or before.grace or not goes_on(notes, place - 1, place):
            return 0
        gap_ms = note.onset_ms - before.onset_ms
        if gap_ms > figures.study_slow_ms or note.pitch.number == before.pitch.number:
            return 0
        return 2 * (gap_ms <= figures.study_fast_ms) + (note.pitch.number >= THIRD_OCTAVE)

    return [
        sum(need(place) for place in range(first, last + 1))
        + HARD_NOTES * sum(note.id in written for note in notes[first : last + 1])
        for first, last in bars
    ]


def exposed(bars: Sequence[Piece], notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """How much each bar is heard: its slow notes of the third octave, those that are soft twice."""

    def counts(place: int) -> int:
        note = notes[place]
        quick = place and note.onset_ms - notes[place - 1].onset_ms <= figures.study_slow_ms
        high = note.pitch.number >= THIRD_OCTAVE and not (note.grace or quick)
        return high * (1 + (note.dynamic in QUIET))

    return [sum(map(counts, range(first, last + 1))) for first, last in bars]


def needing(
    needs: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note], apart: Collection[int] = ()
) -> list[tuple[int, ...]]:
    """The phrases that need sections, in groups without a long rest.

    So much of a phrase needs work as `BUSY_SHARE`; none has a piece of those `apart`.
    """
    numbers: list[int] = []
    for run in parted([each for each in range(len(bars)) if each not in apart], bars, notes):
        for phrase in _by_phrase(run, bars, notes):
            if is_busy([needs[number] for number in phrase]):
                numbers += _without_plain(phrase, needs, bars, notes)
    groups = (_without_lone(group, bars, notes) for group in parted(numbers, bars, notes))
    return [group for group in groups if _is_work(group, bars, notes)]


def is_busy(needs: Sequence[int]) -> bool:
    """Whether bars that need so much work each are a phrase that needs it."""
    busy = sum(need >= MOVING_NOTES for need in needs)
    return busy > 0 and busy >= BUSY_SHARE * len(needs)


def phrases(bars: Sequence[Piece], notes: Sequence[Note]) -> list[tuple[int, ...]]:
    """The bars of a passage in phrases."""
    runs = parted(range(len(bars)), bars, notes)
    return [phrase for run in runs for phrase in _by_phrase(run, bars, notes)]


def _without_plain(
    phrase: Sequence[int], needs: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]
) -> Sequence[int]:
    """A phrase without `LEAST_BARS` or more at its begin or end that need no work; no slur is cut."""
    busy = [at for at, number in enumerate(phrase) if needs[number] >= MOVING_NOTES]
    first = busy[0] if busy[0] >= LEAST_BARS and not notes[bars[phrase[busy[0]]][0]].slurred else 0
    after = max(busy[-1] + 1, first + LEAST_BARS)
    plain = len(phrase) - after >= LEAST_BARS and not notes[bars[phrase[after]][0]].slurred
    return phrase[first : after if plain else len(phrase)]


def _without_lone(run: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]) -> tuple[int, ...]:
    """A run of pieces without those at its ends that are few notes beside a rest of a bar or more."""

    def is_lone(number: int, joint: int) -> bool:
        first, last = bars[number]
        return last - first < LONE_NOTES and rest_between(*notes[joint : joint + 2]) >= bar_length(
            notes[joint]
        )

    first, last = run[0], run[-1]
    while first < last and is_lone(first, bars[first][1]):
        first += 1
    while last > first and is_lone(last, bars[last - 1][1]):
        last -= 1
    return tuple(range(first, last + 1))


def runs_in(group: Sequence[int], wanted: Collection[int]) -> list[tuple[int, ...]]:
    """Those pieces of a group that are wanted, with few others between two of them, each run wide enough."""
    found: list[tuple[int, ...]] = []
    for number in (each for each in group if each in wanted):
        if found and number <= found[-1][-1] + 1 + GAP_BARS:
            found[-1] = (*found[-1], *range(found[-1][-1] + 1, number + 1))
        else:
            found.append((number,))
    return [_widened(run, group) for run in found]


def _widened(group: Sequence[int], run: Sequence[int]) -> tuple[int, ...]:
    """Some pieces with those of a run beside them, up to `LEAST_BARS`: those after them first."""
    first, last = group[0], group[-1]
    while last - first + 1 < LEAST_BARS and (last < run[-1] or first > run[0]):
        if last < run[-1]:
            last += 1
        else:
            first -= 1
    return tuple(range(first, last + 1))


def run_of(
    group: Sequence[int],
    wanted: int,
    count: int,
    bars: Sequence[Piece],
    notes: Sequence[Note],
    *,
    among: Collection[int] = (),
    most: int = PHRASE_BARS,
) -> tuple[int, ...]:
    """The phrase of a group in which a piece is, with those after it that go into so many pieces together.

    Those are of pieces `among` what is wanted, too, where that is given. A phrase of more than `most` pieces
    is cut where something new may begin, under no slur.
    """
    parts = _by_phrase(group, bars, notes, most)
    here = next(at for at, part in enumerate(parts) if wanted in part)
    found = parts[here]
    for part in parts[here + 1 :]:
        if len(found) + len(part) > count or (among and not {*part} <= {*among}):
            break
        found = (*found, *part)
    return found


def neighbours(numbers: Sequence[int]) -> list[tuple[int, ...]]:
    """Some pieces in runs of those that follow each other."""
    cuts = [at for at in range(1, len(numbers)) if numbers[at] != numbers[at - 1] + 1]
    ends = zip((0, *cuts), (*cuts, len(numbers)), strict=True)
    return [tuple(numbers[first:last]) for first, last in ends if last > first]


def _by_phrase(
    run: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note], most: int = PHRASE_BARS
) -> list[tuple[int, ...]]:
    """The pieces of a run in phrases: from rest to rest, or to another metre; few bars go with others.

    What is of more than `most` bars is cut.
    """
    found: list[tuple[int, ...]] = []
    for number in run:
        first = bars[number][0]
        if not found or (_begins_phrase(notes, first) and _is_whole(found[-1], number, bars, notes)):
            found.append((number,))
        else:
            found[-1] = (*found[-1], number)
    if len(found) > 1 and not _is_enough(found[-1], bars, notes):
        short = found[-1]
        if not _is_work(short, bars, notes) or not _rests_long(notes, bars[short[0]][0]):
            found[-2:] = [(*found[-2], *short)]
    return [part for phrase in found for part in _cut(phrase, bars, notes, most)]


def _cut(
    phrase: tuple[int, ...], bars: Sequence[Piece], notes: Sequence[Note], most: int
) -> list[tuple[int, ...]]:
    """A phrase in parts of so many bars at most, where something new may begin; else under no slur."""
    if len(phrase) <= most:
        return [phrase]
    long_ms = long_of(notes, (bars[phrase[0]][0], bars[phrase[-1]][1]))
    middle = len(phrase) / 2
    ranked = []
    for at in range(LEAST_BARS, len(phrase) - LEAST_BARS + 1):
        first = bars[phrase[at]][0]
        begin = from_upbeat(notes, first)
        if notes[begin].slurred or notes[first].slurred:
            continue
        openings = [opening_of(notes, place, long_ms) for place in (begin, first)]
        rests = HELD if rest_after(notes, begin - 1) >= UPBEAT_REST_MS else NEW_SLUR + 1
        rank = min((rests, *(each for each in openings if each is not None)))
        ranked.append((rank, abs(at - middle), at))
    if not ranked:
        return [phrase]
    cut = min(ranked)[2]
    return [*_cut(phrase[:cut], bars, notes, most), *_cut(phrase[cut:], bars, notes, most)]


def _is_whole(part: Sequence[int], number: int, bars: Sequence[Piece], notes: Sequence[Note]) -> bool:
    """Whether a part that a phrase begins after is one by itself: few bars before a long rest or a mark."""
    first = bars[number][0]
    long = (_rests_long(notes, first) or _is_marked(notes, first)) and _is_work(part, bars, notes)
    return long or _is_enough(part, bars, notes)


def _rests_long(notes: Sequence[Note], place: int) -> bool:
    """Whether a bar, its upbeat with it, comes after a rest of a bar or more."""
    begin = from_upbeat(notes, place)
    return begin > 0 and rest_between(*notes[begin - 1 : begin + 1]) >= bar_length(notes[begin])


def _is_marked(notes: Sequence[Note], place: int) -> bool:
    """Whether a bar, its upbeat with it, begins with a dynamic of its own."""
    return any(note.dynamic_mark for note in notes[from_upbeat(notes, place) : place + 1])


def _begins_phrase(notes: Sequence[Note], place: int) -> bool:
    """Whether a bar, its upbeat with it, comes after a rest of a beat or more, or with another metre."""
    begin = from_upbeat(notes, place)
    other = notes[place].metre != notes[place - 1].metre
    beat = felt_beat(notes[begin].metre) / 4
    return other or (begin > 0 and rest_between(*notes[begin - 1 : begin + 1]) >= beat)


def _is_enough(run: Collection[int], bars: Sequence[Piece], notes: Sequence[Note]) -> bool:
    """Whether pieces are a phrase by themselves, whatever rest is after them."""
    return len(run) >= LEAST_BARS and _is_work(run, bars, notes)


def _is_work(run: Collection[int], bars: Sequence[Piece], notes: Sequence[Note]) -> bool:
    """Whether pieces are work by themselves: bars and notes enough, no graces nor a bar a second time."""
    within = (notes[bars[at][0] : bars[at][1] + 1] for at in run)
    others = {tuple((note.pitch, note.at, note.length) for note in bar if not note.grace) for bar in within}
    return len(run) >= SECTION_BARS and sum(map(len, others)) >= LEAST_NOTES


def parted(left: Sequence[int], bars: Sequence[Piece], notes: Sequence[Note]) -> list[list[int]]:
    """The pieces in runs that are played one after another, without a long rest."""
    runs: list[list[int]] = []
    for number in sorted(left):
        follows = runs and runs[-1][-1] == number - 1 and _follows(bars[number - 1], bars[number], notes)
        if follows and not _changes(bars, number, notes):
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def _follows(one: Piece, other: Piece, notes: Sequence[Note]) -> bool:
    joined = other[0] == one[1] + 1 and goes_on(notes, one[1], other[0])
    return joined and rest_after(notes, one[1]) < LONG_REST_MS


def _changes(bars: Sequence[Piece], number: int, notes: Sequence[Note]) -> bool:
    """Whether another metre begins with a bar and stays: no bar or few of it between others."""
    metres = [notes[first].metre for first, _ in bars[max(0, number - LEAST_BARS) : number + LEAST_BARS]]
    return len(metres) == 2 * LEAST_BARS and {*metres[:LEAST_BARS]}.isdisjoint(metres[LEAST_BARS:])
