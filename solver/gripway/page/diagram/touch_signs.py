"""Where the signs of a touch stand: the wave of a trill, the triangle of a change, its name.

They stand beside the touch on the sides the layout gives them. Two on one side stand one behind
the other, and a name makes room for them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from gripway.catalog.flute.diagram_layout import TouchBox, TouchPlace
from gripway.model.grip import Grip
from gripway.page.diagram.frame import LABELS_FROM_MM, UPRIGHT, Paper

SIGN_MM = 0.45
"""The least size of a sign on paper; in distances between plates it lies between the two below."""
LARGEST_SIGN, SMALLEST_SIGN = 0.44, 0.3
GAP = 0.05
WAVE_DEPTH, WAVE_LENGTH = 0.5, 1.9
"""A trill's wave against the size of a sign."""
LABEL_SIZE = 0.36
LETTER_WIDTH = 0.65
"""Height of a name in distances between plates; width of a letter against it."""

MOST_ROOMS = 1024
"""Of so many touches, forms and sizes the room is kept: it is the same in every diagram of a document."""

_OUTWARD = {"near": (0, -1), "far": (0, 1), "head": (-1, 0), "foot": (1, 0)}


@dataclass(frozen=True, slots=True)
class TouchSigns:
    """The boxes of a touch's signs; None where it has none. The name stands in its box's middle."""

    wave: TouchBox | None
    triangle: TouchBox | None
    name: TouchBox


def signs(frame: Paper, place: TouchPlace, *, trill: bool, changed: bool) -> TouchSigns:
    """The signs of a touch on this paper."""
    return _signs(place, _sign_size(frame.unit_mm), frame.form, trill=trill, changed=changed)


@lru_cache(MOST_ROOMS)
def room(place: TouchPlace, form: str, size_mm: float) -> tuple[TouchBox, ...]:
    """All that a touch may take up at this size: itself, either of its signs, its name behind that."""
    return tuple(_room(place, form, size_mm))


def _room(place: TouchPlace, form: str, size_mm: float) -> Iterator[TouchBox]:
    labelled = size_mm >= LABELS_FROM_MM
    size = SMALLEST_SIGN if labelled else LARGEST_SIGN
    for trill, changed in ((False, True), (True, False), (True, True)):
        stand = _signs(place, size, form, trill=trill, changed=changed)
        yield from (box for box in (place.box, stand.wave, stand.triangle) if box)
        if labelled:
            yield stand.name


def name_of(touch: str) -> str:
    """The name of a touch as a grip is written, without the hand.

    >>> name_of("L1"), name_of("Eb")
    ('1', 'Eb')
    """
    return Grip.of([touch]).short.strip("| ")


def _sign_size(unit_mm: float) -> float:
    """Size of a sign in distances between plates."""
    return min(LARGEST_SIGN, max(SMALLEST_SIGN, SIGN_MM / unit_mm))


def _signs(place: TouchPlace, size: float, form: str, *, trill: bool, changed: bool) -> TouchSigns:
    wave = _beside(place.box, place.trill_side, size * WAVE_DEPTH, size * WAVE_LENGTH) if trill else None
    behind = wave if wave is not None and place.trill_side == place.change_side else place.box
    triangle = _beside(behind, place.change_side, size, size) if changed else None
    name = _name_box(place, form)
    if wave is not None:
        name = _cleared(name, wave, place.trill_side)
    if triangle is not None:
        name = _cleared(name, triangle, place.change_side)
    return TouchSigns(wave, triangle, name)


def _beside(box: TouchBox, side: str, depth: float, length: float) -> TouchBox:
    """A box on one side of another: `depth` away from it, `length` beside it."""
    along, across = _OUTWARD[side]
    long, wide = (depth, length) if along else (length, depth)
    away_along, away_across = (box.length + long) / 2 + GAP, (box.width + wide) / 2 + GAP
    return TouchBox(box.along + along * away_along, box.across + across * away_across, long, wide)


def _cleared(name: TouchBox, sign: TouchBox, side: str) -> TouchBox:
    """The name, moved outward until it is clear of a sign on that side."""
    if not name.meets(sign):
        return name
    along, across = _OUTWARD[side]
    by_along = sign.along + along * ((sign.length + name.length) / 2 + GAP) - name.along
    by_across = sign.across + across * ((sign.width + name.width) / 2 + GAP) - name.across
    return name.moved(abs(along) * by_along, abs(across) * by_across)


def _name_box(place: TouchPlace, form: str) -> TouchBox:
    """The name where the layout has it; it is always written from left to right."""
    wide = LABEL_SIZE * LETTER_WIDTH * len(name_of(place.touch))
    length, width = (LABEL_SIZE, wide) if form == UPRIGHT else (wide, LABEL_SIZE)
    return TouchBox(*place.label, length, width)
