"""A written passage: notes in the order they are played, with what the fingers need to know."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil

from gripway.display import Shown, brief, counted
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

DYNAMICS = ("pp", "p", "mp", "mf", "f", "ff")
"""The dynamic marks the model tells apart; ppp reads as pp, fff as ff."""

LEVELS = (*DYNAMICS, "ppp", "fff")
"""The same with those that count as pp and ff, as they are printed."""

ASSUMED = "assumed"
"""How the tempo of a passage is called that nothing tells."""

PRINTED, PLAYBACK, WORD, ASKED = "printed", "playback", "word", "asked"
"""Where else a tempo comes from: a printed number, only the sound of the file, a tempo word, the player."""

ORNAMENT_KINDS = ("trill", "mordent", "inverted-mordent", "turn", "inverted-turn", "tremolo")


@dataclass(frozen=True, slots=True)
class Ornament:
    """An ornament on a note: its kind and the other written pitches it touches.

    `upper` and `lower` are the auxiliary pitches (None where the ornament has none); for a
    fingered tremolo the partner pitch stands in `upper` or `lower`, whichever it is. A trill may
    start on its upper note (`from_upper`) and end with a turn: the written note, `ending` below it,
    the written note. `other_grip` is a grip that is asked for of a trill's other note (None: any).
    """

    kind: str
    upper: Pitch | None = None
    lower: Pitch | None = None
    from_upper: bool = False
    ending: Pitch | None = None
    other_grip: Grip | None = None

    def __post_init__(self) -> None:
        if self.kind not in ORNAMENT_KINDS:
            raise ValueError(f"no such ornament: {self.kind!r}")


@dataclass(frozen=True, slots=True)
class Stress:
    """A mark for one note alone, such as sf or fp, and the dynamic that holds after it."""

    mark: str
    level: str


CRESCENDO, DIMINUENDO = "crescendo", "diminuendo"
"""Kinds of hairpins."""


@dataclass(frozen=True, slots=True)
class Hairpin:
    """A hairpin over a note: its kind, and where it `begins` and `ends` from the note's onset on.

    Both in whole notes; it begins before the note where that is below zero, and may end after it.
    """

    kind: str
    begins: Fraction
    ends: Fraction


@dataclass(frozen=True, slots=True)
class Note:
    """One sounded note (ties already joined) at its place in played order.

    `onset` and `length` are fractions of a whole note, counted in played order; `onset_ms`
    and `length_ms` follow the tempo. A grace note has length 0 and grace=True; its
    `length_ms` is what the reader allowed it. `id` names the written note (k-th note
    element of the part, from 1: "P1-n17"); `time_through` is 2 or more when a repeat plays
    the same written note again. `slurred` is true when the note is slurred (or lies under
    a slur) from the note before it. `fifths` is the key signature (-1 = one flat).
    `fingering` holds the text of fingerings already in the source, however they stand there.
    `problem` says why no grip can be looked for (a microtone; `pitch` is then rounded towards
    its plain letter) and is empty for every other note. `at` is where it begins in its bar, in
    whole notes; `beam` the number of its beamed group in the part, 0 where it has no beam. `metre` is
    the time signature there (beats and their kind), None where nothing tells. `words` say how to play from
    there on, as they are written (dolce, cresc.). `stress` is a mark for this note alone, whose `dynamic` is
    what it makes of it; `hairpins` are those that are open while it sounds (none over grace notes).
    `manner` are the words of character that hold there, written at it or before. `strokes` through its stem
    stand for the same pitch again and again, one for eighths, two for sixteenths.
    `dynamic_mark` is the mark printed at it, if any; `dynamic_sure` whether its dynamic is that of the last
    mark for sure, as nothing grew or faded since nor was there a long silence; `during` are marks and words
    that stand under it while it is held, each with its time from the onset on (whole notes). One that is
    `held_over` began before. `tempo_words` are those of a tempo that begins at it, such as Presto.
    """

    id: str
    bar: str
    pitch: Pitch
    onset: Fraction
    length: Fraction
    onset_ms: float
    length_ms: float
    dynamic: str = "mf"
    slurred: bool = False
    fifths: int = 0
    ornament: Ornament | None = None
    grace: bool = False
    time_through: int = 1
    articulations: tuple[str, ...] = ()
    fingering: tuple[str, ...] = ()
    problem: str = ""
    at: Fraction = Fraction(0)
    beam: int = 0
    metre: tuple[int, int] | None = None
    words: tuple[str, ...] = ()
    stress: Stress | None = None
    hairpins: tuple[Hairpin, ...] = ()
    manner: tuple[str, ...] = ()
    strokes: int = 0
    dynamic_mark: str = ""
    dynamic_sure: bool = True
    during: tuple[tuple[Fraction, str], ...] = ()
    held_over: bool = False
    tempo_words: str = ""

    def __repr__(self) -> str:
        return brief(
            self, self.pitch.name, self.id, f"bar {self.bar}" if self.bar else "", f"{self.length_ms:.0f} ms"
        )


def bar_length(note: Note) -> Fraction:
    """How long a bar of its metre is, in whole notes; 1 where nothing tells its metre."""
    return Fraction(*note.metre) if note.metre else Fraction(1)


def rest_between(note: Note, after: Note) -> Fraction:
    """The rest between a note and one after it, in whole notes; below zero where they overlap."""
    return after.onset - note.onset - note.length


def between_rests(notes: Sequence[Note]) -> list[range]:
    """The notes, by index, that follow one another without a rest."""
    begins = [at for at, note in enumerate(notes) if not at or rest_between(notes[at - 1], note) > 0]
    return [range(*ends) for ends in pairwise((*begins, len(notes)))]


def grace_groups(notes: Sequence[Note]) -> Iterator[range]:
    """The grace notes before each note, by index, with it."""
    at = 0
    for grace, group in groupby(notes, key=lambda note: note.grace):
        count = len(list(group))
        if grace and at + count < len(notes):
            yield range(at, at + count + 1)
        at += count


def bars_held(note: Note) -> int:
    """In how many bars of its metre a note sounds; 1 where nothing tells its metre."""
    return max(1, ceil((note.at + note.length) / bar_length(note))) if note.metre else 1


def last_bar(note: Note) -> str:
    """The number of the bar in which a note ends: that of its own where bars have no numbers.

    >>> held = Note("P1-n1", "119", Pitch.parse("G5"), Fraction(0), Fraction(3, 4), 0.0, 1.0, metre=(2, 4))
    >>> last_bar(held)
    '120'
    """
    return _later_bar(note, bars_held(note) - 1)


def bar_at(note: Note, after: Fraction) -> str:
    """The number of the bar that has come so long (whole notes) after a note begins."""
    return _later_bar(note, int((note.at + after) // bar_length(note)) if note.metre else 0)


def _later_bar(note: Note, more: int) -> str:
    """The number of the bar so many bars after that of a note; its own where bars have no numbers."""
    return str(int(note.bar) + more) if more and note.bar.isdecimal() else note.bar


def rest_from(note: Note, begin: Fraction, bar: str, metre: tuple[int, int] | None) -> Note:
    """What is left of a note where a bar begins in which it still sounds: with the marks from there on."""
    left, gone = note.onset + note.length - begin, begin - note.onset
    during = tuple((after - gone, text) for after, text in note.during if after >= gone)
    marks = [text for after, text in during if not after and text.split()[-1] in LEVELS]
    return replace(
        note,
        bar=bar,
        metre=metre,
        onset=Fraction(0),
        onset_ms=0.0,
        at=Fraction(0),
        length=left,
        length_ms=note.length_ms * float(left / note.length),
        slurred=False,
        ornament=None,
        articulations=(),
        words=(),
        tempo_words="",
        stress=None,
        hairpins=tuple(
            replace(each, begins=each.begins - gone, ends=each.ends - gone)
            for each in note.hairpins
            if each.ends > gone
        ),
        during=tuple(each for each in during if each[1] not in marks[:1] or each[0]),
        dynamic_mark=marks[0] if marks else "",
    )


@dataclass(frozen=True, slots=True)
class Remark:
    """Something the reader had to assume or leave out, with its place."""

    text: str
    bar: str = ""
    note_id: str = ""


@dataclass(frozen=True, slots=True)
class Upbeat:
    """The notes of an upbeat to a passage, and how long it lasts; whether its slur goes on over the bar line.

    Their onsets are counted from the first of them.
    """

    notes: tuple[Note, ...]
    length: Fraction
    slurred_on: bool = False


@dataclass(frozen=True, slots=True)
class BarMetre:
    """The metre from a bar on, and the length of bars there (whole notes): less in one that is short."""

    bar: str
    metre: tuple[int, int]
    length: Fraction


@dataclass(frozen=True, slots=True)
class Passage(Shown):
    """Notes in played order, with where they come from and what was assumed on reading.

    `tempo_by` says how the tempo at the beginning is known where no number gives it: the words it was
    taken from, or ASSUMED. `tempo_from` says where the tempo of most notes comes from (PRINTED, PLAYBACK,
    WORD, ASKED, ASSUMED; empty: unknown), and the words or the mark printed there.
    `printed` is the tempo that the score prints for it whatever is asked (quarters a minute), and its number
    or word. `silent_bars` are the bars asked for, at the beginning and the end, in which no note begins.
    `held_over` is a note from before that still sounds as the first bar asked for begins (that of the first
    note where the metre changes between), with what is left of it. `on_to` are the notes after the last bar
    to which a slur or a run goes on, with onsets counted as those of the notes. `opus` is the number of
    the work (`Op.68`), `movement` that of the movement. `tempo_bars` are the bars in which a mark of tempo
    stands in the score, whatever is asked; `about_bars` those from which one holds that no number tells,
    printed or asked for: the file's alone, or a word's. `upbeat` is that to the first bar, in the bar before
    it after a rest; None where there is none. `metres` are the bars of the part from which another metre
    holds or bars have another length, with both. `held_rests` are the bars in which a rest has a fermata.
    """

    notes: tuple[Note, ...]
    title: str = ""
    part: str = ""
    remarks: tuple[Remark, ...] = field(default=())
    tempo_by: str = ""
    composer: str = ""
    work: str = ""
    tempo_from: tuple[str, str] = ("", "")
    silent_bars: tuple[str, ...] = ()
    printed: tuple[float, str] = (0.0, "")
    opus: str = ""
    movement: str = ""
    held_over: Note | None = None
    tempo_bars: tuple[str, ...] = ()
    about_bars: tuple[str, ...] = ()
    upbeat: "Upbeat | None" = None
    on_to: tuple[Note, ...] = ()
    metres: tuple[BarMetre, ...] = ()
    held_rests: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return brief(self, *self.counts, self.title, self.part, _beginning(self.notes))

    @property
    def counts(self) -> tuple[str, ...]:
        """How many notes are played, and where repeats play some again how many are written."""
        again = any(note.time_through > 1 for note in self.notes)
        written = len({note.id for note in self.notes})
        played = counted(len(self.notes), "note")
        return (f"{played} played", f"{written} written") if again else (played,)


def tempo_bar(passage: Passage, at: int) -> str:
    """The bar in which the tempo of a note begins: that of the last mark after the note before it began.

    Its own where no mark stands between: a mark may stand under a tied note or over a rest.
    """
    own, before = passage.notes[at].bar, passage.notes[at - 1].bar if at else ""
    if not (own.isdecimal() and before.isdecimal()):
        return own
    marks = (int(bar) for bar in passage.tempo_bars if bar.isdecimal())
    return str(max((bar for bar in marks if int(before) < bar <= int(own)), default=int(own)))


def is_about(passage: Passage, bar: str) -> bool:
    """Whether the tempo that holds in a bar is one that no number tells."""
    if not (passage.about_bars and bar.isdecimal()):
        return False
    held = (mark for mark in passage.tempo_bars if mark.isdecimal() and int(mark) <= int(bar))
    return max(held, key=int, default="") in passage.about_bars


def metre_of_bar(metres: Sequence[BarMetre], number: int) -> BarMetre | None:
    """The metre of a bar, of those that hold from some bars on; None before the first of them."""
    return next((each for each in reversed(metres) if each.bar.isdecimal() and int(each.bar) <= number), None)


FIRST_NOTES = 6
"""Notes a passage is told by."""


def _beginning(notes: tuple[Note, ...]) -> str:
    names = " ".join(note.pitch.name for note in notes[:FIRST_NOTES])
    return names + " ..." * (len(notes) > FIRST_NOTES)


def quarters_per_minute(passage: Passage) -> float:
    """Tempo of the first measured note, in quarters per minute; 0 where no note is measured."""
    return quarters_of(*passage.notes)


def quarters_of(*notes: Note) -> float:
    """Tempo of the first measured one of some notes, in quarters per minute; 0 where none is measured."""
    for note in notes:
        if note.length > 0 and note.length_ms > 0:
            return float(note.length) * 4 * 60_000.0 / note.length_ms
    return 0.0
