"""The bars that have most of what a way of working is for: tongued notes, dotted ones, ties, upbeats."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from math import inf
from statistics import median
from types import MappingProxyType

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import CRESCENDO, DYNAMICS, Note, bar_length, bars_held, rest_between
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.ways.counted_rests import after_rests, counted_bars, lone_rows
from gripway.practice.ways.entrances import REST_BARS
from gripway.practice.ways.leaps import LARGE_SEMITONES, LEAPS, leap_marks
from gripway.practice.ways.phrase_ends import BREAK_MS, from_upbeat, to_arrival
from gripway.practice.ways.sections import LEAST_NOTES, THIRD_OCTAVE, pieces
from gripway.practice.ways.uneven import ODD, goes_to_threes, is_quick, just_before, rhythm_marks
from gripway.practice.ways.way_conditions import QUIET, SHORT
from gripway.practice.ways.whole_passage import bar_of, bars_of, goes_on, is_apart, rest_after
from gripway.score.reading.expression_words import COURSE, kind_of

UNEVEN = "uneven"
"""What is hard in a rhythm."""

UPBEATS, TIES = "upbeats", "ties"

OVER_RESTS = (UPBEATS, "contrasts")
"""What stands beside rests as often as not."""

SUDDEN_STEPS = 3
"""Dynamics that lie so far apart are a sudden change: p and f (judgement)."""

TONGUED_RUN = 3
"""Fewer notes tongued quickly after the one before are no work for the tongue: four in all (judgement)."""

BURST = 8
"""Fewer are a burst, which a single tongue does at a higher speed than a run (judgement)."""

MOST_HELD = 2
"""Work for the tongue goes on to no note that is held for more bars (judgement)."""

MANY_SAME = 8
"""So many of a note, tongued evenly, are repeated notes though they are not that quick (judgement)."""

MORE_BARS = 3
"""A chain of ties is followed for so many bars more (judgement)."""

FEWEST_NOTES = 6
"""A rhythm has so many notes at least (judgement)."""

NEAR_FASTEST = 1.25
"""The fastest tongued notes take no more than so many times as long as the quickest (judgement)."""

LEAST_ACCENTS = 3
"""So many accents in a phrase are work (judgement)."""

PartOf = Callable[[Sequence[Note], tuple[int, int], PracticeFigures], tuple[int, int] | None]
"""First and last note of the bars of a phrase that are for a way."""

Marks = Callable[[Sequence[Note], PracticeFigures], list[int]]
"""How much of what is sought there is on each note."""

TONGUES = SINGLE, *DOUBLE = ("single", "double", "triple")
"""Ways of tonguing: which of them is for a passage its tempo decides."""

TONGUED, REPEATED, STACCATO = "tongued", "repeated", "staccato"
FROM_FIRST = (UPBEATS, REPEATED)
"""What begins with the bar of the note before the first that is marked."""

MOSTLY = 0.6
"""Bars of repeated or of staccato notes have such a share of notes that are tongued lightly (judgement)."""

ACCENT = "accent"
"""The sign of an accent."""

CONTRASTS, ACCENTS = "contrasts", "accents"
AS_THEY_STAND = (CONTRASTS, ACCENTS, LEAPS)
"""What is music as it stands is worked on wherever it is."""

SAME_NOTES, LIGHT_SAME = 3, 6
"""So many of a note are repeated notes that are tongued quickly, so many what is only light (judgement)."""

NEAR_BEST = 0.6
"""Bars that have so much of the most are as good for a way (judgement)."""

SAME_PITCH = 0.5
"""A rhythm on a note that is only repeated is half the work (judgement)."""

HALF = 0.5
"""Rhythms are of other kinds: bars are good for them that have so much (judgement)."""


def fitting_bars(notes: Sequence[Note], way: Way, figures: PracticeFigures) -> list[tuple[int, int]]:
    """First and last notes of bars for a way, those with most of what it seeks first, none over others.

    Each are `way.bars` bars more than one, on to the note they go to, with notes enough to be work, and
    `way.least` places of what is sought, accents one in two bars. Those for the tongue are its runs.
    """
    marks = marks_of(way.seeks, notes, figures)
    there = _run_windows(notes, way, marks) if way.seeks == TONGUED else _windows(notes, way, figures)
    windows = [each for each in there if _counts(marks, each) >= way.least]
    if way.seeks == UPBEATS:
        windows += [(bar_of(notes, row[0])[0], bar_of(notes, row[-1])[1]) for row in lone_rows(notes)]
    if way.seeks in FROM_FIRST:
        windows = [(_before_first(notes, marks, each), each[1]) for each in windows]
    if way.seeks == STACCATO:
        windows = [(_first_staccato(notes, each), each[1]) for each in windows]
    if way.seeks == UNEVEN:
        windows = [
            (_before_turn(notes, marks, first), _to_threes(notes, last, figures)) for first, last in windows
        ]
    if way.seeks in AS_THEY_STAND:
        windows = [*dict.fromkeys(_of_marks(notes, marks, each, way.seeks) for each in windows)]
    if way.seeks == ACCENTS:
        windows = [each for each in windows if 2 * _counts(marks, each) >= len(bars_of(notes, *each))]
    if way.seeks in (REPEATED, STACCATO):
        light = marks
        if way.seeks == REPEATED:
            quick = _light(notes, figures)
            light = [one or other for one, other in zip(quick, (*quick[1:], 0), strict=True)]
        windows = [each for each in windows if sum(light[slice(*each)]) >= MOSTLY * (each[1] - each[0])]
    found: list[tuple[int, int]] = []
    whole = _run_lengths(marks) if way.seeks == TONGUED else [0] * len(notes)
    risky = [mark * _risk(notes, place) for place, mark in enumerate(marks)]
    risky = risky if way.seeks == CONTRASTS else [0] * len(notes)

    places = [SAME_PITCH ** _is_again(notes, place, way) * bool(mark) for place, mark in enumerate(marks)]

    def turn(each: tuple[int, int]) -> tuple[int, int, float, float, tuple[int, int]]:
        risk = max(risky[each[0] : each[1] + 1])
        return -risk, -whole[each[1]], -_counts(marks, each), -_counts(places, each), each

    for first, last in sorted(windows, key=turn):
        if all(last < begin or first > end for begin, end in found):
            found.append((first, last))
    most = max((_counts(places, each) for each in found), default=0)
    near = 0 if way.seeks in AS_THEY_STAND else HALF if way.seeks == UNEVEN else NEAR_BEST
    return [each for each in found if _counts(places, each) >= near * most]


def _is_again(notes: Sequence[Note], place: int, way: Way) -> bool:
    """Whether a note has a rhythm, and the pitch of the note before it."""
    return way.seeks == UNEVEN and place > 0 and notes[place].pitch == notes[place - 1].pitch


def _risk(notes: Sequence[Note], place: int) -> int:
    """How risky a sudden change is: to soft most; with no rest at it, high, far from the note before.

    With playing that goes on after it a little more.
    """
    joined = [0 < at < len(notes) and rest_after(notes, at - 1) <= BREAK_MS for at in (place, place + 1)]
    far = place > 0 and abs(notes[place].pitch.number - notes[place - 1].pitch.number) >= LARGE_SEMITONES
    soft = notes[place].dynamic in QUIET
    return 2 * (2 * soft + joined[0] + (notes[place].pitch.number >= THIRD_OCTAVE) + far) + joined[1]


def _run_lengths(marks: Sequence[int]) -> list[int]:
    """For each note how many marked ones follow each other where it is: what is longest tires most."""
    found: list[int] = []
    for mark, run in groupby(marks, bool):
        size = len([*run])
        found += [size * mark] * size
    return found


def _of_marks(
    notes: Sequence[Note], marks: Sequence[int], window: tuple[int, int], seeks: str
) -> tuple[int, int]:
    """The bars of a stretch from the first mark to the last; of changes from the bar before on.

    A bar further where that begins with a level that is far from the one before it: that is a change, too.
    """
    there = [place for place in range(window[0], window[1] + 1) if marks[place]]
    first, last = bar_of(notes, there[0])[0], bar_of(notes, there[-1])[1]
    if seeks == CONTRASTS and first and goes_on(notes, first - 1, first):
        first = bar_of(notes, first - 1)[0]
        upbeat = from_upbeat(notes, first)
        far = (place for place in range(max(1, upbeat), there[0]) if _is_far(notes, place))
        if (turn := next(far, None)) is not None:
            first = min(first, bar_of(notes, turn - 1)[0])
    return first, to_arrival(notes, last)


def _is_far(notes: Sequence[Note], place: int) -> bool:
    """Whether a note has a mark that is far from the level of the one before, no more than a bar's rest."""
    note, before = notes[place], notes[place - 1]
    near = goes_on(notes, place - 1, place) and rest_between(before, note) <= bar_length(note)
    if not (near and note.dynamic_mark and {note.dynamic, before.dynamic} <= {*DYNAMICS}):
        return False
    return abs(DYNAMICS.index(note.dynamic) - DYNAMICS.index(before.dynamic)) >= SUDDEN_STEPS


