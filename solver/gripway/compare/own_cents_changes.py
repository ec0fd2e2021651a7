"""What a player's own readings change in a route, each change traced to the readings it comes from."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.compare.route_diff import GripDifference, differences
from gripway.model.grip import Grip
from gripway.model.player import OwnCents
from gripway.route.result import Route


@dataclass(frozen=True, slots=True)
class OwnCentsChange:
    """A pitch that has another grip by the player's own readings, on the notes of these indices.

    `readings` are those of the grip it has now, of the one it would have, and of the pitch's standard grip;
    where there are none the change follows from those of the nearest note that has some (`follows`).
    """

    difference: GripDifference
    readings: tuple[OwnCents, ...]
    follows: bool


def own_cents_changes(with_own: Route, without: Route, own: Sequence[OwnCents]) -> tuple[OwnCentsChange, ...]:
    """The changes from the route without the player's readings to the one with them, most notes first."""
    places = [
        before.index
        for before, after in zip(without.notes, with_own.notes, strict=True)
        if before.candidate and after.candidate
    ]
    before, after = (
        [candidate for k in places if (candidate := route.notes[k].candidate)]
        for route in (without, with_own)
    )
    found = differences(with_own.passage, places, before, after)
    standards = dict(with_own.standards)
    numbers = {each: with_own.passage.notes[each.notes[0]].pitch.number for each in found}
    direct = {each: _readings(each, numbers[each], own, standards) for each in found}
    read = {k: readings for each, readings in direct.items() if readings for k in each.notes}
    changes = []
    for each in found:
        readings = direct[each]
        if not readings and read:
            nearest = min(read, key=lambda k: (abs(k - each.notes[0]), k))
            changes.append(OwnCentsChange(each, read[nearest], True))
        else:
            changes.append(OwnCentsChange(each, readings, False))
    return tuple(changes)


def _readings(
    change: GripDifference, pitch: int, own: Sequence[OwnCents], standards: dict[int, Grip]
) -> tuple[OwnCents, ...]:
    """The readings that speak of the two grips of a change, or of the standard grip of its pitch."""
    return tuple(
        each
        for each in own
        if each.pitch == pitch and each.grip in (change.grip, change.instead_of, standards.get(pitch))
    )
