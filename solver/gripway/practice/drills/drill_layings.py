"""How each kind of drill is laid out: which notes of the route, how long, slurred or not."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import islice, pairwise
from math import lcm

from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.practice.cells.beat_grid import COMMON_TIME, QUARTER, BeatGrid, felt_beat, grid_at
from gripway.practice.cells.cells import Cell, is_tremolo
from gripway.practice.cells.short_passages import SHORTEST, Laid, filled, moves_on, spacing
from gripway.practice.drills.dotted_figure import evened, figures_around, is_dotted, is_snap
from gripway.practice.drills.drill_ranges import windows
from gripway.practice.drills.excerpts import held_into, is_cut
from gripway.practice.drills.fast_run import endings, run_around
from gripway.practice.drills.rhythms import EIGHTH, MANY_NOTES, in_rhythm, is_tied, run_in_rhythm
from gripway.practice.drills.trill_figure import entry_of, figures_of, led_figures_of
from gripway.route.result import RouteNote
from gripway.score.writing.note_values import is_plain
from gripway.units import length_ms

PAIRS = 4
"""Times there and back in the pair drill, at least."""

MOST_RHYTHMS = 3

SHORTEST_IN_RHYTHM = Fraction(1, 16)
"""With shorter notes a rhythm is no longer read at sight, unless the part has them (judgement)."""

BACK_TIMES = 1.5
"""To and fro is for what the part takes back in no more than so many times its time (judgement)."""

TRILL_RHYTHMS, TRILL_GROUP = 4, 8
"""Rhythms a trill is drilled in, and notes of each at least."""

TRILL_STEP, SLOWED = Fraction(1, 16), Fraction(1, 8)
"""Notes of a trill, and of its ending once it has slowed."""

MOST_IN_ENDING = 3
"""Notes of a written ending at most."""

SHORTEST_UPBEAT = Fraction(1, 16)
"""One note alone before a beat is no shorter, and what is longer begins with no shorter rest (judgement)."""

PLAIN = tuple(Fraction(over, 32) for over in (1, 2, 3, 4, 6, 8, 12, 16, 24))
"""Values of one note, with a dot or without."""

EVEN_NOTES = 16
"""Notes of an even trill at least."""

SLURRED = True
"""Drills of two notes are slurred whatever the part has: a tongue hides what the fingers do."""

Lines = tuple[list[Laid], ...]
"""One drill in the ways it may be written, truest to the part first; the first that can be read is taken."""

Laying = Callable[[Sequence[RouteNote], Cell, PracticeTables], Iterator[tuple[str, Lines]]]


def grid_of(notes: Sequence[RouteNote], cell: Cell) -> BeatGrid:
    """The beats a cell is drilled over: those of the part there, for a trill quarters of its own tempo."""
    return COMMON_TIME if cell.has_own_tempo else grid_at(notes[cell.place].note)


def _hold(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    before, after = _pair_of(notes, cell)
    half = grid_of(notes, cell).half_bar
    yield "", ([Laid(before, half), Laid(after, half, SLURRED)],)


def _stop(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """The first note as an upbeat, short; the second long, on the beat (in cut time on a half)."""
    before, after = _pair_of(notes, cell)
    grid = grid_of(notes, cell)
    step = max(SHORTEST_UPBEAT, grid.value(_time_after(notes, cell)))
    held = grid.beat if grid.compound else 2 * grid.beat
    wait = -step % (felt_beat(grid.metre) * QUARTER)
    if wait + step + held > grid.bar:
        held = grid.beat  # in a short bar
    if wait + step + held > grid.bar >= held:
        wait = -step % grid.bar  # it ends on the first beat of the next bar
    yield "", ([Laid(before, step, wait=wait), Laid(after, held, SLURRED)],)


def _pair(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """To and fro in even notes of whole beats, back on the first one; then the same half as fast.

    None where the part only goes one way.
    """
    before, after = _pair_of(notes, cell)
    if not cell.trill and not _goes_back(notes, before, after):
        return
    grid, time = grid_of(notes, cell), _time_after(notes, cell)
    own = grid.value(time, tuplets=True)
    for step in (own, grid.value(2 * own, tuplets=True)):
        beat = lcm(2, int(grid.beat / step))
        turns = beat * -(-2 * PAIRS // beat)
        laid = [Laid((before, after)[place % 2], step, SLURRED) for place in range(turns)]
        yield "", ([*laid, Laid(before, grid.beat, SLURRED)],)


def _goes_back(notes: Sequence[RouteNote], before: RouteNote, after: RouteNote) -> bool:
    """Whether the part has the change back anywhere in about its time: there and back."""
    back = after.note.pitch.number, before.note.pitch.number
    most_ms = BACK_TIMES * (after.note.onset_ms - before.note.onset_ms)
    return any(
        (one.pitch.number, other.pitch.number) == back and other.onset_ms - one.onset_ms <= most_ms
        for one, other in pairwise(each.note for each in notes)
    )


def _before(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    start, end = _worst_span(cell)
    if moves_on(notes, start - 1):
        yield "", _as_written(notes, start - 1, end, cell)


def _after(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    start, end = _worst_span(cell)
    if _goes_on(notes, end):
        yield "", _as_written(notes, start, end + 1, cell)


def _around(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """Notes on both sides of the change: one side alone has a drill of its own."""
    start, end = _around_span(notes, cell)
    first, last = _worst_span(cell)
    if start < first and last < end:
        yield "", _as_written(notes, start, end, cell)


def _added(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """The last notes of the run of a change, more each time, at their places in the bar."""
    grid = grid_of(notes, cell)
    if run := run_around(notes, _worst_span(cell)[1], grid):
        groups = [group for group in endings(*run) if group == run or not _is_odd(notes[group[0]], grid)]
        yield "", (_in_bars(notes, groups, grid),)


def _is_odd(note: RouteNote, grid: BeatGrid) -> bool:
    """Whether a note on a 32nd would begin a group after a rest of one."""
    at = grid.place_of(note.note)
    return at.denominator == SHORTEST.denominator


def _rhythm(notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """Rhythms over the notes around the change; none over dotted ones: they would spoil their own."""
    if is_dotted(notes, *_around_span(notes, cell)):
        return
    grid, worst = grid_of(notes, cell), cell.first + cell.worst - 1
    first, last = run_in_rhythm(notes, worst)
    named = range(max(0, cell.first - first), min(last, cell.first + len(cell.notes) - 1) - first + 1)
    step = max(SHORTEST_IN_RHYTHM, grid.value(_time_after(notes, cell)))
    if 0 < notes[worst].note.length <= SHORTEST:
        step = SHORTEST  # the part has them
    found: dict[str, Lines] = {}
    for rhythm in tables.rhythms:
        ways = (
            in_rhythm(notes[first : last + 1], worst - first, rhythm, by, grid, named)
            for by in (step, 2 * step)
        )
        lines = tuple(line for line in ways if line)
        if lines and not (len(rhythm.steps) == 2 and rhythm.name[::-1] in found):
            found[rhythm.name] = lines
    yield from sorted(found.items(), key=lambda made: _is_hard_to_read(made[1][0]))[:MOST_RHYTHMS]


def _is_hard_to_read(line: Sequence[Laid]) -> bool:
    """Whether a rhythm has many notes or tied ones."""
    shortest = min(item.length for item in line)
    return len(line) > MANY_NOTES or is_tied([int(item.length / shortest) for item in line[:-1]])


def _evened(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """Dotted figures in even notes, then as they are written; none that begin with the short note."""
    grid, around = grid_of(notes, cell), _around_span(notes, cell)
    if not is_dotted(notes, *around) or not (whole := figures_around(notes, *_worst_span(cell), grid)):
        return
    if is_dotted(notes, whole[0] + 1, whole[1]) and not is_snap(notes, *whole, grid):
        laid = _in_bars(notes, (whole, whole), grid, Fraction(0))
        count = len(laid) // 2
        yield "", ([*evened(laid[:count]), *laid[count:]],)


def _overlap(notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """Groups as they stand in their bars, a beat's rest or more between them; fewer where these are odd."""
    grid = grid_of(notes, cell)
    groups = windows(notes, cell, grid, tables.figures)
    ways = (groups[first:last] for first in range(len(groups)) for last in range(len(groups), first, -1))
    plain = _plainly(notes, *groups[0], cell) if groups else ()
    lines = [_in_bars(notes, way, grid, held=True) for way in ways]
    if lines:
        yield "", (*lines, *plain)


