"""Where the music grows or fades for long: hairpins and words such as cresc., in whole bars."""

from collections.abc import Sequence
from fractions import Fraction

from gripway.model.passage import DYNAMICS, Note, bar_length, rest_between
from gripway.practice.ways.around import Ends
from gripway.practice.ways.way_conditions import is_expressive
from gripway.practice.ways.whole_passage import bar_of, goes_on
from gripway.score.reading.expression_words import COURSE, kind_of

LEAST_BARS = 2
"""What grows or fades for so many bars is worked on (judgement)."""

LEAST_HAIRPINS = 3
"""So are so many hairpins that come one after another (judgement)."""

WORD_BARS = 4
"""A word without a mark after it is taken to hold for so many bars at most (judgement)."""

LOUDNESS = frozenset(DYNAMICS)
"""Marks of loudness, as they stand in words under a held note."""

MARK_BARS = 24
"""A mark so many bars after a word is what it leads to (judgement)."""


def swells(notes: Sequence[Note]) -> tuple[Ends, ...]:
    """First and last notes of bars that grow or fade: what grows first, the longest of all."""
    found: list[Ends] = []
    met: set[str] = set()
    for run in _runs(notes):
        within = notes[run[0] : run[1] + 1]
        if not met & {note.id for note in within} and _is_work(within):
            found.append((bar_of(notes, run[0])[0], bar_of(notes, run[1])[1]))
        met |= {note.id for note in within}

    def exposed(ends: Ends) -> tuple[bool, bool, Fraction, int]:
        within = notes[ends[0] : ends[1] + 1]
        return not _turns(within)[0], not is_expressive(within), -_bars_of(within), ends[0]

    return tuple(sorted(dict.fromkeys(found), key=exposed))


def grows_and_fades(notes: Sequence[Note], ends: Ends) -> tuple[bool, bool]:
    """Whether some bars grow, and whether they fade, by the hairpins and words that stand there."""
    return _turns(notes[ends[0] : ends[1] + 1])


def _turns(within: Sequence[Note]) -> tuple[bool, bool]:
    pins = {pin.kind for note in within for pin in note.hairpins}
    words = (word for note in within for word in (*note.words, *(said for _, said in note.during)))
    said = [word.lower() for word in words if kind_of(word) == COURSE]
    grown = ["cresc" in word.replace("decresc", "") or "rinf" in word for word in said]
    return "crescendo" in pins or any(grown), bool(pins - {"crescendo"}) or not all(grown)


def _runs(notes: Sequence[Note]) -> list[Ends]:
    """Notes that grow or fade one after another, no more than a bar between them."""
    growing = _growing(notes)
    runs: list[list[int]] = []
    for place in (place for place in range(len(notes)) if growing[place]):
        last = runs[-1][1] if runs else None
        if last is not None and _is_near(notes, last, place):
            runs[-1][1] = place
        else:
            runs.append([place, place])
    return [(first, last) for first, last in runs]


def _growing(notes: Sequence[Note]) -> list[bool]:
    """Whether each note stands under a hairpin, or after a word up to the next mark."""
    found: list[bool] = []
    until: Fraction | None = None
    for place, note in enumerate(notes):
        if until is not None and (note.onset > until or not goes_on(notes, place - 1, place)):
            until = None
        words = (*note.words, *(word for _, word in note.during))
        if any(kind_of(word) == COURSE for word in words):
            until = _reached(notes, place)
        found.append(bool(note.hairpins) or (until is not None and note.onset <= until))
    return found


def _reached(notes: Sequence[Note], place: int) -> Fraction:
    """The onset of the note whose mark a word leads to; where none is near, `WORD_BARS` on."""
    begun = notes[place].onset
    marks = (
        note.onset
        for note in notes[place + 1 :]
        if (note.dynamic_mark or any(LOUDNESS & {*word.split()} for _, word in note.during))
        and note.time_through == notes[place].time_through
    )
    near = next(marks, None)
    bar = bar_length(notes[place])
    return near if near is not None and near - begun <= MARK_BARS * bar else begun + WORD_BARS * bar


def _is_near(notes: Sequence[Note], one: int, other: int) -> bool:
    """Whether two notes have no more than a bar between them."""
    between = rest_between(notes[one], notes[other])
    return between <= bar_length(notes[one]) and all(goes_on(notes, at, at + 1) for at in range(one, other))


def _is_work(within: Sequence[Note]) -> bool:
    """Whether some notes grow or fade for long enough, or often enough, over more than one note."""
    begun = sum(pin.begins >= 0 for note in within for pin in note.hairpins)
    return len(within) > 1 and (_bars_of(within) >= LEAST_BARS or begun >= LEAST_HAIRPINS)


def _bars_of(within: Sequence[Note]) -> Fraction:
    """How long notes last, in bars."""
    return (within[-1].onset + within[-1].length - within[0].onset) / bar_length(within[0])
