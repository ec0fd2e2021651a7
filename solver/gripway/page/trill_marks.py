"""What a mark says of a trilled note: its grip, and the touches that move for the trill."""

from gripway.model.grip import Grip
from gripway.route.result import RouteNote
from gripway.route.source_pins import TRILL_SIGN


def mark_text(note: RouteNote) -> str:
    """The grip as a player reads it; of a trill whose other grip is not the plain one also what moves.

    `1 | Eb tr Kd`: hold the grip and trill with the first trill key. Empty without a grip.
    """
    if note.candidate is None:
        return ""
    grip = note.candidate.grip
    if trills_plainly(note) is not False or note.ornament is None:
        return grip.short
    other = note.ornament.notes[1].candidate
    moving = Grip(other.grip.mask ^ grip.mask).touches if other is not None else ()
    return f"{grip.short} {TRILL_SIGN} {' '.join(moving)}"


def trills_plainly(note: RouteNote) -> bool | None:
    """Whether the other grip of a trill is the standard one; None for a note without a trill.

    A tremolo between two written notes is marked at each of them and counts as none.
    """
    played = note.ornament
    if played is None or played.kind not in ("trill", "tremolo") or played.exit is not note.candidate:
        return None
    other = played.notes[1].candidate
    return None if other is None or other is note.candidate else other.kind == "standard"
