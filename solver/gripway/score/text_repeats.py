"""Repeats in the one-line notation: what is played a second time, and with which ending."""

from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from gripway.errors import NotationError

OPEN, CLOSE, BOTH, FIRST, SECOND = "|:", ":|", ":|:", "[1", "[2"
REPEAT_SIGNS = (OPEN, CLOSE, BOTH, FIRST, SECOND)
ENDINGS = "Write both endings: |: D6 [1 E6 :| [2 F6"

Point = tuple[int, Fraction]
"""A place of the line: how many notes stand before it, and its onset in whole notes."""


@dataclass(slots=True)
class TextRepeats:
    """The repeat and the ending that are open; each `place` is that of the sign that opened it."""

    repeat_place: str = ""
    start: Point = (0, Fraction(0))
    first_place: str = ""
    first_start: Point = (0, Fraction(0))
    second_due_place: str = ""
    in_second: bool = False

    def meet(self, sign: str, place: str, here: Point) -> tuple[Point, Point] | None:
        """Read a sign; from where to where the line is to be played again now, None where it is not.

        Raises NotationError where the sign cannot stand here.
        """
        if sign in (CLOSE, BOTH):
            return self._close(sign, place, here)
        if sign == FIRST:
            self._first(place, here)
        elif sign == SECOND:
            self._second(place)
        else:
            self._open(place)
        return None

    def begin(self, here: Point) -> None:
        """From here on is what the next closing sign repeats."""
        self.start = here

    def promise_second(self) -> None:
        """NotationError where a second ending is due."""
        if self.second_due_place:
            refuse("there is no second ending behind this repeat", self.second_due_place, ENDINGS)

    def promise_closed(self) -> None:
        """NotationError at the end of the line, where an ending is due or a repeat is open."""
        self.promise_second()
        if self.first_place:
            refuse("the first ending opened here has no repeat sign", self.first_place, ENDINGS)
        if self.repeat_place:
            refuse("the repeat opened here is never closed", self.repeat_place, "Close it with :|")

    def _first(self, place: str, here: Point) -> None:
        if self.first_place:
            refuse("a first ending is opened inside a first ending", place, ENDINGS)
        self._promise_a_beginning(place)
        if here[1] == self.start[1]:
            refuse("nothing stands before this first ending", place, ENDINGS)
        self.first_place, self.first_start = place, here

    def _second(self, place: str) -> None:
        if not self.second_due_place:
            refuse("this second ending stands behind no first one", place, ENDINGS)
        self.second_due_place, self.in_second = "", True

    def _open(self, place: str) -> None:
        if self.first_place:
            refuse("a repeat is opened inside a first ending", place, ENDINGS)
        if self.repeat_place:
            refuse("a repeat is opened inside a repeat", place, "Close the first one with :|")
        self.repeat_place, self.in_second = place, False

    def _promise_a_beginning(self, place: str) -> None:
        """NotationError where nothing says where the second ending is over and what is repeated begins."""
        if self.in_second:
            refuse("this repeat would begin in a second ending", place, "Write |: where it begins")

    def _close(self, sign: str, place: str, here: Point) -> tuple[Point, Point]:
        self._promise_a_beginning(place)
        if self.first_place and sign == BOTH:
            refuse("a repeat is opened inside a first ending", place, ENDINGS)
        if here[1] == (self.first_start if self.first_place else self.start)[1]:
            refuse("there is nothing to repeat here", place, "Write the notes to repeat between |: and :|")
        end = self.first_start if self.first_place else here
        self.second_due_place = place if self.first_place else ""
        self.first_place = ""
        self.repeat_place = "" if sign == CLOSE else place
        return self.start, end


def refuse(what: str, place: str, next_step: str) -> NoReturn:
    """Raise NotationError."""
    raise NotationError(what, place=place, next_step=next_step)
