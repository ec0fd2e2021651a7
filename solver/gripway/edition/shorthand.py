"""Editors' shorthand spelt out and written: a grip as how it differs from the plain one of its note.

`+R2` is the standard grip with R2 down as well, `-Eb` the same with Eb up. `R2` is the known grip of the
note that has R2 and is nearest to the standard one, which has not. Where no grip, or more than one, is
meant, the text stays as it is (see `model/difference.py`).
"""

from dataclasses import replace

from gripway.candidates.grip_check import GripCheck
from gripway.model.difference import Difference, read_difference
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, PLAIN_HAND, THUMB_WORDS, TRILL_SIGN, Hand, MarkSign
from gripway.model.passage import Note

MOST_WORDS = 3
"""Words of a difference (`+R23 -Eb` has two): beyond, the whole grip is easier to read (judgement)."""


def spelt_out(note: Note, check: GripCheck) -> Note:
    """A note whose fingerings in shorthand are grips; what has a meaning of its own stays (`T`, `Tb`)."""
    if not note.fingering:
        return note
    return replace(note, fingering=tuple(_spelt(text, note.pitch.number, check) for text in note.fingering))


def short_text(sign: MarkSign, pitch: int, check: GripCheck) -> str:
    """The shortest way to write a grip sign as a difference, empty where the whole grip is easier to read.

    That is where it is shorter, or where the difference would name more than MOST_WORDS, or put fingers
    down and lift others, more than one for one.
    """
    standard = check.standard(pitch)
    if standard is None:
        return ""
    more, less = Grip(sign.grip.mask & ~standard.mask), Grip(standard.mask & ~sign.grip.mask)
    exactly = Difference(more=more, less=Grip(less.mask & ~_left_by_thumb(more)), moving=sign.moving)
    if less.mask and max(map(_fingers, (more, less))) > 1:
        return ""
    ways = (Difference(instead=more, moving=sign.moving), exactly) if less.mask else (exactly,)
    whole = PLAIN_HAND.written(sign)
    texts = (way.text for way in ways if way.is_plainly_one and _meant(way, pitch, check) == sign)
    return next((text for text in texts if len(text) < len(whole) and _is_plain(text)), "")


def _fingers(grip: Grip) -> int:
    """How many touches are the fingers'."""
    return (grip.mask & ~Grip.of(THUMB_WORDS).mask).bit_count()


def _is_plain(text: str) -> bool:
    return len(text.partition(TRILL_SIGN)[0].split()) <= MOST_WORDS


def _spelt(text: str, pitch: int, check: GripCheck) -> str:
    difference = read_difference(text)
    sign = None if difference is None else _meant(difference, pitch, check)
    return text if sign is None else Hand(letters=True).written(sign)


def _meant(difference: Difference, pitch: int, check: GripCheck) -> MarkSign | None:
    """The grip, and what moves, that a difference means at a pitch; None where there is no such grip."""
    standard = check.standard(pitch)
    if standard is None:
        return None
    if difference.instead.mask:
        grip = _instead(difference.instead, pitch, standard, check)
    else:
        left = difference.less.mask | _left_by_thumb(difference.more)
        grip = Grip(standard.mask & ~left | difference.more.mask)
        if difference.more.mask & standard.mask or difference.less.mask & ~standard.mask:
            return None
        if not check.candidates(pitch, grip):
            return None
    return None if grip is None else MarkSign(GRIP, grip, difference.moving)


def _left_by_thumb(pressed: Grip) -> int:
    """The thumb's other place, which it leaves for one it goes to: `+Tb` needs no `-T`."""
    thumbs = Grip.of(THUMB_WORDS)
    return thumbs.mask & ~pressed.mask if pressed.mask & thumbs.mask else 0


def _instead(touches: Grip, pitch: int, standard: Grip, check: GripCheck) -> Grip | None:
    """The one known grip with these touches that differs least from the standard one."""
    if not touches.mask & ~standard.mask:
        return None
    rows = {row.grip for row in check.book.usable(pitch) if not touches.mask & ~row.grip.mask}
    by_distance = sorted(rows, key=lambda grip: (grip.mask ^ standard.mask).bit_count())
    distances = [(grip.mask ^ standard.mask).bit_count() for grip in by_distance]
    if not by_distance or (len(distances) > 1 and distances[0] == distances[1]):
        return None
    return by_distance[0]
