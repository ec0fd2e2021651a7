"""Several routes to choose from: each has another grip on enough written notes than all before it."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.compare.alternatives_search import Path, differing
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.joined import Joined
from gripway.trellis.trellis import effort_of

SHARE, LEAST, MOST = 10, 2, 10
"""Without a word on it, one written note in SHARE differs, but at least LEAST and at most MOST."""


@dataclass(frozen=True, slots=True)
class Distance:
    """On how many written notes (None: a tenth) another route must have another grip, and in which bar.

    In a chosen bar one note is enough where no number is given.
    """

    notes: int | None = None
    bar: str | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """Another route: the effort it takes more than the normal answer, and its grips.

    When it is not `proved` that no other takes less, `at_least` is what one must take more.
    """

    effort_more: float
    at_least: float
    proved: bool
    candidates: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Choices:
    """The routes found of those `asked` for, by effort: `differ` notes differ, in `bar` if there is one.

    `yours` are the grips of the normal answer, `places` the indices of all their notes. `ended` is true
    where it is sure that there are no more.
    """

    others: tuple[Choice, ...]
    places: tuple[int, ...]
    yours: tuple[Candidate, ...]
    differ: int
    bar: str | None
    asked: int
    ended: bool


def choices_of(passage: Passage, whole: Joined, most: int, distance: Distance) -> Choices:
    """Up to `most` other routes. Raises RequestError for a bar in which no note has a grip."""
    counted = counted_notes(passage, whole.places, distance.bar)
    least = distance.notes or (1 if distance.bar else usual_distance(sum(counted)))
    given: list[Path] = [whole.path]
    others: list[Choice] = []
    ended = not whole.places
    while len(others) < most and not ended:
        found = differing(whole, counted, given, least)
        if found.path is None:
            ended = found.proved
            break
        given.append(found.path)
        more, at_least = (_more(whole, max(cost, _cost(whole))) for cost in (found.cost, found.least))
        others.append(Choice(more, at_least, found.proved, whole.candidates(found.path)))
    return Choices(
        tuple(others), whole.places, whole.candidates(whole.path), least, distance.bar, most, ended
    )


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
        raise RequestError(
            f"there is no bar {bar} with a fingered note",
            place="--differ-in",
            next_step=f"The bars are {bars[0]} to {bars[-1]}" if bars else "Choose another passage",
        )
    return counted


def usual_distance(notes: int) -> int:
    """On how many of so many written notes another route differs when nobody says it."""
    return min(max(round(notes / SHARE), LEAST), MOST, max(notes, 1))


def _cost(whole: Joined) -> float:
    held = sum(column[node] for column, node in zip(whole.nodes, whole.path, strict=True))
    return held + sum(whole.blocks[k][whole.path[k]][whole.path[k - 1]] for k in range(1, len(whole.path)))


def _more(whole: Joined, cost: float) -> float:
    """Effort that a cost is above the normal answer's."""
    return (effort_of(cost) - effort_of(_cost(whole))) / MILLI
