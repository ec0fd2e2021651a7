"""Which side of the staff dynamics, words and slurs leave free at each note."""

from collections.abc import Iterator

from gripway.score.reading.score_reading import ScoreSource
from gripway.score.xml.xml_tree import Element, parse_tree

ABOVE, BELOW = "above", "below"
_OVER = {"over": ABOVE, "under": BELOW}
_USUALLY_BELOW = ("dynamics", "wedge", "pedal")
_USUALLY_ABOVE = ("words", "metronome", "rehearsal", "segno", "coda", "octave-shift")
_ON_NOTES = ("fermata", "ornaments")
_STEPS = "CDEFGAB"
_MIDDLE_LINE = 4 * 7 + _STEPS.index("B")


def free_sides(source: ScoreSource) -> dict[int, str]:
    """By the byte offset of each note's start tag: above where that is free, or nothing is; else below."""
    root = parse_tree(source.data, source.name, unread=frozenset())
    return {start: side for part in root.all("part") for start, side in _PartSides().sides(part)}


class _PartSides:
    """Goes through one part and keeps what reaches from note to note."""

    def __init__(self) -> None:
        self.slurs: dict[str, str] = {}
        self.wedges: dict[str, str] = {}
        self.pending: set[str] = set()
        self.chord = ABOVE

    def sides(self, part: Element) -> Iterator[tuple[int, str]]:
        for measure in part.all("measure"):
            for element in measure.children:
                if element.name == "direction":
                    self._direct(element)
                elif element.name == "note":
                    if element.find("chord") is None:
                        self.chord = self._side_at(element)
                    yield element.start, self.chord

    def _direct(self, direction: Element) -> None:
        given = direction.attributes.get("placement", "")
        for kind in (child for holder in direction.all("direction-type") for child in holder.children):
            side = given or (BELOW if kind.name in _USUALLY_BELOW else ABOVE)
            if kind.name == "wedge":
                number = kind.attributes.get("number", "1")
                if kind.attributes.get("type") == "stop":
                    self.wedges.pop(number, None)
                else:
                    self.wedges[number] = side
            elif kind.name in (*_USUALLY_BELOW, *_USUALLY_ABOVE):
                self.pending.add(side)

    def _side_at(self, note: Element) -> str:
        taken = {*self.pending, *self.wedges.values(), *self.slurs.values()}
        for sign in (child for holder in note.all("notations") for child in holder.children):
            if sign.name == "slur":
                taken.add(self._slur(sign, note))
            elif sign.name == "dynamics":
                taken.add(sign.attributes.get("placement", BELOW))
            elif sign.name in _ON_NOTES:
                taken.add(sign.attributes.get("placement", ABOVE))
        if note.find("grace") is None:
            self.pending.clear()
        return BELOW if ABOVE in taken and BELOW not in taken else ABOVE

    def _slur(self, slur: Element, note: Element) -> str:
        """The side of a slur that begins or ends at a note."""
        number, kind = slur.attributes.get("number", "1"), slur.attributes.get("type")
        if kind == "stop":
            return self.slurs.pop(number, _head_side(note))
        given = slur.attributes.get("placement", "") or _OVER.get(slur.attributes.get("orientation", ""), "")
        side = given or self.slurs.get(number) or _head_side(note)
        self.slurs[number] = side
        return side


def _head_side(note: Element) -> str:
    """Where a slur stands that nothing places: on the side of the heads."""
    stem = note.text_of("stem")
    if stem in ("up", "down"):
        return BELOW if stem == "up" else ABOVE
    step, octave = note.text_of("pitch", "step"), note.text_of("pitch", "octave")
    if step not in _STEPS or not step or not octave.isdecimal():
        return ABOVE
    return ABOVE if int(octave) * 7 + _STEPS.index(step) >= _MIDDLE_LINE else BELOW
