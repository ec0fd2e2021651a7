"""Editors' shorthand spelt out: `R2` and `+R2` are how a grip differs from the plain one of its note.

`+R2` is the standard grip with R2 down as well. `R2` is the known grip of the note that has R2 and is nearest
to the standard one, which has not. Where no grip, or more than one, is meant, the text stays as it is.
"""

import re
from dataclasses import replace

from gripway.candidates.grip_check import GripCheck
from gripway.model.grip import TOUCHES, Grip
from gripway.model.passage import Note

_ONE = "|".join(sorted(TOUCHES, key=lambda touch: (-len(touch), touch)))
_SHORT = re.compile(rf"(\+)?\s*({_ONE})((?:[\s+,]+(?:{_ONE}))*)")


def spelt_out(note: Note, check: GripCheck) -> Note:
    """A note whose fingerings in shorthand are grips; what has a meaning of its own stays (`T`, `Tb`)."""
    if not note.fingering:
        return note
    return replace(note, fingering=tuple(_spelt(text, note.pitch.number, check) for text in note.fingering))


def _spelt(text: str, pitch: int, check: GripCheck) -> str:
    bare = text.strip().strip("[]()").replace("\u266d", "b").strip()
    found = _SHORT.fullmatch(bare)
    if found is None or bare in ("T", "Tb"):
        return text
    touches = Grip.of(re.findall(_ONE, found[2] + found[3]))
    grip = _more(touches, pitch, check) if found[1] else _instead(touches, pitch, check)
    return text if grip is None else grip.text


def _more(touches: Grip, pitch: int, check: GripCheck) -> Grip | None:
    """The standard grip with more touches down, where that is a grip of the note."""
    standard = check.standard(pitch)
    if standard is None:
        return None
    grip = Grip(standard.mask | touches.mask)
    return grip if check.candidates(pitch, grip) else None


def _instead(touches: Grip, pitch: int, check: GripCheck) -> Grip | None:
    """The one known grip with these touches that differs least from the standard one."""
    standard = check.standard(pitch)
    if standard is None or not touches.mask & ~standard.mask:
        return None
    rows = {row.grip for row in check.book.usable(pitch) if not touches.mask & ~row.grip.mask}
    by_distance = sorted(rows, key=lambda grip: (grip.mask ^ standard.mask).bit_count())
    distances = [(grip.mask ^ standard.mask).bit_count() for grip in by_distance]
    if not by_distance or (len(distances) > 1 and distances[0] == distances[1]):
        return None
    return by_distance[0]
