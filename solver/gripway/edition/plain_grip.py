"""What a player expects without being told, and what leaving it saves."""

from collections.abc import Collection, Mapping

from gripway.edition.sparing import least_gain_of
from gripway.edition.trill_marks import trills_plainly
from gripway.model.house_style import EASIER, TRILL, HouseStyle
from gripway.model.mark_text import MarkSign
from gripway.route.result import Other, Route, RouteNote

Gains = Mapping[str, float]
"""By note id: how much more effort the plain grip would take than the one the note has."""

ALWAYS = float("inf")


def is_plain(note: RouteNote) -> bool:
    """Whether a note has the grip a player expects, with no finger held.

    The standard grip, thumb on either plate, or the one of the three B-flats that is at home in
    its surroundings.
    """
    candidate = note.candidate
    if candidate is None or candidate.held:
        return False
    at_home = bool(candidate.form) and "b_flat" not in dict(note.holding.parts)
    return candidate.kind == "standard" or at_home


def gains_of(route: Route, free: Route) -> dict[str, float]:
    """The gain of every written note's grip, by what the grips cost on the free route.

    `free` is the route of the same passage before anything was settled or taken from the source,
    so that marks that are there already change no gain. Infinite where no plain grip is among the
    runners-up.
    """
    gains: dict[str, float] = {}
    for note, other in zip(route.notes, free.notes, strict=True):
        gains.setdefault(note.note.id, _gain(note, other))
    return gains


def costs_of(free: RouteNote) -> list[Other]:
    """Every grip of a note with the effort it adds, its own first."""
    return [*([Other(free.candidate, 0.0)] if free.candidate else []), *free.others]


def _gain(note: RouteNote, free: RouteNote) -> float:
    costs, mine = costs_of(free), note.candidate
    plain = [
        other.effort_more
        for other in costs
        if other.candidate.kind == "standard" and not other.candidate.held
    ]
    row = [
        other.effort_more for other in costs if mine is not None and other.candidate.row_grip == mine.row_grip
    ]
    own = [other.effort_more for other in costs if mine is not None and other.candidate.grip == mine.grip]
    return round(min(plain, default=ALWAYS) - min(own or row, default=0.0), 3)


def gain_of_holding(notes: Collection[RouteNote], free: Mapping[int, RouteNote], touches: MarkSign) -> float:
    """What holding touches saves: the most that any of the notes would take more with one of them up.

    `free` are the notes of the free route by index. Infinite where a note leaves no other choice.
    """
    held = touches.grip.mask
    return max((_more_without(free[note.index], held) for note in notes), default=ALWAYS)


def _more_without(free: RouteNote, held: int) -> float:
    costs = costs_of(free)
    lifted = [other.effort_more for other in costs if held & ~other.candidate.grip.mask]
    down = [other.effort_more for other in costs if not held & ~other.candidate.grip.mask]
    return round(min(lifted, default=ALWAYS) - min(down, default=0.0), 3)


def is_unusual(note: RouteNote) -> bool:
    """Whether a player would not expect what a note has: its grip, or what moves in its trill."""
    return note.candidate is not None and (not is_plain(note) or trills_plainly(note) is False)


def is_worth(note: RouteNote, gains: Gains, house: HouseStyle) -> bool:
    """Whether the plain grip would take as much more effort as the house asks for."""
    least = least_gain_of(house)
    return least <= 0.0 or gains[note.note.id] >= least


def reason_at(note: RouteNote) -> str:
    """What the mark of a note's grip is for, of REASONS."""
    return TRILL if trills_plainly(note) is False else EASIER


def saved_at(note: RouteNote, gains: Gains) -> float:
    """The gain of the mark of a note's grip; what moves in a trill has to be told in any case."""
    return ALWAYS if reason_at(note) == TRILL else gains[note.note.id]


def admitted(note: RouteNote, reason: str, house: HouseStyle) -> bool:
    """Whether the house wants a mark for this reason at a note."""
    kind = note.candidate.kind if note.candidate else ""
    return house.admits(note.note.pitch.number, kind, reason)
