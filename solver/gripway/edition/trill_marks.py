"""What a mark says of a note's grip: of a trilled note also the touches that move for the trill."""

from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, THUMB, THUMB_WORDS, MarkSign
from gripway.route.result import RouteNote


def grip_sign(note: RouteNote, *, with_trill: bool = False) -> MarkSign | None:
    """The sign of a note's grip; of a trill whose other grip is not the plain one also what moves.

    Written as `1 | Eb tr Kd`: hold the grip and trill with the first trill key. `with_trill` says what moves
    in any trill. None without a grip.
    """
    if note.candidate is None:
        return None
    grip = note.candidate.grip
    if note.ornament is None or not (with_trill or trills_plainly(note) is False):
        return MarkSign(GRIP, grip)
    return MarkSign(GRIP, grip, moving_in_trill(note))


def moving_in_trill(note: RouteNote) -> Grip:
    """The touches that move between the two notes of a trill; none for a note without one."""
    if note.candidate is None or note.ornament is None or trills_plainly(note) is None:
        return Grip(0)
    other = note.ornament.notes[1].candidate
    return Grip(other.grip.mask ^ note.candidate.grip.mask) if other is not None else Grip(0)


def thumb_sign(note: RouteNote) -> MarkSign | None:
    """The sign of where the thumb is in a note's grip; None where it is off both of its keys."""
    grip = note.candidate.grip if note.candidate else Grip(0)
    touches = [touch for touch in THUMB_WORDS if grip.has(touch)]
    return MarkSign(THUMB, Grip.of(touches)) if touches else None


def trills_plainly(note: RouteNote) -> bool | None:
    """Whether the other grip of a trill is the standard one; None for a note without a trill.

    A tremolo between two written notes is marked at each of them and counts as none.
    """
    played = note.ornament
    if played is None or played.kind not in ("trill", "tremolo") or played.exit is not note.candidate:
        return None
    other = played.notes[1].candidate
    return None if other is None or other is note.candidate else other.usual
