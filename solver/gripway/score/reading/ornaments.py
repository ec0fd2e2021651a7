"""Ornaments of a note: which auxiliary pitches trills, mordents and turns touch."""

from dataclasses import replace

from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.score.spelling import ACCIDENTALS, BarSpelling
from gripway.score.xml.xml_tree import Element

SIGNS = {
    "trill-mark": "trill",
    "shake": "trill",
    "mordent": "mordent",
    "inverted-mordent": "inverted-mordent",
    "turn": "turn",
    "delayed-turn": "turn",
    "vertical-turn": "turn",
    "inverted-turn": "inverted-turn",
    "delayed-inverted-turn": "inverted-turn",
    "inverted-vertical-turn": "inverted-turn",
}
"""MusicXML signs and the ornament each is played as."""

_SIDES = {
    "trill": (True, False),
    "inverted-mordent": (True, False),
    "mordent": (False, True),
    "turn": (True, True),
    "inverted-turn": (True, True),
}
"""Whether an ornament touches the upper and the lower neighbour."""

_ENDINGS = {"half": 1, "whole": 2}
"""Semitones down to the ending note of a trill, as the attribute `two-note-turn` of MusicXML has it."""


def read_ornament(
    notations: list[Element], pitch: Pitch, spelling: BarSpelling
) -> tuple[Ornament | None, str]:
    """The ornament written on a note, and what had to be assumed (empty where nothing).

    An accidental mark above belongs to the upper neighbour, one below to the lower; without
    a placement it belongs to the only neighbour, or to the upper of two. A trill starts on its upper
    note where `start-note` says so; it ends with a turn where `two-note-turn` or a turn's sign after
    it does.
    """
    kind = ""
    start: dict[str, str] = {}
    turned = False
    above: int | None = None
    below: int | None = None
    assumed = ""
    for element in _ornament_children(notations):
        if element.name in SIGNS and not kind:
            kind, start = SIGNS[element.name], dict(element.attributes)
        elif kind == "trill" and SIGNS.get(element.name) == "turn":
            turned = True
        elif element.name == "accidental-mark":
            value = ACCIDENTALS.get(element.text.strip())
            if value is None:
                assumed = f"accidental {element.text.strip()!r} at an ornament was not read"
            elif element.attributes.get("placement") == "below" or kind == "mordent":
                below = value
            else:
                above = value
    if not kind:
        return None, assumed
    if kind != "trill":
        return make_ornament(kind, pitch, spelling, above, below), assumed
    under, below = (below, None) if turned else (None, below)
    trill = make_ornament(kind, pitch, spelling, above, below)
    steps = _ENDINGS.get(start.get("two-note-turn", ""))
    if turned or steps:
        trill = replace(trill, ending=_ending(pitch, spelling, None if turned else steps, under))
    return replace(trill, from_upper=start.get("start-note") == "upper"), assumed


def _ending(pitch: Pitch, spelling: BarSpelling, semitones: int | None, alter: int | None) -> Pitch:
    """The note below a trill's main note in its ending: by its accidental or the key, or so far below."""
    found = spelling.neighbour(pitch, -1, alter)
    if semitones is None:
        return found
    return spelling.neighbour(pitch, -1, found.alter + pitch.number - semitones - found.number)


def make_ornament(
    kind: str, pitch: Pitch, spelling: BarSpelling, above: int | None = None, below: int | None = None
) -> Ornament:
    """An ornament of this kind on a pitch, with its neighbours' alterations where given."""
    upper, lower = _SIDES[kind]
    if kind == "trill" and above is None:
        above = below  # a mark printed under a trill can only mean its upper note
    return Ornament(
        kind,
        spelling.neighbour(pitch, 1, above) if upper else None,
        spelling.neighbour(pitch, -1, below) if lower else None,
    )


def tremolo_with(pitch: Pitch, partner: Pitch) -> Ornament:
    """A fingered tremolo between two written pitches, seen from the first."""
    if partner.number >= pitch.number:
        return Ornament("tremolo", upper=partner)
    return Ornament("tremolo", lower=partner)


def _ornament_children(notations: list[Element]) -> list[Element]:
    """Everything in <ornaments>, and accidental marks written directly in <notations>."""
    found: list[Element] = []
    for holder in notations:
        for child in holder.children:
            if child.name == "ornaments":
                found.extend(child.children)
            elif child.name == "accidental-mark":
                found.append(child)
    return found
