"""The lines of a passage that sing: what is slurred or sustained, from rest to rest, as a whole."""

from collections.abc import Sequence
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, bar_length, rest_between
from gripway.practice.ways.around import Ends
from gripway.practice.ways.fitting_bars import without_marks
from gripway.practice.ways.phrase_ends import MARKED, ends_line, long_of, opening_of
from gripway.practice.ways.way_conditions import QUIET, SHORT, is_quiet, is_slurred, is_sung
from gripway.practice.ways.whole_passage import bar_of, bars_of, goes_on, rest_after

SUSTAINED_BARS = 0.75
"""A tongued note is sustained that lasts so much of a bar (judgement)."""

SHORT_SHARE = 0.5
"""What has more notes with marks of short ones is no line (judgement)."""

MOVES_SHARE = 1 / 3
"""Where no more steps go to another note there is no line (judgement)."""

TUNE_SHARE, REST_BARS = 0.5, 2
"""A tune has more steps that go to another note, and no longer rest in it (judgement)."""

STILL_BARS = 2
"""A line ends with one note through no more bars (judgement)."""

LEAST_SONG_MS = 2500.0
"""A line has so much song at least (judgement)."""

NEAR_FIRST = 0.3
"""A line with less song in it than so much of the first one is left out (judgement)."""

WHOLE_BARS = 24
"""A line without a rest is no longer than this where it is worked on whole (judgement)."""

JOINED_BARS = 11
"""Short phrases of one tune are joined to no more bars (judgement)."""

LITTLE_SONG = 0.35
"""The tune a passage begins with needs so much song, what has no rest as well (judgement)."""

TRILL_MS = 800.0
"""A trill as long as this is no part of a line that sings (judgement)."""

LEAST_NOTES = 4
"""Fewer notes are no line (judgement)."""

LEAST_BARS = 4
"""A long line is not parted so that a part has fewer bars (judgement)."""


def singing_lines(notes: Sequence[Note], long: Sequence[Ends], figures: PracticeFigures) -> tuple[Ends, ...]:
    """The lines that sing for `line_share` of the time, exposed ones first, then those with most song.

    Exposed is what is soft for the most part, or bears a word of song. Those that are `long` without a rest
    come before all others, what sings most of the time first; last of all where they hardly sing.
    """
    found: list[tuple[bool, Ends]] = []
    met: set[str] = set()
    for run in _joined(notes, _runs(notes, figures), figures):
        written = {note.id for note in notes[run[0] : run[1] + 1]}
        named = any(run[0] <= begin and end <= run[1] for begin, end in long)
        if not written & met:
            whole = run in long and len(bars_of(notes, *run)) <= WHOLE_BARS
            parts = [
                _without_stress(notes, part) for part in ([run] if whole else _parted(notes, run, figures))
            ]
            parts = [_to_arrival(notes, _without_still(notes, part), figures) for part in parts]
            found += ((named, part) for part in parts if _sings(notes, part, figures, named=named))
        met |= written

    def song(ends: Ends) -> float:
        return _song(notes[ends[0] : ends[1] + 1], figures)

    def exposed(line: tuple[bool, Ends]) -> tuple[int, bool, bool, float, int]:
        named, ends = line
        within = notes[ends[0] : ends[1] + 1]
        soft = 2 * sum(note.dynamic in QUIET for note in within) > len(within)
        lasts_ms = sum(note.length_ms for note in within)
        rank = 1 if not named else 0 if song(ends) >= LITTLE_SONG * lasts_ms else 2
        opens = _is_opening(notes, ends)
        return (
            rank,
            not (opens or named),
            not (named or soft or is_sung(within)),
            -lasts_ms if named else -song(ends),
            ends[0],
        )

    found.sort(key=exposed)
    least = NEAR_FIRST * max((song(ends) for _, ends in found), default=0.0)
    if not found and without_marks(notes):
        return _longest(notes, figures)
    return tuple(ends for named, ends in found if named or _is_opening(notes, ends) or song(ends) >= least)


def is_tune(notes: Sequence[Note], ends: Ends) -> bool:
    """Whether most steps of some notes go to another note, and no long rest parts them."""
    steps = [notes[at : at + 2] for at in range(*ends)]
    moves = sum(one.pitch.number != other.pitch.number for one, other in steps)
    rests = (rest_between(one, other) / bar_length(one) for one, other in steps)
    return moves > TUNE_SHARE * len(steps) and all(rest <= REST_BARS for rest in rests)


def _longest(notes: Sequence[Note], figures: PracticeFigures) -> tuple[Ends, ...]:
    """The longest line of a part without slurs, which the player makes."""
    parts = [part for run in _runs(notes, figures) for part in _parted(notes, run, figures)]
    lines = [part for part in parts if len(bars_of(notes, *part)) >= LEAST_BARS]
    lines.sort(key=lambda ends: notes[ends[0]].onset - notes[ends[1]].onset)
    return tuple(lines[:1])


def _is_opening(notes: Sequence[Note], ends: Ends) -> bool:
    """Whether a line is the tune that the passage begins with, no louder than mp."""
    return ends[0] == 0 and notes[0].dynamic in (*QUIET, "mp")


def _joined(notes: Sequence[Note], runs: Sequence[Ends], figures: PracticeFigures) -> list[Ends]:
    """The runs, short ones joined that are one tune: soft, slurred, no more than a bar's rest between."""
    found: list[Ends] = []
    for run in runs:
        if found and _goes_with(notes, found[-1], run, figures):
            found[-1] = (found[-1][0], run[1])
        else:
            found.append(run)
    return found


