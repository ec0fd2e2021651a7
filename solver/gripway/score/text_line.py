"""A line of notes while it is read, sign by sign."""

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction

from gripway.errors import NotationError
from gripway.model.key import Key
from gripway.model.passage import DYNAMICS, Note, Passage
from gripway.model.pitch import NotAPitchError, Pitch
from gripway.score.notation_values import DEFAULT_DYNAMIC, length_of
from gripway.score.text_ornaments import OrnamentWord
from gripway.score.text_repeats import FIRST, REPEAT_SIGNS, SECOND, Point, TextRepeats, refuse
from gripway.units import length_ms

OPEN_GRACES, CLOSE_GRACES = "{", "}"
SIGNS = re.compile(r"(\|:|:\|:?|\[[12]|[{}])")
"""What needs no blank around it, but for the brackets of slurs."""

KEY = "key:"
PLAIN_DYNAMICS = {"ppp": "pp", "pppp": "pp", "fff": "ff", "ffff": "ff"}
FINEST = 10**12
"""Finest common unit of the lengths of a line, as a part of a whole note (judgement: lines have hundreds)."""


@dataclass(slots=True)
class TextLine:
    """What has been read so far."""

    unit: Fraction
    tempo: float
    fifths: int
    notes: list[Note] = field(default_factory=list)
    onset: Fraction = Fraction(0)
    dynamic: str = DEFAULT_DYNAMIC
    dynamic_mark: str = ""
    written: int = 0
    joined: bool = False
    slur_place: str = ""
    grace_place: str = ""
    led_place: str = ""
    ornament: OrnamentWord | None = None
    ornament_place: str = ""
    repeats: TextRepeats = field(default_factory=TextRepeats)

    def meet(self, word: str, place: str) -> None:
        """Read one sign, or what stands between signs; NotationError where it means nothing."""
        if word in REPEAT_SIGNS:
            self._repeat(word, place)
            return
        if word.strip("|"):
            self.repeats.promise_second()
        if word == OPEN_GRACES:
            self._open_graces(place)
        elif word == CLOSE_GRACES:
            self._close_graces(place)
        else:
            plain = word.replace("|", "")
            self._slurred(PLAIN_DYNAMICS.get(plain, plain), place)

    def _slurred(self, word: str, place: str) -> None:
        """Read a word with its brackets."""
        core = word.lstrip("(")
        for _ in range(len(word) - len(core)):
            self._open_slur(place)
        plain = core.rstrip(")")
        if "):" in plain:
            refuse(
                "the length stands behind the bracket", place, f"Write it before: {plain.replace(')', '')})"
            )
        if plain in DYNAMICS:
            self.dynamic = self.dynamic_mark = plain
        elif plain.startswith(KEY):
            self._key(plain.removeprefix(KEY), place)
        elif ornament := OrnamentWord.parse(plain):
            self._promise_no_ornament()
            self.ornament, self.ornament_place = ornament, place
        elif plain:
            self._sound(plain, place)
        for _ in range(len(core) - len(plain)):
            self._close_slur(place)

    def _open_slur(self, place: str) -> None:
        if self.slur_place:
            refuse("a slur is opened inside a slur", place, "Close the first one with )")
        self.slur_place, self.joined = place, False

    def _close_slur(self, place: str) -> None:
        if not self.slur_place:
            refuse("a slur is closed that was not opened", place, "Open it with ( before its first note")
        self.slur_place, self.joined = "", False

    def _key(self, name: str, place: str) -> None:
        try:
            self.fifths = Key.parse(name).fifths
        except ValueError:
            raise NotationError(
                f"{name!r} is no key", place=place, next_step="Write key:A, key:Eb, key:F#m (m: minor)"
            ) from None

    def _open_graces(self, place: str) -> None:
        if self.grace_place or self.led_place:
            refuse(
                "grace notes are opened behind grace notes",
                place,
                "Write them in one pair of braces before their note",
            )
        self.grace_place = place

    def _close_graces(self, place: str) -> None:
        if not self.grace_place or not (self.notes and self.notes[-1].grace):
            refuse(
                "there is no grace note to close here",
                place,
                "Write grace notes in braces before their note: {F6 G6} A6",
            )
        self.grace_place, self.led_place = "", self.grace_place

    def _repeat(self, sign: str, place: str) -> None:
        """Play what stands since the opening sign, the last closing one or the beginning a second time."""
        self._promise_nothing("before the repeat sign")
        self._promise_no_slur(" before the repeat sign")
        again = self.repeats.meet(sign, place, self._here)
        if again:
            self._play(*again)
            self._check_onset(place)
        if sign not in (FIRST, SECOND):
            self.repeats.begin(self._here)
        self.joined = False

    @property
    def _here(self) -> Point:
        return len(self.notes), self.onset

    def _play(self, start: Point, end: Point) -> None:
        """Play what stands from one place to another a second time."""
        later = self.onset - start[1]
        self.notes += [
            replace(
                note,
                onset=note.onset + later,
                onset_ms=length_ms(note.onset + later, self.tempo),
                time_through=note.time_through + 1,
            )
            for note in self.notes[start[0] : end[0]]
        ]
        self.onset += end[1] - start[1]

    def _sound(self, word: str, place: str) -> None:
        name, colon, length_text = word.partition(":")
        if self.grace_place:
            self._grace(name, bool(colon), place)
            return
        length = length_of(length_text, place) if colon else self.unit
        if name == "r":
            self._promise_nothing("before the rest")
            self.joined = False
        else:
            self.notes.append(self._note(name, length, place))
            self.joined = bool(self.slur_place)
        self.onset += length
        self._check_onset(place)

    def _check_onset(self, place: str) -> None:
        if self.onset.denominator > FINEST:
            refuse(
                "the lengths up to here have no common unit",
                place,
                "Write lengths that fit together, such as 1/8, 3/16 and 1/12",
            )

    def _grace(self, name: str, has_length: bool, place: str) -> None:
        if has_length or name == "r":
            refuse(
                "in braces stand grace notes, without lengths and rests",
                place,
                "Write their pitches only: {F6 G6}",
            )
        ornament, self.ornament = self.ornament, None  # it belongs to the note they lead to
        self.notes.append(replace(self._note(name, Fraction(0), place), grace=True))
        self.ornament, self.joined = ornament, bool(self.slur_place)

    def _promise_no_slur(self, where: str = "") -> None:
        """NotationError where a slur is open."""
        if self.slur_place:
            refuse(f"the slur opened here is never closed{where}", self.slur_place, "Close it with )")

    def _promise_no_ornament(self) -> None:
        """NotationError where an ornament has been written whose note has not come."""
        if self.ornament:
            called = "trill" if self.ornament.kind == "trill" else "ornament"
            refuse(f"this {called} has no note", self.ornament_place, "Write it before its note: tr A6:1/4")

    def _promise_nothing(self, where: str) -> None:
        """NotationError where the note of an ornament or of grace notes has not come."""
        self._promise_no_ornament()
        if self.grace_place:
            refuse(
                f"the grace notes opened here are not closed {where}", self.grace_place, "Close them with }"
            )
        if self.led_place:
            refuse(
                f"these grace notes lead to no note {where}",
                self.led_place,
                "Write them before their note: {F6 G6} A6",
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
        ornament = self.ornament.on(pitch, self.fifths) if self.ornament else None
        self.ornament = None
        self.led_place = self.led_place if self.grace_place else ""
        self.written += 1
        mark, self.dynamic_mark = self.dynamic_mark, ""
        return Note(
            id=f"n{self.written}",
            bar="",
            pitch=pitch,
            onset=self.onset,
            length=length,
            onset_ms=length_ms(self.onset, self.tempo),
            length_ms=length_ms(length, self.tempo),
            dynamic=self.dynamic,
            slurred=self.joined,
            fifths=self.fifths,
            ornament=ornament,
            dynamic_mark=mark,
        )

    def passage(self) -> Passage:
        """The finished passage; NotationError when a slur is open or there is no note."""
        self._promise_no_slur()
        self._promise_nothing("before the end")
        self.repeats.promise_closed()
        if not self.notes:
            raise NotationError("there are no notes", next_step="Write for example: F#6 G6 A6:1/8")
        return Passage(tuple(self._timed()))

    def _timed(self) -> list[Note]:
        """The notes, those around grace notes as long as these leave them."""
        if not any(note.grace for note in self.notes):
            return self.notes
        from gripway.score.reading.performance import time_graces

        return time_graces(self.notes)
