"""What is to be asked about tempos: a goal far from the printed one, a new metre without a mark.

And the bars in which a click is no help.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil, log, log1p

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import ASKED, Note, Passage, bar_at, is_about, last_bar, quarters_of, tempo_bar
from gripway.model.tempo import BEATS, EIGHTH, QUARTER, Metre, written_beat
from gripway.score.reading.expression_words import TEMPO, is_faster, is_gradual, is_quicker, kind_of

GOAL_AS_PRINTED = 0.02
"""A goal that is no further from the printed tempo is that (judgement)."""


@dataclass(frozen=True, slots=True)
class OwnGoal:
    """A goal that was asked for and the tempo that is printed, in quarters a minute, with the printed mark.

    `beat` is that of the metre, in quarters; `meant` the one (in quarters) in which the number asked for
    would be the printed tempo, None where it is that in none. One that is `far` is asked about.
    """

    quarters: float
    printed: float
    mark: str
    beat: Fraction
    meant: Fraction | None
    far: bool

    @property
    def share(self) -> float:
        """The share of the printed tempo that is the goal."""
        return self.quarters / self.printed


def own_goal(passage: Passage, figures: PracticeFigures) -> OwnGoal | None:
    """The goal of a passage where it was asked for and is not what is printed; else None."""
    printed, mark = passage.printed
    tempos = sorted((tempo, at) for at, note in enumerate(passage.notes) if (tempo := quarters_of(note)))
    if passage.tempo_from[0] != ASKED or not printed or not tempos:
        return None
    quarters, at = tempos[len(tempos) // 2]
    beat = written_beat(passage.notes[at].metre)

    def is_near(tempo: float) -> bool:
        return figures.goal_least_share <= tempo / printed <= figures.goal_most_share

    if abs(quarters / printed - 1) <= GOAL_AS_PRINTED:
        return None
    if is_near(quarters):
        return OwnGoal(quarters, printed, mark, beat, None, far=False)
    meant = _meant(quarters, printed, figures)
    if meant is None and beat != QUARTER and is_near(quarters * float(beat)):
        meant = beat
    return OwnGoal(quarters, printed, mark, beat, meant, far=True)


def doubtful_goal(passage: Passage, figures: PracticeFigures) -> OwnGoal | None:
    """The goal of a passage where it was asked for and lies far from what is printed; else None."""
    goal = own_goal(passage, figures)
    return goal if goal and goal.far else None


def offered_above(
    passage: Passage, quarters: float, turn: int, hardest: float | None, figures: PracticeFigures
) -> tuple[int, ...]:
    """Tempos above a goal that lies under the printed one, on a day that offers such for the so manyth time.

    Two steps more each time, up to what is printed where that is a step away: whoever likes goes on. Where
    nothing is hard (`hardest` is then the highest load) the steps to a far mark are wide, and a faster word
    without a number (Più Allegro) has some too, as far as fingers go.
    """
    goal, wide = own_goal(passage, figures), figures.stride_notches if hardest is not None else 1
    if goal and (goal.far or "=" in goal.mark):
        top, notches = goal.printed, wide if goal.far else 1
    elif hardest is not None and _is_quicker(passage):
        top, notches = quarters * (1 + figures.notch_share) ** figures.sitting_notches, wide
        top *= hardest * top <= quarters
    else:
        return ()
    if top < round(quarters * (1 + figures.notch_share)):
        return ()
    count = max(1, ceil(log(top / quarters) / log1p(figures.notch_share) / notches - ROUNDING))
    steps = (round(quarters * (top / quarters) ** (step / count)) for step in range(1, count + 1))
    return tuple(steps)[: min(OFFERED * turn, figures.sitting_notches)]


def is_only_faster(passage: Passage, bar: str) -> bool:
    """Whether the tempo in a bar is one that no number tells, only a word of faster (Più Allegro)."""
    if not is_about(passage, bar):
        return False
    begun = max(int(mark) for mark in passage.tempo_bars if mark.isdecimal() and int(mark) <= int(bar))
    there = (note for note in passage.notes if note.bar.isdecimal() and begun <= int(note.bar) <= int(bar))
    return any(is_quicker(word) for note in there for word in note.words)


def _is_quicker(passage: Passage) -> bool:
    """Whether a tempo was asked for where only a word such as Più Allegro tells one."""
    words = passage.notes[0].words
    return passage.tempo_from[0] == ASKED and "=" not in passage.printed[1] and any(map(is_quicker, words))


OFFERED = 2
"""Tempos that a day offers above its goal, and the next such day more."""

ROUNDING = 0.1
"""Part of a step that is no step of its own."""


def _meant(asked: float, printed: float, figures: PracticeFigures) -> Fraction | None:
    """The beat in which a number is the printed tempo, or nearly; None where it is that in none."""
    away, beat = min((abs(asked * float(beat) / printed - 1), beat) for beat in BEATS if beat != QUARTER)
    return beat if away <= figures.goal_meant_share else None


@dataclass(frozen=True, slots=True)
class MetreChange:
    """A bar from which another metre holds, and what lasts as long before and after it, in quarters.

    The key may be another too: a section of its own then, whose tempo nothing tells. `first` and `last` are
    the notes up to the next mark of tempo, or to where metre and key are `back` from before.
    """

    bar: str
    metre: Metre
    stays: Fraction
    first: int
    last: int
    another_key: bool
    back: bool = False


def untold_changes(passage: Passage, figures: PracticeFigures) -> tuple[MetreChange, ...]:
    """Where the metre changes for `metre_least_bars` or more and no mark tells the tempo: it is as before.

    Not where it returns after fewer: the bars between are no section of their own.
    """
    notes = passage.notes
    begins = [at for at, note in enumerate(notes) if not at or note.metre != notes[at - 1].metre]
    found: list[MetreChange] = []
    for at, end in pairwise([*begins, len(notes)]):
        note, last = notes[at], last_bar(notes[end - 1])
        before = notes[at - 1].metre
        if not at or not note.metre or not before or tempo_bar(passage, at) in passage.tempo_bars:
            continue
        same = round(quarters_of(notes[at - 1])) == round(quarters_of(note))
        if not (same and note.bar.isdecimal()) or _returns(notes[:at], note, figures.metre_least_bars):
            continue
        bar = _begun_in(passage, at)
        if int(last) - bar + 1 >= figures.metre_least_bars:
            stays = EIGHTH if 8 in (before[1], note.metre[1]) else QUARTER
            marked = (to for to in range(at + 1, len(notes)) if tempo_bar(passage, to) in passage.tempo_bars)
            until = next(marked, len(notes)) - 1
            key = note.fifths != notes[at - 1].fifths
            back = any((each.metre, each.fifths) == (note.metre, note.fifths) for each in notes[:at])
            if back:
                found = [replace(each, last=min(each.last, at - 1)) for each in found]
            found.append(MetreChange(str(bar), note.metre, stays, at, until, key and not back, back))
    return tuple(found)


def _begun_in(passage: Passage, at: int) -> int:
    """The bar in which the metre of a note began: it may be one without notes before that."""
    note, before = passage.notes[at], last_bar(passage.notes[at - 1])
    bar = int(note.bar)
    for each in reversed(passage.metres):
        if not each.bar.isdecimal() or int(each.bar) > bar:
            continue
        if each.metre != note.metre or int(each.bar) <= int(before):
            break
        bar = int(each.bar)
    return bar


def _returns(before: Sequence[Note], note: Note, bars: int) -> bool:
    """Whether the metre of a note held fewer than so many bars before its own."""
    had = next((last_bar(each) for each in reversed(before) if each.metre == note.metre), "")
    return had.isdecimal() and int(note.bar) - int(had) - 1 < bars


@dataclass(frozen=True, slots=True)
class GradualBars:
    """First and last bar of a stretch that goes slower on the way, or `faster`."""

    first: int
    last: int
    faster: bool = False


def gradual_bars(passage: Passage, figures: PracticeFigures) -> tuple[GradualBars, ...]:
    """The first and the last bar of each stretch that goes slower or faster on the way: no click fits there.

    Up to the next mark or word of tempo. Where none comes, what goes slower lasts `gradual_most_bars`, what
    goes faster lasts to the end.
    """
    numbered = [note for note in passage.notes if note.bar.isdecimal() and note.time_through == 1]
    if not numbered:
        return ()
    words = [each for note in numbered for each in _words_of(note)]
    marks = {int(bar) for bar in passage.tempo_bars if bar.isdecimal()}
    marks |= {bar for bar, word in words if kind_of(word) == TEMPO and not is_gradual(word)}
    end = max(int(last_bar(note)) for note in numbered)
    found: list[GradualBars] = []
    for bar, word in words:
        if not is_gradual(word) or (found and bar <= found[-1].last):
            continue
        most = end if is_faster(word) else bar + figures.gradual_most_bars - 1
        last = min((mark - 1 for mark in marks if mark > bar), default=min(most, end))
        found.append(GradualBars(bar, min(last, end), is_faster(word)))
    return tuple(found)


def _words_of(note: Note) -> Iterator[tuple[int, str]]:
    """The words at a note and under it, each with its bar."""
    yield from ((int(note.bar), word) for word in note.words)
    yield from ((int(bar_at(note, after)), word) for after, word in note.during)
