"""What a player expects without being told, and when leaving it is worth a mark."""

from collections.abc import Mapping

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.model.house_style import FIGURES, HouseStyle
from gripway.route.result import Other, Route, RouteNote

Gains = Mapping[str, float]
"""By note id: how much more effort the standard grip would take than the one the note has."""

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
    so that marks that are there already change no gain. Infinite where no standard grip is
    among the runners-up.
    """
    gains: dict[str, float] = {}
    for note, other in zip(route.notes, free.notes, strict=True):
        gains.setdefault(note.note.id, _gain(note, other))
    return gains


def _gain(note: RouteNote, free: RouteNote) -> float:
    chosen = (Other(free.candidate, 0.0),) if free.candidate else ()
    costs = [(other.candidate, other.effort_more) for other in (*chosen, *free.others)]
    row = note.candidate.row_grip if note.candidate else None
    standard = min((more for each, more in costs if each.kind == "standard"), default=ALWAYS)
    mine = min((more for each, more in costs if each.row_grip == row), default=0.0)
    return round(standard - mine, 3)


def worth_a_mark(note: RouteNote, gains: Gains, house: HouseStyle) -> bool:
    """Whether the standard grip would take as much more effort as the house asks for."""
    least = least_gain_of(house)
    return least <= 0.0 or gains[note.note.id] >= least


def least_gain_of(house: HouseStyle) -> float:
    """What a grip must save to be marked: as the house says, else mark_least_gain with FIGURES, 0 without."""
    if house.least_gain is not None:
        return house.least_gain
    return effort_tables().figures.mark_least_gain if house.which == FIGURES else 0.0
