"""Where in its bar every element of a part stands: the cursor that notes, backup and forward move."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from gripway.errors import ScoreError
from gripway.score.xml.numerals import decimal, shown, whole
from gripway.score.xml.xml_tree import Element

ZERO = Fraction(0)

LONGEST = 1000
"""Longest bar, and longest step in one, in whole notes (judgement: ten times a long unmeasured cadenza)."""

FINEST = 10**12
"""Finest common unit of all lengths, as a part of a whole note (judgement: scores have a few thousand)."""

MOST_BEATS, SHORTEST_BEAT = 1000, 1024
"""Largest numbers of a time signature (judgement: 1024 is the shortest note value of MusicXML)."""


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
        self.divisions = Fraction(1)
        self.metre: tuple[int, int] | None = None
        self.known: dict[str, Fraction] = {}
        # by the ids of a place and a length, which are held beside it: equal places are one object
        self.sums: dict[tuple[int, int], tuple[Fraction, Fraction, Fraction]] = {}
        self.begin("")

    def begin(self, bar: str) -> None:
        """Stand at the beginning of a bar."""
        self.bar = bar
        self.at = self.note_at = self.reach = ZERO
        self.after_note = False

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
        if chord and not self.after_note:
            raise ScoreError(
                "the first note of the bar belongs to a chord (<chord/>) that nobody began",
                place=f"{self.name}, bar {self.bar}",
                next_step="Take <chord/> out of it, or export the score again",
            )
        if chord:
            return Placed(element, self.note_at, length)
        self.after_note = True
        self.note_at = self.at
        self._advance(length)
        return Placed(element, self.note_at, length)

    def _advance(self, length: Fraction) -> None:
        key = id(self.at), id(length)
        if key not in self.sums:
            self.sums[key] = self.at, length, self._sum(length)
        furthest = self.at is self.reach
        self.at = self.sums[key][2]
        if furthest or self.at > self.reach:
            self.reach = self.at

    def _sum(self, length: Fraction) -> Fraction:
        """The place a length further on."""
        at = self.at + length
        if at > LONGEST or at.denominator > FINEST:
            raise self._unreadable("place in a bar", f"{float(at):.9g} whole notes from its beginning")
        return at

    def _duration(self, element: Element) -> Fraction:
        """The duration of a note, backup or forward in whole notes (0 where it is missing)."""
        text = ""
        for child in element.children:
            if child.name == "duration":
                text = child.text.strip()
                break
        if text not in self.known:
            length = abs(self._number(text or "0")) / (4 * self.divisions)
            if length > LONGEST:
                raise self._unreadable("duration", text)
            self.known[text] = length
        return self.known[text]

    def _offset(self, element: Element) -> Fraction:
        """How far a direction sounds from where it stands, in whole notes.

        MusicXML moves the sound with the offset only where `sound="yes"` says so; a sound's
        own offset always counts, and that of a hairpin, which sounds as it is drawn.
        """
        drawn = any(kind.name == "wedge" for kind in element.inside("direction-type"))
        for holder in (element, element.find("sound")):
            offset = holder.find("offset") if holder is not None else None
            if offset is not None and (
                drawn
                or holder is not element
                or element.name == "sound"
                or offset.attributes.get("sound") == "yes"
            ):
                length = self._number(offset.text) / (4 * self.divisions)
                if abs(length) > LONGEST:
                    raise self._unreadable("offset", offset.text)
                return length
        return ZERO

    def _attributes(self, element: Element) -> None:
        if divisions := element.text_of("divisions"):
            self.divisions = self._number(divisions)
            self.known.clear()
            if self.divisions <= 0:
                raise self._unreadable("divisions", divisions)
        if (time := element.find("time")) is not None:
            self.metre = self._metre(time)

    def _number(self, text: str) -> Fraction:
        number = decimal(text)
        if number is None:
            raise self._unreadable("number", text)
        return number

    def _metre(self, time: Element) -> tuple[int, int] | None:
        """A time signature as (beats, beat type); sums such as 3+2 added up; None for senza misura.

        Common time crossed through is counted in halves, whatever its numbers.
        """
        texts = [part for element in time.all("beats") for part in element.text.split("+")]
        beats = [whole(part) for part in texts]
        kind = whole(time.text_of("beat-type"))
        counted = [part for part in beats if part is not None and part >= 0]
        if not kind or kind < 0 or len(counted) < len(beats):
            return None
        if sum(counted) > MOST_BEATS or kind > SHORTEST_BEAT:
            raise self._unreadable("time signature", f"{'+'.join(texts)}/{kind}")
        crossed = time.attributes.get("symbol") == "cut" and (sum(counted), kind) == (4, 4)
        return (2, 2) if crossed else (sum(counted), kind)

    def _unreadable(self, what: str, text: str) -> ScoreError:
        return ScoreError(
            f"{shown(text)} is not a usable {what}",
            place=f"{self.name}, bar {self.bar}",
            next_step="Mend the file or export it again",
        )


def place_bars(measures: Iterable[Element], name: str) -> Iterator[PlacedBar]:
    """The bars of one part with every element at its time.

    Raises ScoreError, with the bar, for durations, divisions and time signatures that are no numbers
    or out of all bounds.
    """
    cursor = _Cursor(name)
    for index, measure in enumerate(measures):
        cursor.begin(measure.attributes.get("number", "").strip() or str(index + 1))
        elements = tuple([cursor.place(child) for child in measure.children])
        yield PlacedBar(cursor.bar, elements, cursor.reach, cursor.metre)