def _before_first(notes: Sequence[Note], marks: Sequence[int], window: tuple[int, int]) -> int:
    """The first note of the bar of the last note before a rest that the first mark of a stretch ends."""
    first = next(place for place in range(window[0], window[1] + 1) if marks[place])
    return max(window[0], bar_of(notes, first - 1)[0])


def _before_turn(notes: Sequence[Note], marks: Sequence[int], first: int) -> int:
    """The first note of the bar that a stretch goes over from, where its first note is in other values."""
    joined = first > 0 and rest_after(notes, first - 1) <= BREAK_MS
    over = joined and marks[first] >= ODD and from_upbeat(notes, first) == first
    return bar_of(notes, first - 1)[0] if over else first


def _to_threes(notes: Sequence[Note], last: int, figures: PracticeFigures) -> int:
    """The last note of a stretch; of its bar where the last goes over to triplets."""
    return bar_of(notes, last)[1] if goes_to_threes(notes, last, figures) else last


def marks_of(seeks: str, notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """How much of what a way seeks there is on each note."""
    return _MARKS[seeks](notes, figures)


def _counts(marks: Sequence[float], window: tuple[int, int]) -> float:
    """How much of what is sought there is in a stretch."""
    first, last = window
    return sum(marks[first : last + 1])


def _windows(notes: Sequence[Note], way: Way, figures: PracticeFigures) -> Iterator[tuple[int, int]]:
    """Bars that are worked on together, with notes enough."""
    bars = pieces(notes)
    for number, (first, last) in enumerate(bars):
        for begin, end in bars[number + 1 : number + 1 + way.bars]:
            if begin != last + 1 or not _together(notes, last, way, figures):
                break
            last = end
        last = _untied(notes, last) if way.seeks == TIES else to_arrival(notes, last)
        least = FEWEST_NOTES if way.seeks == UNEVEN else LEAST_NOTES
        if sum(not note.grace for note in notes[first : last + 1]) >= least:
            yield first, last


def _untied(notes: Sequence[Note], last: int) -> int:
    """Where work on ties ends that has a bar's last note: on none that is tied, `MORE_BARS` on at most."""
    end = to_arrival(notes, last)
    for _ in range(MORE_BARS):
        after = end + 1
        if bars_held(notes[end]) == 1 or after == len(notes) or rest_after(notes, end) > BREAK_MS:
            break
        if notes[end].metre != notes[after].metre:
            break
        if goes_on(notes, end, after):
            end = to_arrival(notes, bar_of(notes, after)[1])
    return end


def _run_windows(notes: Sequence[Note], way: Way, marks: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Runs of marked notes from their beat on, parted after `way.bars` bars more than one.

    None goes on to a note that is held for more bars than `MOST_HELD`.
    """
    place = 0
    while place < len(notes):
        if not marks[place]:
            place += 1
            continue
        first, last, bars = _from_beat(notes, place - 1), place, 0
        while last + 1 < len(notes) and marks[last + 1] and bars <= way.bars:
            last += 1
            bars += bar_of(notes, last)[0] == last
        yield first, last - (bars_held(notes[last]) > MOST_HELD)
        place = last + 1


def _from_beat(notes: Sequence[Note], place: int) -> int:
    """The first note of the beat a note is in, up to a rest or the end of a slur."""
    beat = felt_beat(notes[place].metre) / 4
    while place and not notes[place].slurred and notes[place].at % beat:
        before = just_before(notes, place)
        near = before and before.bar == notes[place].bar and notes[place].at // beat == before.at // beat
        if not near or rest_after(notes, place - 1) > BREAK_MS:
            break
        place -= 1
    return place


def _together(notes: Sequence[Note], place: int, way: Way, figures: PracticeFigures) -> bool:
    """Whether a note and the next belong to the same work: none over a change of metre, and so of pace."""
    if notes[place].metre != notes[place + 1].metre:
        return False
    if way.seeks in OVER_RESTS:
        return goes_on(notes, place, place + 1) and rest_after(notes, place) <= figures.rest_most_s * 1000
    return not is_apart(notes, place, figures)


def _tongued(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The fastest notes that are tongued, `TONGUED_RUN` or more of them one after another."""
    runs: list[list[tuple[int, float]]] = [[]]
    for place, note in enumerate(notes):
        before = just_before(notes, place)
        gap_ms = note.onset_ms - before.onset_ms if before and not note.slurred else inf
        if gap_ms <= figures.study_tongue_ms:
            runs[-1].append((place, gap_ms))
        elif runs[-1]:
            runs.append([])
    runs = [run for run in runs if len(run) >= TONGUED_RUN]
    quickest_ms = min((median(gap_ms for _, gap_ms in run) for run in runs), default=0.0)
    found = {place for run in runs for place, gap_ms in run if gap_ms <= NEAR_FASTEST * quickest_ms}
    return [int(place in found) for place in range(len(notes))]


def tongues_of(notes: Sequence[Note], figures: PracticeFigures) -> tuple[str, ...]:
    """The ways of tonguing for the fastest tongued notes at their tempo: single, or double ones.

    A burst of few notes is for a double tongue where it is faster than a single one does for as long.
    """
    marks = _tongued(notes, figures)
    gaps_ms = [
        after.onset_ms - note.onset_ms
        for (note, after), mark in zip(pairwise(notes), marks[1:], strict=True)
        if mark
    ]
    if not gaps_ms:
        return ()
    longest = max(sum(run) for _, run in groupby(marks))
    most_ms = figures.study_double_ms if longest >= BURST else figures.study_burst_ms
    return tuple(DOUBLE) if median(gaps_ms) <= most_ms else (SINGLE,)


def share_staccato(notes: Sequence[Note], figures: PracticeFigures) -> float:
    """How much of the notes is soft and staccato."""
    return sum(_staccato(notes, place, figures) for place in range(len(notes))) / max(1, len(notes))


def _staccato(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is staccato and soft, shorter than a beat, and comes soon after the one before."""
    note, before = notes[place], just_before(notes, place)
    within = note.length < felt_beat(note.metre) / 4
    soon = before is not None and is_quick(before, note, figures.study_slow_ms)
    return within and soon and _is_soft_staccato(notes, place)


def _is_soft_staccato(notes: Sequence[Note], place: int) -> bool:
    """Whether a note has a dot of its own, not under a slur, where it is surely soft."""
    note = notes[place]
    slurred = any(each.slurred for each in notes[place : place + 2])
    return bool(SHORT & {*note.articulations}) and not slurred and note.dynamic_sure and note.dynamic in QUIET


def _first_staccato(notes: Sequence[Note], window: tuple[int, int]) -> int:
    """The first note of a stretch that is staccato and soft: there light staccato begins."""
    return next(place for place in range(window[0], window[1] + 1) if _is_soft_staccato(notes, place))


def share_repeated(notes: Sequence[Note], figures: PracticeFigures) -> float:
    """How much of the notes is repeated quickly or lightly."""
    return sum(_repeated(notes, figures)) / max(1, len(notes))


def _repeated(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes that are tongued quickly and the same `SAME_NOTES` times, lightly `LIGHT_SAME` times."""
    light, quick = _light(notes, figures), _tongued(notes, figures)
    found = [0] * len(notes)
    first = 0
    for place in range(1, len(notes) + 1):
        on = place < len(notes) and light[place] and notes[place].pitch.number == notes[first].pitch.number
        if not on:
            if place - first >= (SAME_NOTES if all(quick[first + 1 : place]) else LIGHT_SAME):
                found[first + 1 : place] = [1] * (place - first - 1)
            first = place
    return found


def _many_same(notes: Sequence[Note], figures: PracticeFigures) -> set[int]:
    """The notes of a pitch that is tongued evenly `MANY_SAME` times and more, each as long and soon."""
    found: set[int] = set()
    first = 0
    for place in range(1, len(notes) + 1):
        before = just_before(notes, place) if place < len(notes) else None
        note = notes[min(place, len(notes) - 1)]
        same = before is not None and (before.pitch, before.length) == (note.pitch, note.length)
        if before and same and not note.slurred and is_quick(before, note, figures.study_fast_ms):
            continue
        if place - first >= MANY_SAME:
            found |= {*range(first + 1, place)}
        first = place
    return found


def _light(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes tongued quickly, soft ones that are staccato or the same and come soon, and many alike."""
    many = _many_same(notes, figures)
    return [
        int(bool(mark) or place in many or (before is not None and _is_light(before, note, figures)))
        for place, (note, mark) in enumerate(zip(notes, _tongued(notes, figures), strict=True))
        for before in [just_before(notes, place)]
    ]


def _is_light(before: Note, note: Note, figures: PracticeFigures) -> bool:
    short = all(SHORT & {*each.articulations} for each in (before, note))
    within = before.length < felt_beat(note.metre) / 4
    same = before.pitch == note.pitch and within and not note.slurred
    return (short or same) and note.dynamic in QUIET and is_quick(before, note, figures.study_fast_ms)


def _accented(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note has an accent, a sign or written out such as sf, and nothing is soft at once."""
    after = notes[place + 1 : place + 2]
    soft = _is_softer_at_once(notes[place]) or any(each.dynamic_mark in QUIET for each in after)
    return (_is_stressed(notes[place]) or ACCENT in notes[place].articulations) and not soft


def share_tied(notes: Sequence[Note], figures: PracticeFigures) -> float:
    """How much of the notes is tied over a bar line."""
    return sum(_tied(notes, place, figures) for place in range(len(notes))) / max(1, len(notes))


def without_marks(notes: Sequence[Note]) -> bool:
    """Whether a part has no slur and no mark of articulation at all."""
    return not any(note.slurred or note.articulations for note in notes)


def _plain(notes: Sequence[Note], figures: PracticeFigures) -> list[int]:
    """The notes of runs whose articulation is left to the player."""
    free = without_marks(notes)
    before = [just_before(notes, place) for place in range(len(notes))]
    return [
        int(
            free
            and one is not None
            and one.pitch != note.pitch
            and is_quick(one, note, figures.study_fast_ms)
        )
        for one, note in zip(before, notes, strict=True)
    ]


def _tied(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note is tied over a bar line and goes on: no long note that is only held."""
    note = notes[place]
    short = note.metre and note.length < bar_length(note)
    goes = place + 1 < len(notes) and not is_apart(notes, place, figures)
    return bool(short) and goes and bars_held(note) > 1


def accented_bars(
    notes: Sequence[Note], window: tuple[int, int], figures: PracticeFigures
) -> tuple[int, int] | None:
    """Bars of a phrase from its first accent to its last; None where there are few in it, or few notes."""
    first, last = window
    there = [place for place in range(first, last + 1) if _accented(notes, place, figures)]
    if len(there) < LEAST_ACCENTS:
        return None
    begin, end = max(first, bar_of(notes, there[0])[0]), bar_of(notes, there[-1])[1]
    often = 2 * len(there) >= len(bars_of(notes, *window))
    return (begin, end) if often and end - begin + 1 >= FEWEST_NOTES else None


PARTS: Mapping[str, PartOf] = MappingProxyType({UPBEATS: counted_bars, ACCENTS: accented_bars})
"""Of a phrase that is for these ways the bars that are, which have what they seek from first to last."""


def _sudden(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """A mark far from the one before, which holds up to it: nothing grows or fades between them.

    Nor is there a rest that is counted. So is a soft mark that a crescendo or an accent leads to.
    """
    note, before = notes[place], just_before(notes, place)
    if _is_softer_at_once(note):
        return True
    if not before or rest_between(before, note) >= REST_BARS * bar_length(note):
        return False
    if _is_stressed(before) and note.dynamic_mark in QUIET:
        return True
    if before.hairpins and note.dynamic_mark in QUIET and not note.hairpins:
        return all(pin.kind == CRESCENDO for pin in before.hairpins) and not rest_between(before, note)
    if before.hairpins or note.stress or before.stress or before.during:
        return False
    if not (note.dynamic_mark and before.dynamic_sure) or any(
        kind_of(said) == COURSE for said in before.words
    ):
        return False
    return _is_far(notes, place)


def _is_stressed(note: Note) -> bool:
    return bool(note.stress and note.stress.mark)


def _is_softer_at_once(note: Note) -> bool:
    """An accent as loud as f that is soft at once: fp, sfp."""
    return bool(note.stress and note.stress.mark.endswith("p") and note.stress.level in QUIET)


def _each(mark: Callable[[Sequence[Note], int, PracticeFigures], bool]) -> Marks:
    """The marks of all notes, by a question that is asked of each."""
    return lambda notes, figures: [int(mark(notes, place, figures)) for place in range(len(notes))]


_MARKS: Mapping[str, Marks] = MappingProxyType(
    {
        "tongued": _tongued,
        REPEATED: _repeated,
        STACCATO: _each(_staccato),
        UNEVEN: rhythm_marks,
        "plain": _plain,
        TIES: _each(_tied),
        LEAPS: leap_marks,
        UPBEATS: after_rests,
        "contrasts": _each(_sudden),
        "accents": _each(_accented),
    }
)
