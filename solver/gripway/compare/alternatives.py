"""Several routes to choose from: each has another grip on enough written notes than all before it.

They are searched as the normal answer shows other grips: each charges by itself, at every note; and with
charges shared out, so that no route costs more than it truly does: a lower bound. From what is found the
other grips are looked at anew, as long as a route turns up that takes less. Each is told with the charges
it truly pays.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.charges.charged_route import shown_nodes
from gripway.charges.lower_bound import NONE, charged_bound, keyed_columns, nodes_under
from gripway.compare.alternatives_search import Path, differing
from gripway.display import Shown, brief
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.errors import ArgumentError, check_whole
from gripway.model.passage import Passage
from gripway.route.joined import Joined
from gripway.trellis.constrained_network import milli_at_least, without_ties
from gripway.trellis.path import INF

SHARE, LEAST, MOST = 10, 2, 10
"""Without a word on it, one written note in SHARE differs, but at least LEAST and at most MOST."""

ROUNDS = 60
"""Rounds in which charges are shared out for the lower bound."""

LOOKS = 3
"""How often a route found is looked at anew."""


@dataclass(frozen=True, slots=True)
class Distance:
    """On how many written notes (None: a tenth) another route must have another grip, and in which bar.

    In a chosen bar one note is enough where no number is given.

    >>> import gripway
    >>> gripway.Distance(notes=2).notes
    2
    """

    notes: int | None = None
    bar: str | None = None

    def __init__(self, notes: int | None = None, bar: str | int | None = None) -> None:
        if notes is not None:
            check_whole(notes, "distance.notes")
        object.__setattr__(self, "notes", notes)
        object.__setattr__(self, "bar", None if bar is None else str(bar))


@dataclass(frozen=True, slots=True)
class OtherRoute:
    """Another route: the effort it takes more than the normal answer, and its grips.

    When it is not `proved` that no other takes less, `at_least` is what one must take more.
    """

    effort_more: float
    at_least: float
    proved: bool
    candidates: tuple[Candidate, ...]

    def __repr__(self) -> str:
        return brief(self, f"effort +{self.effort_more:.3f}", "proved" if self.proved else "")


@dataclass(frozen=True, slots=True)
class Choices(Shown):
    """The routes found of those `asked` for: `differ` notes differ, in `bar` if there is one.

    The one of least effort is first: that each differs from all others holds in any order.

    `yours` are the grips of the normal answer, `places` the indices of all their notes. `ended` is true
    where it is sure that there are no more.
    """

    others: tuple[OtherRoute, ...]
    places: tuple[int, ...]
    yours: tuple[Candidate, ...]
    differ: int
    bar: str | None
    asked: int
    ended: bool

    def __repr__(self) -> str:
        return brief(self, f"{len(self.others)} of {self.asked} asked for", f"{self.differ} notes differ")


def choices_of(passage: Passage, whole: Joined, most: int, distance: Distance) -> Choices:
    """Up to `most` other routes. Raises RequestError for a bar in which no note has a grip."""
    counted = counted_notes(passage, whole.places, distance.bar)
    least = distance.notes or (1 if distance.bar else usual_distance(sum(counted)))
    search, given = _FarRoutes(whole, counted, least), [whole.path]
    others: list[OtherRoute] = []
    ended = not whole.places
    while len(others) < most and not ended:
        path, choice, ended = search.next(given)
        if choice is None:
            break
        given.append(path)
        others.append(choice)
    others.sort(key=lambda choice: choice.effort_more)
    return Choices(
        tuple(others), whole.places, whole.candidates(whole.path), least, distance.bar, most, ended
    )


class _FarRoutes:
    """The search for other routes of a passage, and what they truly take."""

    def __init__(self, whole: Joined, counted: Sequence[bool], least: int) -> None:
        self.whole, self.counted, self.least = whole, counted, least
        self.best, self.shared = whole.milli(whole.path), _shared(whole)
        self.at_least = self.best  # never falls: what differs from more routes takes no less

    def next(self, given: list[Path]) -> tuple[Path, OtherRoute | None, bool]:
        """The best route found that differs from all given, and whether it is sure that there is none."""
        found = differing(self.whole, self.counted, given, self.least)
        if found.path is None:
            return (), None, found.proved
        lower = differing(self.shared, self.counted, given, self.least)
        path = found.path
        if lower.path and self.whole.milli(lower.path) < self.whole.milli(path):
            path = lower.path
        path = self._improved(path, given)
        milli = max(self.best, self.whole.milli(path))
        if lower.path is not None:
            self.at_least = max(self.at_least, milli_at_least(lower.least))
        at_least = min(milli, self.at_least)
        more, bound = ((each - self.best) / MILLI for each in (milli, at_least))
        return path, OtherRoute(more, bound, milli == at_least, self.whole.candidates(path)), False

    def _improved(self, path: Path, given: list[Path]) -> Path:
        """A route that truly takes no more than this one, looked for from where this one stands."""
        for _ in range(LOOKS if self.whole.charged else 0):
            seen = _seen_from(self.whole, path)
            anew = differing(seen, self.counted, given, self.least, quick=True).path
            if anew is None or self.whole.milli(anew) >= self.whole.milli(path):
                break
            path = anew
        return path


def _seen_from(whole: Joined, path: Path) -> Joined:
    """The same with what other grips charge beside another route."""
    charged = whole.charged
    return replace(whole, nodes=shown_nodes(replace(charged, path=path))) if charged else whole


def _shared(whole: Joined) -> Joined:
    """The same with charges shared out, so that no route costs more than it truly does."""
    if whole.charged is None:
        return replace(whole, nodes=tuple(map(without_ties, whole.nodes)))
    network = whole.charged.network
    bound = charged_bound(network, frozenset(), NONE, ROUNDS, INF)
    nodes = nodes_under(network, keyed_columns(network, frozenset()), bound.multipliers)
    return replace(whole, nodes=tuple(map(without_ties, nodes)))


def counted_notes(passage: Passage, places: Sequence[int], bar: str | None) -> list[bool]:
    """Which notes count: each written note the first time it is played, and only those of the bar."""
    first: dict[str, int] = {}
    for place, note in enumerate(passage.notes):
        first.setdefault(note.id, place)
    counted = [
        first[passage.notes[place].id] == place and bar in (None, passage.notes[place].bar)
        for place in places
    ]
    if bar is not None and not any(counted):
        bars = list(dict.fromkeys(passage.notes[place].bar for place in places if passage.notes[place].bar))
        raise ArgumentError(
            f"there is no bar {bar} with a fingered note",
            place="distance.bar",
            next_step=f"The bars are {bars[0]} to {bars[-1]}" if bars else "Choose another passage",
        )
    return counted


def usual_distance(notes: int) -> int:
    """On how many of so many written notes another route differs when nobody says it."""
    return min(max(round(notes / SHARE), LEAST), MOST, max(notes, 1))