def _in_bars(
    notes: Sequence[RouteNote],
    groups: Sequence[tuple[int, int]],
    grid: BeatGrid,
    between: Fraction | None = None,
    *,
    held: bool = False,
) -> list[Laid]:
    """Groups of notes, each at its place in the bar; `between` them at least a rest, without it of a beat.

    With `held` a note that is held over into the bar of a group, up to it, stands there and no rest.
    """
    laid: list[Laid] = []
    at = Fraction(0)
    for first, last in groups:
        earliest = at + ((grid.beat if between is None else between) if laid else 0)
        wait = (_place(notes, first, grid) - at - (earliest - at)) % grid.bar + earliest - at
        group = _laid_whole(notes, first, last, grid, wait)
        group = _with_held(notes, first, group, grid) if held else group
        laid += group
        at += sum((item.wait + item.length + item.rest for item in group), Fraction(0))
    return laid


def _place(notes: Sequence[RouteNote], number: int, grid: BeatGrid) -> Fraction:
    """Where a note stands in its bar: in an upbeat counted from the bar line it leads to."""
    note = notes[number].note
    place = grid.place_of(note)
    after = next((each.note for each in notes[number:] if each.note.bar != note.bar), None)
    if not note.bar or notes[0].note.bar != note.bar or after is None:
        return place
    left = after.onset - after.at - note.onset
    return grid.bar - left if place + left < grid.bar else place


