"""Balance: where the support of the flute changes, and what to watch in a mirror."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from gripway.model.passage import rest_between
from gripway.practice.cells.cells import CellPlace, fingered
from gripway.practice.cells.why_hard import FINGER_WORDS, HANDS, steadying
from gripway.route.result import Route, RouteChange, RouteNote

MOST_SPOTS = 6
MOST_NAMED = 3
MIRROR = (
    "In a mirror: the end of the flute, elbows and left wrist stay still, fingers stay close to the keys. "
    "The base of the left index, the thumb and the lip carry the flute, not the fingers that move."
)


@dataclass(frozen=True, slots=True)
class BalanceSpot:
    """A change in which the support changes by `difference` support units, and all its places.

    `fingers` are those that let go (difference below 0) or take hold; `places` have the index
    of the note the change begins at.
    """

    pitches: tuple[str, str]
    grips: tuple[str, str]
    difference: float
    fingers: tuple[str, ...]
    places: tuple[CellPlace, ...]

    @property
    def watch(self) -> str:
        """What happens there, in words."""
        names = _named(self.fingers)
        if self.difference < 0:
            return f"{names} let go at once: watch that the flute does not roll or drop"
        return f"{names} land together: watch that they do not push the flute"


def _named(fingers: tuple[str, ...]) -> str:
    """Up to three fingers by name, more by number."""
    if len(fingers) <= MOST_NAMED:
        return ", ".join(FINGER_WORDS[finger] for finger in fingers) or "the hands"
    hands = sorted({finger[0] for finger in fingers})
    return f"{len(fingers)} fingers of {'both hands' if len(hands) > 1 else f'the {HANDS[hands[0]]} hand'}"


def balance_spots(route: Route, watch: float) -> tuple[BalanceSpot, ...]:
    """The changes of a route whose support changes by `watch` or more without a rest, the largest first."""
    alike: dict[tuple[object, ...], list[RouteChange]] = defaultdict(list)
    for change in route.changes:
        before, after = _ends(route, change)
        if rest_between(before.note, after.note) > 0:
            continue  # in a rest the hands have time
        if abs(_difference(before, after)) >= watch:
            alike[(before.note.pitch.name, after.note.pitch.name, *_fingers(before, after))].append(change)
    spots = sorted(
        (_spot(route, changes) for changes in alike.values()),
        key=lambda spot: (-abs(spot.difference), -len(spot.places), spot.places[0].index),
    )
    return tuple(spots[:MOST_SPOTS])


def _spot(route: Route, changes: list[RouteChange]) -> BalanceSpot:
    before, after = _ends(route, changes[0])
    return BalanceSpot(
        pitches=(before.note.pitch.name, after.note.pitch.name),
        grips=_grips(before, after),
        difference=round(_difference(before, after), 2),
        fingers=_fingers(before, after),
        places=tuple(_places(route, changes)),
    )


def _fingers(before: RouteNote, after: RouteNote) -> tuple[str, ...]:
    """The fingers that let go, or take hold."""
    held, other = (before, after) if _difference(before, after) < 0 else (after, before)
    return tuple(steadying(fingered(held).grip, fingered(other).grip))


def _places(route: Route, changes: list[RouteChange]) -> Iterator[CellPlace]:
    met: set[str] = set()
    for change in changes:
        before, after = _ends(route, change)
        if after.note.id not in met:
            met.add(after.note.id)
            yield CellPlace(before.note.bar, before.index)


def _ends(route: Route, change: RouteChange) -> tuple[RouteNote, RouteNote]:
    return route.notes[change.to - 1], route.notes[change.to]


def _grips(before: RouteNote, after: RouteNote) -> tuple[str, str]:
    return fingered(before).grip.text, fingered(after).grip.text


def _difference(before: RouteNote, after: RouteNote) -> float:
    return fingered(after).support - fingered(before).support
