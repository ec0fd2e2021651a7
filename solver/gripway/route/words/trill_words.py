"""A trill or tremolo in words: both grips, and the finger that moves."""

from gripway.display import enumerated
from gripway.model.mechanism import FINGER_NAMES
from gripway.route.result import PlayedOrnament, RouteNote

KINDS = ("trill", "tremolo")


def is_told(note: RouteNote) -> bool:
    """Whether a note has a trill or tremolo with a grip for both its notes."""
    ornament = note.ornament
    return (
        ornament is not None
        and ornament.kind in KINDS
        and len(ornament.notes) > 1
        and all(each.candidate for each in ornament.notes[:2])
    )


def grips_words(ornament: PlayedOrnament) -> str:
    """`F6 T 1 3 | 1 Kds Eb with G6 1 3 | 1 Kds Eb`: the written note first."""
    told = (f"{n.pitch.name} {n.candidate.grip.short}" for n in ornament.notes[:2] if n.candidate)
    return " with ".join(told)


def moving_words(ornament: PlayedOrnament) -> str:
    """`the left thumb trills`, `the left index and the right index move together`."""
    fingers = [f"the {FINGER_NAMES[finger]}" for finger in moving(ornament)]
    if not fingers:
        return "no finger moves, the lips do it"
    return f"{enumerated(fingers)} {'move together' if len(fingers) > 1 else 'trills'}"


def moving(ornament: PlayedOrnament) -> tuple[str, ...]:
    """The fingers that go to and fro."""
    return tuple(finger for finger, _ in ornament.movers[0]) if ornament.movers else ()