def _goes_with(notes: Sequence[Note], one: Ends, other: Ends, figures: PracticeFigures) -> bool:
    """Whether a run is the other half of the tune before it."""
    both = [notes[first : last + 1] for first, last in (one, other)]
    rest_ms, note = rest_after(notes, one[1]), notes[other[0]]
    bar_ms = note.length_ms / float(note.length) * float(bar_length(note)) if note.length else 0
    near = goes_on(notes, one[1], other[0]) and rest_ms <= max(figures.study_rest_ms, bar_ms) + 1
    tune = all(is_quiet(part) and is_slurred(part, figures) for part in both)
    short = len(bars_of(notes, *other)) <= LEAST_BARS and len(bars_of(notes, one[0], other[1])) <= JOINED_BARS
    return near and tune and short


def _to_arrival(notes: Sequence[Note], ends: Ends, figures: PracticeFigures) -> Ends:
    """A line with the long note that it goes to after a short rest, where that begins no slur."""
    first, last = ends
    long_ms = long_of(notes, ends)
    after = last + 1
    if after == len(notes) or not goes_on(notes, last, after) or notes[last].length_ms >= long_ms:
        return ends
    note, rest_ms = notes[after], rest_after(notes, last)
    slurs_on = after + 1 < len(notes) and notes[after + 1].slurred
    lasts = note.length_ms >= long_ms and note.dynamic == notes[last].dynamic and not note.dynamic_mark
    return (first, after) if 0 < rest_ms <= figures.study_slow_ms and lasts and not slurs_on else ends


def _runs(notes: Sequence[Note], figures: PracticeFigures) -> list[Ends]:
    """The notes from rest to rest; a long trill parts a line, too."""

    def parts(place: int) -> bool:
        trilled = (each for each in notes[place : place + 2] if each.ornament)
        return ends_line(notes, place, figures) or any(each.length_ms >= TRILL_MS for each in trilled)

    cuts = [place + 1 for place in range(len(notes) - 1) if parts(place)]
    return [(first, last - 1) for first, last in zip((0, *cuts), (*cuts, len(notes)), strict=True) if last]


def _parted(notes: Sequence[Note], ends: Ends, figures: PracticeFigures) -> list[Ends]:
    """A line in parts of `line_most_bars` at most, cut near the middle where a phrase begins.

    That is at a mark or a word, after a rest for a breath, after a long note, or where a slur begins.
    """
    first, last = ends
    if len(bars_of(notes, first, last)) <= figures.line_most_bars:
        return [ends]
    middle = (notes[first].onset + notes[last].onset) / 2
    long_ms = long_of(notes, ends)

    def rank(place: int) -> int | None:
        breathes = ends_line(notes, place - 1, figures) and not (notes[place].slurred or notes[place].grace)
        opening = opening_of(notes, place, long_ms)
        return MARKED if breathes else opening

    cuts = [
        (found, abs(notes[place].onset - middle), place)
        for place in range(first + 1, last + 1)
        if min(len(bars_of(notes, first, place - 1)), len(bars_of(notes, place, last))) >= LEAST_BARS
        and (found := rank(place)) is not None
    ]
    if not cuts:
        return [ends]
    cut = min(cuts)[2]
    return [*_parted(notes, (first, cut - 1), figures), *_parted(notes, (cut, last), figures)]


def _without_stress(notes: Sequence[Note], ends: Ends) -> Ends:
    """A line from the first bar on that has no accent such as sf, where enough is left."""
    first, last = ends
    while len(bars_of(notes, first, last)) > LEAST_BARS:
        end = bar_of(notes, first)[1]
        if not any(note.stress for note in notes[first : end + 1]):
            return first, last
        first = end + 1
    return ends


def _without_still(notes: Sequence[Note], ends: Ends) -> Ends:
    """A soft line up to the first of the notes that are all the same at its end, where they are many."""
    first, last = ends
    moved = max((at for at in range(first, last) if notes[at].pitch != notes[last].pitch), default=last)
    few = len(bars_of(notes, first, min(moved + 1, last))) < LEAST_BARS
    ends_still = last - moved > STILL_BARS and len(bars_of(notes, moved + 1, last)) > STILL_BARS
    return (first, moved + 1) if ends_still and not few and is_quiet(notes[first : last + 1]) else ends


def _sings(notes: Sequence[Note], ends: Ends, figures: PracticeFigures, *, named: bool) -> bool:
    """Whether it moves, little is short and enough sings; where it is `named`, whether it moves or sings."""
    within = notes[ends[0] : ends[1] + 1]
    if sum(not note.grace for note in within) < LEAST_NOTES:
        return False
    moves = sum(one.pitch.number != other.pitch.number for one, other in pairwise(within))
    short = sum(bool(SHORT & {*note.articulations}) for note in within)
    still = moves <= MOVES_SHARE * (len(within) - 1)
    if short > SHORT_SHARE * len(within) or (still and not named):
        return False
    song_ms, sounds_ms = _song(within, figures), sum(note.length_ms for note in within)
    if named:
        return not still or song_ms >= LITTLE_SONG * sounds_ms
    share = LITTLE_SONG if _is_opening(notes, ends) else figures.line_share
    return song_ms >= max(LEAST_SONG_MS, share * sounds_ms)


def _song(within: Sequence[Note], figures: PracticeFigures) -> float:
    """How long (ms) notes sound that are slurred and not very quick, or sustained."""
    found = 0.0
    for place, note in enumerate(within):
        if note.grace or note.ornament or note.strokes or SHORT & {*note.articulations}:
            continue
        after = within[place + 1] if place + 1 < len(within) and goes_on(within, place, place + 1) else None
        slurred = note.slurred or (after is not None and after.slurred)
        sustained = note.length >= SUSTAINED_BARS * bar_length(note)
        if sustained or (slurred and note.length_ms >= figures.study_singing_ms):
            found += note.length_ms
    return found
