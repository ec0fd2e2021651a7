"""Where in its bar every element of a part stands: the cursor that notes, backup and forward move."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from gripway.errors import ScoreError
from gripway.score.numerals import whole
from gripway.score.xml_tree import Element

ZERO = Fraction(0)


class Placed(NamedTuple):
    """An element at its time in the bar; `at` and `length` in whole notes."""

    element: Element
    at: Fraction
    length: Fraction


@dataclass(frozen=True, slots=True)
class PlacedBar:
    """One bar of a part: its number as printed, its elements in file order, its length.

    `length` (whole notes) is how far the cursor went, `metre` the time signature in force
    as (beats, beat type), None where there is none.
    """

    number: str
    elements: tuple[Placed, ...]
    length: Fraction
    metre: tuple[int, int] | None


class _Cursor:
    """Divisions and metre carried from bar to bar, and the place reached in this one."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.bar = ""
        self.divisions = Fraction(1)
        self.metre: tuple[int, int] | None = None
        self.known: dict[str, Fraction] = {}
        self.at = ZERO
        self.note_at = ZERO
        self.reach = ZERO

    def place(self, element: Element) -> Placed:
        """Place one child of a measure and move on."""
        name = element.name
        if name == "note":
            return self._place_note(element)
        if name == "backup":
            self.at = max(ZERO, self.at - self._duration(element))
        elif name == "forward":
            self._advance(self._duration(element))
        elif name == "attributes":
            self._attributes(element)
        elif name in ("direction", "sound"):
            return Placed(element, max(ZERO, self.at + self._offset(element)), ZERO)
        return Placed(element, self.at, ZERO)

    def _place_note(self, element: Element) -> Placed:
        grace = chord = False
        for child in element.children[:3]:
            if child.name == "grace":
                grace = True
            elif child.name == "chord":
                chord = True
        length = ZERO if grace else self._duration(element)
        if chord:
            return Placed(element, self.note_at, length)
        self.note_at = self.at
        self._advance(length)
        return Placed(element, self.note_at, length)

    def _advance(self, length: Fraction) -> None:
        self.at += length
        if self.at > self.reach:
            self.reach = self.at

    def _duration(self, element: Element) -> Fraction:
        """The duration of a note, backup or forward in whole notes (0 where it is missing)."""
        text = element.text_of("duration")
        if text not in self.known:
            self.known[text] = abs(self._number(text or "0")) / (4 * self.divisions)
        return self.known[text]

    def _offset(self, element: Element) -> Fraction:
        """How far a direction sounds from where it stands, in whole notes.

        MusicXML moves the sound with the offset only where `sound="yes"` says so; a sound's
        own offset always counts.
        """
        for holder in (element, element.find("sound")):
            offset = holder.find("offset") if holder is not None else None
            if offset is not None and (
                holder is not element or element.name == "sound" or offset.attributes.get("sound") == "yes"
            ):
                return self._number(offset.text) / (4 * self.divisions)
        return ZERO

    def _attributes(self, element: Element) -> None:
        if divisions := element.text_of("divisions"):
            self.divisions = self._number(divisions)
            self.known.clear()
            if self.divisions <= 0:
                raise self._unreadable("divisions", divisions)
        if (time := element.find("time")) is not None:
            self.metre = _metre(time)

    def _number(self, text: str) -> Fraction:
        try:
            return Fraction(text.strip())
        except (ValueError, ZeroDivisionError):
            raise self._unreadable("number", text) from None

    def _unreadable(self, what: str, text: str) -> ScoreError:
        return ScoreError(
            f"{text!r} is not a usable {what}",
            place=f"{self.name}, bar {self.bar}",
            next_step="Mend the file or export it again",
        )


def _metre(time: Element) -> tuple[int, int] | None:
    """A time signature as (beats, beat type); sums such as 3+2 added up; None for senza misura."""
    beats = [whole(part) for element in time.all("beats") for part in element.text.split("+")]
    kind = whole(time.text_of("beat-type"))
    counted = [part for part in beats if part is not None and part >= 0]
    if not kind or kind < 0 or len(counted) < len(beats):
        return None
    return sum(counted), kind


def place_bars(measures: Iterable[Element], name: str) -> Iterator[PlacedBar]:
    """The bars of one part with every element at its time.

    Raises ScoreError, with the bar, for durations or divisions that are no numbers.
    """
    cursor = _Cursor(name)
    for index, measure in enumerate(measures):
        cursor.bar = measure.attributes.get("number", "").strip() or str(index + 1)
        cursor.at = cursor.note_at = cursor.reach = ZERO
        elements = tuple([cursor.place(child) for child in measure.children])
        yield PlacedBar(cursor.bar, elements, cursor.reach, cursor.metre)
