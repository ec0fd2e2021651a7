"""The one-line notation of shell, tests and page: `(F#6 G6:1/8) r A6 ff B6`.

Words between blanks: `PITCH[:LENGTH]`, `r[:LENGTH]` a rest, `pp p mp mf f ff` hold until changed,
`(` and `)` around slurred groups, `|` ignored.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from gripway.errors import NotationError, RequestError
from gripway.model.passage import DYNAMICS, Note, Passage
from gripway.model.pitch import NotAPitchError, Pitch
from gripway.units import length_ms

DEFAULT_UNIT = Fraction(1, 16)
DEFAULT_TEMPO = 96.0
DEFAULT_DYNAMIC = "mf"
_LENGTH = re.compile(r"[0-9]{1,6}(/[0-9]{1,6})?")
PLAIN_DYNAMICS = {"ppp": "pp", "pppp": "pp", "fff": "ff", "ffff": "ff"}
FINEST = 10**12
"""Finest common unit of the lengths of a line, as a part of a whole note (judgement: lines have hundreds)."""

LONGEST = 64
"""Longest single note or rest, in whole notes (judgement: longer is a slip of the pen)."""


def read_notation(
    text: str, unit: Fraction = DEFAULT_UNIT, tempo: float = DEFAULT_TEMPO, fifths: int = 0
) -> Passage:
    """The passage a line of notation spells.

    `unit` is the length in whole notes of a word without one, `tempo` quarters a minute,
    `fifths` the key signature. Raises NotationError at the word that means nothing.

    >>> [note.pitch.name for note in read_notation("F#6 (G6 A6:1/8)").notes]
    ['F#6', 'G6', 'A6']
    """
    if unit <= 0 or not 0 < tempo < math.inf:
        raise RequestError("unit and tempo must be above zero", next_step="Give for example 1/16 and 96")
    line = _TextLine(unit, tempo, fifths)
    for place, (word, sign) in enumerate(_words(text), start=1):
        line.meet(sign, f"word {place}, {word!r}")
    return line.passage()


def _words(text: str) -> Iterator[tuple[str, str]]:
    """Each word between blanks, with bar signs out."""
    for word in text.split():
        plain = word.replace("|", "")
        yield word, PLAIN_DYNAMICS.get(plain, plain)


@dataclass(slots=True)
class _TextLine:
    """What has been read so far."""

    unit: Fraction
    tempo: float
    fifths: int
    notes: list[Note] = field(default_factory=list)
    onset: Fraction = Fraction(0)
    dynamic: str = DEFAULT_DYNAMIC
    slur_place: str = ""
    joined: bool = False

    def meet(self, word: str, place: str) -> None:
        """Read one word with its brackets."""
        core = word.lstrip("(")
        for _ in range(len(word) - len(core)):
            self._open_slur(place)
        plain = core.rstrip(")")
        if "):" in plain:
            raise NotationError(
                "the length stands behind the bracket",
                place=place,
                next_step=f"Write it before: {plain.replace(')', '')})",
            )
        if plain in DYNAMICS:
            self.dynamic = plain
        elif plain:
            self._sound(plain, place)
        for _ in range(len(core) - len(plain)):
            self._close_slur(place)

    def _open_slur(self, place: str) -> None:
        if self.slur_place:
            raise NotationError(
                "a slur is opened inside a slur", place=place, next_step="Close the first one with )"
            )
        self.slur_place, self.joined = place, False

    def _close_slur(self, place: str) -> None:
        if not self.slur_place:
            raise NotationError(
                "a slur is closed that was not opened",
                place=place,
                next_step="Open it with ( before its first note",
            )
        self.slur_place, self.joined = "", False

    def _sound(self, word: str, place: str) -> None:
        name, colon, length_text = word.partition(":")
        length = length_of(length_text, place) if colon else self.unit
        if name == "r":
            self.joined = False
        else:
            self.notes.append(self._note(name, length, place))
            self.joined = bool(self.slur_place)
        self.onset += length
        if self.onset.denominator > FINEST:
            raise NotationError(
                "the lengths up to here have no common unit",
                place=place,
                next_step="Write lengths that fit together, such as 1/8, 3/16 and 1/12",
            )

    def _note(self, name: str, length: Fraction, place: str) -> Note:
        try:
            pitch = Pitch.parse(name)
        except NotAPitchError as problem:
            raise NotationError(
                f"{name!r} is neither a pitch nor a rest nor a dynamic",
                place=place,
                next_step=problem.next_step
                if problem.english
                else "Write a pitch as letter, # or b, octave and perhaps a length (F#6:1/8), "
                "r for a rest, or one of " + " ".join(DYNAMICS),
            ) from None
        return Note(
            id=f"n{len(self.notes) + 1}",
            bar="",
            pitch=pitch,
            onset=self.onset,
            length=length,
            onset_ms=length_ms(self.onset, self.tempo),
            length_ms=length_ms(length, self.tempo),
            dynamic=self.dynamic,
            slurred=self.joined,
            fifths=self.fifths,
        )

    def passage(self) -> Passage:
        """The finished passage; NotationError when a slur is open or there is no note."""
        if self.slur_place:
            raise NotationError(
                "the slur opened here is never closed", place=self.slur_place, next_step="Close it with )"
            )
        if not self.notes:
            raise NotationError("there are no notes", next_step="Write for example: F#6 G6 A6:1/8")
        return Passage(tuple(self.notes))


def length_of(text: str, place: str) -> Fraction:
    """A note value such as 1/8 as a fraction of a whole note; NotationError when it is none."""
    try:
        length = Fraction(text) if _LENGTH.fullmatch(text) else Fraction(0)
    except ZeroDivisionError:
        length = Fraction(0)
    if not 0 < length <= LONGEST:
        raise NotationError(
            f"{text!r} is no length",
            place=place,
            next_step="Write a fraction of a whole note, such as 1/8 or 3/16",
        )
    return length


GRACE_LENGTH = Fraction(1, 32)
"""Length a grace note is written out with, in whole notes (judgement: the notation has no grace notes)."""


def write_notation(passage: Passage, unit: Fraction = DEFAULT_UNIT) -> str:
    """The line that spells a passage; gaps become rests, grace notes short notes.

    Reading it again with the same unit gives the same pitches, lengths, dynamics and slurs.
    Lengths equal to `unit` (whole notes) are left out.

    >>> write_notation(read_notation("F#6 (G6 A6:1/8)"))
    'F#6 (G6 A6:1/8)'
    """
    words: list[str] = []
    dynamic, end = DEFAULT_DYNAMIC, Fraction(0)
    for place, note in enumerate(passage.notes):
        if note.onset > end:
            words.append("r" + _length_suffix(note.onset - end, unit))
        if note.dynamic != dynamic:
            dynamic = note.dynamic
            words.append(dynamic)
        length = GRACE_LENGTH if note.grace else note.length
        opens, closes = slur_ends(passage.notes, place)
        words.append("(" * opens + note.pitch.name + _length_suffix(length, unit) + ")" * closes)
        end = max(end, note.onset + note.length)
    return " ".join(words)


def _length_suffix(length: Fraction, unit: Fraction) -> str:
    return "" if length == unit else f":{length}"


def slur_ends(notes: tuple[Note, ...], place: int) -> tuple[bool, bool]:
    """Whether a slurred group begins and ends at this note."""
    joined = _joined(notes, place)
    goes_on = _joined(notes, place + 1)
    return goes_on and not joined, joined and not goes_on


def _joined(notes: tuple[Note, ...], place: int) -> bool:
    """Whether the note is slurred from the one before it in the passage, without a rest between."""
    if not 0 < place < len(notes) or not notes[place].slurred:
        return False
    before = notes[place - 1]
    return notes[place].onset <= before.onset + before.length