def _with_held(notes: Sequence[RouteNote], first: int, group: list[Laid], grid: BeatGrid) -> list[Laid]:
    """A group with what is left of the note before it, where that is held over the bar line up to it."""
    head, *others = group
    left = grid.place_of(notes[first].note)
    pair = [each.note for each in notes[first - 1 : first + 1]] if first else []
    if not is_cut(pair, 1) or notes[first - 1].candidate is None or pair[0].ornament or pair[1].grace:
        return group
    if pair[0].onset + pair[0].length != pair[1].onset or not 0 < left <= head.wait:
        return group
    tied = replace(notes[first - 1], note=held_into(pair, 1))
    begun = Laid(tied, left, not SLURRED, wait=head.wait - left)
    return [begun, replace(head, joined=None, wait=Fraction(0)), *others]


def _measured(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """To and fro twice as slow, for a trill then in threes, then at its own speed."""
    grid, step = grid_of(notes, cell), _step_of(notes, cell)
    threes = [step * Fraction(4, 3)] * 6 if cell.trill else []
    steps = [2 * step] * 6 + [step] * 12 if grid.compound else [2 * step] * 4 + threes + [step] * 8
    yield "", (_to_and_fro(notes, cell, steps),)


def _groups(notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """To and fro in rhythms that fill beats: now the one finger waits and now the other."""
    grid, step = grid_of(notes, cell), _step_of(notes, cell)
    filling = (each for each in tables.rhythms if (grid.beat / (sum(each.steps) * step)).denominator == 1)
    for rhythm in islice(filling, TRILL_RHYTHMS):
        group = [each * step for each in rhythm.steps]
        turns = lcm(2, int(grid.beat / sum(group))) if len(group) % 2 else int(grid.beat / sum(group))
        whole = group * turns * -(-TRILL_GROUP // (len(group) * turns))
        yield rhythm.name, (_to_and_fro(notes, cell, whole),)


def _even(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """As many notes to each beat, at its own speed."""
    grid, step = grid_of(notes, cell), _step_of(notes, cell)
    beat, least = int(grid.beat / step), EVEN_NOTES if cell.trill else TRILL_GROUP
    yield "", (_to_and_fro(notes, cell, [step] * beat * -(-least // beat)),)


def _entry(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """The notes that run into a trill in even eighths, its note held a little, then the trill.

    None of them is long or before a rest; they are slurred as in the part.
    """
    run = notes[entry_of(notes, cell) : cell.place]
    if not run:
        return
    wait = -len(run) * SLOWED % QUARTER
    leads = [
        Laid(each, SLOWED, place > 0 and each.note.slurred, wait=wait if not place else Fraction(0))
        for place, each in enumerate(run)
    ]
    trill = [Laid(cell.notes[1 - place % 2], TRILL_STEP, SLURRED) for place in range(TRILL_GROUP - 1)]
    held = Laid(cell.notes[0], QUARTER + TRILL_STEP, notes[cell.place].note.slurred)
    yield "", ([*leads, held, *trill, Laid(cell.notes[0], QUARTER, SLURRED)],)


def _figure(notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """A short trill in as many notes as there is time for, with its ending, into the note it leads to."""
    yield "", tuple(figures_of(notes, cell, grid_of(notes, cell), tables.figures))


def _led(notes: Sequence[RouteNote], cell: Cell, tables: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """The same from the notes that run into it, as they are written."""
    if found := tuple(led_figures_of(notes, cell, grid_of(notes, cell), tables.figures)):
        yield "", found


def _ending(notes: Sequence[RouteNote], cell: Cell, _: PracticeTables) -> Iterator[tuple[str, Lines]]:
    """A trill that comes to rest on its own note, then its written ending, slowly, into the next note."""
    last = cell.place + 1
    while last < len(notes) and notes[last].note.grace:
        last += 1
    graces = notes[cell.place + 1 : last]
    if not 0 < len(graces) <= MOST_IN_ENDING or last == len(notes) or not _follow(notes, cell.place, last):
        return
    trill = [Laid(cell.notes[place % 2], TRILL_STEP, place > 0) for place in range(TRILL_GROUP)]
    rests = Laid(cell.notes[0], 2 * QUARTER - len(graces) * SLOWED, SLURRED)
    ending = [Laid(grace, SLOWED, SLURRED) for grace in graces]
    yield "", ([*trill, rests, *ending, Laid(notes[last], QUARTER, notes[last].note.slurred)],)


def _follow(notes: Sequence[RouteNote], first: int, last: int) -> bool:
    """Whether notes have grips, and the last begins where the first ends (graces in between)."""
    one, other = notes[first].note, notes[last].note
    gripped = all(note.candidate for note in notes[first : last + 1])
    return gripped and one.onset + one.length == other.onset


def _step_of(notes: Sequence[RouteNote], cell: Cell) -> Fraction:
    """The plain value of a note of a trill or tremolo."""
    return grid_of(notes, cell).value(_time_after(notes, cell))


def _to_and_fro(notes: Sequence[RouteNote], cell: Cell, steps: Sequence[Fraction]) -> list[Laid]:
    """The two notes of a trill or tremolo in turn, slurred, and one more on a beat to end with."""
    pair = _pair_of(notes, cell)
    laid = [Laid(pair[place % 2], step, place > 0) for place, step in enumerate(steps)]
    return [*laid, Laid(pair[len(steps) % 2], grid_of(notes, cell).beat, SLURRED)]


LAYINGS: Mapping[str, Laying] = {
    "hold": _hold,
    "stop": _stop,
    "pair": _pair,
    "before": _before,
    "after": _after,
    "around": _around,
    "added": _added,
    "rhythm": _rhythm,
    "evened": _evened,
    "overlap": _overlap,
    "measured": _measured,
    "groups": _groups,
    "even": _even,
    "entry": _entry,
    "ending": _ending,
    "figure": _figure,
    "led": _led,
}
"""How each kind of drill is laid out: a rhythm's name and the notes."""


def _time_after(notes: Sequence[RouteNote], cell: Cell) -> Fraction:
    """The time there is for the worst change, in whole notes at the tempo there."""
    return _time_at(notes, cell.first + cell.worst - 1, cell)


def _time_at(notes: Sequence[RouteNote], place: int, cell: Cell) -> Fraction:
    """The time after a note: as written; of graces, before them and in tremolos as it is played."""
    if cell.trill:
        return TRILL_STEP
    if place == cell.first + cell.worst - 1 and is_tremolo(cell):
        return Fraction(cell.change.available_ms / length_ms(Fraction(1), cell.quarters))
    note, after = notes[place].note, notes[place + 1].note
    if note.grace or after.grace:
        played = max(after.onset_ms - note.onset_ms, 1.0)
        return min(
            spacing(notes, place) or Fraction(1), Fraction(played / length_ms(Fraction(1), cell.quarters))
        )
    return spacing(notes, place)


def _pair_of(notes: Sequence[RouteNote], cell: Cell) -> tuple[RouteNote, RouteNote]:
    if cell.trill:
        return cell.notes[0], cell.notes[1]
    start, end = _worst_span(cell)
    return notes[start], notes[end]


def _worst_span(cell: Cell) -> tuple[int, int]:
    """Indices of the two notes of the worst change."""
    return cell.first + cell.worst - 1, cell.first + cell.worst


def _around_span(notes: Sequence[RouteNote], cell: Cell) -> tuple[int, int]:
    """First and last note of the cell with the notes beside its worst change; graces on to their own note."""
    start, end = _worst_span(cell)
    first, last = cell.first, cell.first + len(cell.notes) - 1
    first = min(first, start - 1 if moves_on(notes, start - 1) else start)
    last = max(last, end + 1 if _goes_on(notes, end) else end)
    while notes[last].note.grace and _goes_on(notes, last):
        last += 1
    return first, last


def _goes_on(notes: Sequence[RouteNote], place: int) -> bool:
    """Whether a note goes on to another pitch, and not after a rest, in which the fingers have time."""
    return moves_on(notes, place) and spacing(notes, place) - notes[place].note.length < EIGHTH


def _as_written(notes: Sequence[RouteNote], first: int, last: int, cell: Cell) -> Lines:
    """Notes in their own time on their own beats; in plain values where the last is no plain note."""
    graced = any(each.note.grace for each in notes[first : last + 1])
    plain = _plainly(notes, first, last, cell)
    if graced:
        return plain
    grid = grid_of(notes, cell)
    at, time = grid.place_of(notes[first].note), spacing(notes, first)
    end = at + time
    begins = max(at, (-(-end // grid.beat) - 1) * grid.beat)
    own = _laid_whole(notes, first, last, grid, begins % grid.beat, end - begins)
    rests = own[-1].length % EIGHTH == 0 and own[-1].length >= 2 * _time_after(notes, cell)
    return (own, *plain) if rests and not _is_odd(notes[first], grid) else (*plain, own)


def _plainly(notes: Sequence[RouteNote], first: int, last: int, cell: Cell) -> Lines:
    """Notes in plain values of the beat, the last on a beat; else all as long as the worst change wants."""
    grid = grid_of(notes, cell)
    worst = _plain_value(_time_after(notes, cell), grid)
    own = [_plain_value(_time_at(notes, place, cell), grid) for place in range(first, last)]
    lines = []
    for steps in (own, [worst] * len(own)):
        if first < cell.first + cell.worst - 1:
            steps[0] = _leading(steps[0], sum(steps[1:], Fraction(0)), grid)
        elif len(steps) == 1 or sum(steps[1:]) % grid.beat == 0:
            steps[0] = max(SHORTEST_UPBEAT, steps[0])
        wait = -sum(steps, Fraction(0)) % grid.beat
        laid = [Laid(notes[first + place], step) for place, step in enumerate(steps)]
        laid = [*laid, Laid(notes[last], grid.beat)]
        lines.append([Laid(laid[0].note, laid[0].length, wait=wait), *laid[1:]])
    return tuple(lines)


def _plain_value(time: Fraction, grid: BeatGrid) -> Fraction:
    """The plain value nearest to a time; for a tuplet none shorter than a 16th."""
    value = grid.value(time)
    return value if is_plain(time) else max(value, SHORTEST_UPBEAT)


def _leading(wanted: Fraction, after: Fraction, grid: BeatGrid) -> Fraction:
    """The plain length of a note that leads to others up to a beat: it begins on one, or on an eighth in one.

    As long as `wanted`, or the next shorter one, or the shortest; held over no beat.
    """
    fitting = [
        length
        for length in PLAIN
        if (whole := length + after) % grid.beat == 0 or (whole % EIGHTH == 0 and length <= whole % grid.beat)
    ]
    return max((length for length in fitting if length <= wanted), default=min(fitting, default=wanted))


def _laid_whole(
    notes: Sequence[RouteNote],
    first: int,
    last: int,
    grid: BeatGrid,
    wait: Fraction,
    begin: Fraction | None = None,
) -> list[Laid]:
    """Notes as they are written, with their own lengths, rests and slurs; the first begins afresh.

    `wait` is the rest before the first, `begin` what is left of its time.
    """
    laid = []
    for place in range(first, last + 1):
        note = notes[place].note
        between = spacing(notes, place) if place < last else QUARTER
        length = min(note.length, between) if note.length > 0 else between
        if place == first and begin is not None:
            length, between = min(length, begin), begin
        if note.grace:
            length, between = Fraction(0), Fraction(0)
        laid.append(
            Laid(
                notes[place],
                length,
                None if place > first else False,
                between - length,
                wait if place == first else Fraction(0),
                note.grace,
            )
        )
    return filled(laid, grid)
