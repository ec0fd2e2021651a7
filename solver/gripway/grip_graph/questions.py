"""Questions to the graph of grips: what lies near a grip in the hand, and how to bridge a hard change.

A bridge leads from one grip to another by small changes. Every step moves few fingers; in between
stand grips of other notes, or other grips of the same two notes. Of all such chains the cheapest is
the one whose changes add up to the least effort. It is a way to build a change up, not to play it.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gripway.candidates.candidates import Candidates
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.errors import RequestError
from gripway.grip_graph.graph import grips_of
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

if TYPE_CHECKING:
    import networkx as nx
    import pandas as pd

ALL_FINGERS = 9


@dataclass(frozen=True)
class Near(Shown):
    """The grips few fingers away from `start`, easiest change first, in the graph they were found in."""

    graph: "nx.DiGraph[str]"
    start: str
    grips: tuple[str, ...]

    @property
    def changes(self) -> tuple[tuple[str, str], ...]:
        """The edges of the answer, one a grip."""
        return tuple((self.start, grip) for grip in self.grips)

    def __repr__(self) -> str:
        return brief(self, self.start, counted(len(self.grips), "grip"))


@dataclass(frozen=True)
class Bridge(Shown):
    """A chain of small changes between two grips; `path` is empty where there is none.

    `needed` is how many fingers a step must be allowed for a bridge of as many stops: None where
    there is a bridge, or where no number of fingers makes one.
    """

    graph: "nx.DiGraph[str]"
    start: str
    end: str
    path: tuple[str, ...]
    needed: int | None = None

    @property
    def changes(self) -> tuple[tuple[str, str], ...]:
        """The edges of the chain, in playing order."""
        return tuple(zip(self.path, self.path[1:], strict=False))

    @property
    def effort(self) -> float:
        """Effort of all changes of the chain together."""
        return sum(_milli(self.graph, *change) for change in self.changes) / MILLI

    @property
    def notes(self) -> str:
        """The pitches of the chain as a line of notes."""
        return " ".join(self.graph.nodes[node]["pitch"] for node in self.path)

    @property
    def direct(self) -> dict[str, Any] | None:
        """What the direct change is; None where the time does not allow it."""
        return self.graph.get_edge_data(self.start, self.end)

    def __repr__(self) -> str:
        return brief(
            self,
            f"{self.start} to {self.end}",
            counted(max(0, len(self.path) - 2), "stop") if self.path else "none found",
        )


def find_grip(book: Candidates, text: str, place: str = "") -> Candidate:
    """The grip of `E6: T 1 2 | Eb`, or the standard grip of `E6`.

    Raises RequestError for what is no pitch, and for a grip this flute and player do not have.
    """
    name, colon, held = text.partition(":")
    try:
        pitch = Pitch.parse(name)
        wanted = Grip.parse(held) if colon else None
    except ValueError as problem:
        step = 'Write a pitch, F#6, or a pitch with its grip: "F#6: T 1 3 | 3 Eb"'
        raise RequestError(str(problem), place=place, next_step=step) from None
    grips = grips_of(book, pitch.number)
    if not grips:
        raise RequestError(f"{pitch.name} has no grip: {book.why_none(pitch.number)}", place=place)
    if wanted is None:
        base = book.standard_row(pitch.number)
        return next((grip for grip in grips if base and grip.grip == base.grip), grips[0])
    found = next((grip for grip in grips if grip.grip == wanted), None)
    if found is None:
        known = "; ".join(grip.grip.short for grip in grips)
        raise RequestError(
            f"{pitch.name} has no grip {wanted.short} here", place=place, next_step=f"It has {known}"
        )
    return found


def neighbours(graph: "nx.DiGraph[str]", node: str, pitch: str = "", fingers: int = 1) -> tuple[str, ...]:
    """The grips at most `fingers` movers from `node`, of `pitch` (a plain name) or of all, easiest first.

    Raises RequestError when the graph has no such node.
    """
    _require(graph, node)
    near = [
        (facts["effort"], other)
        for _, other, facts in graph.out_edges(node, data=True)
        if facts["fingers"] <= fingers and pitch in ("", graph.nodes[other]["pitch"])
    ]
    return tuple(other for _, other in sorted(near))


def cheapest_bridge(
    graph: "nx.DiGraph[str]", start: str, end: str, fingers: int = 2, stops: int = 3
) -> tuple[str, ...]:
    """The nodes of the chain of least effort from `start` to `end`; empty where there is none.

    Every change moves at most `fingers` fingers; at most `stops` grips stand in between, none of them
    a trill grip (those stand only beside their partners). Of equal chains the shorter is taken, then
    the one that is first in the order of the graph. Raises RequestError for a node that is not there.
    """
    _require(graph, start)
    _require(graph, end)
    rounds: list[dict[str, tuple[int, str]]] = [{start: (0, "")}]
    for _ in range(stops + 1):
        rounds.append(_one_step_on(graph, rounds[-1], end, fingers))
    reached = [(costs[end][0], length) for length, costs in enumerate(rounds) if end in costs and length]
    if not reached:
        return ()
    _, length = min(reached)
    path = [end]
    for costs in reversed(rounds[1 : length + 1]):
        path.append(costs[path[-1]][1])
    return tuple(reversed(path))


def _one_step_on(
    graph: "nx.DiGraph[str]", before: dict[str, tuple[int, str]], end: str, fingers: int
) -> dict[str, tuple[int, str]]:
    """Least effort (thousandths) of being at a node one step later, and the node before it."""
    after: dict[str, tuple[int, str]] = {}
    for node, (cost, _) in before.items():
        if node == end:
            continue
        for _, other, facts in graph.out_edges(node, data=True):
            if facts["fingers"] > fingers or (other != end and graph.nodes[other]["kind"] == "trill"):
                continue
            total = cost + _milli(graph, node, other)
            if other not in after or total < after[other][0]:
                after[other] = total, node
    return after


def fingers_needed(graph: "nx.DiGraph[str]", start: str, end: str, stops: int) -> int | None:
    """The fewest fingers a step must be allowed for a bridge of at most `stops` stops; None without one."""
    allowed = range(1, ALL_FINGERS + 1)
    return next((n for n in allowed if cheapest_bridge(graph, start, end, n, stops)), None)


ANSWER_COLUMNS = (
    *("from", "to", "pitch", "grip", "kind", "cents", "fingers", "movers", "change_ms", "load", "effort"),
)
"""Columns of an answer in which there is nothing to have them from."""


def answer_rows(found: Near | Bridge) -> list[dict[str, Any]]:
    """The changes of an answer as plain rows, each with the grip it leads to."""
    return [_row(found.graph, before, after) for before, after in found.changes]


def answer_frame(found: Near | Bridge) -> "pd.DataFrame":
    """The changes of an answer as a pandas frame, one row a change."""
    import pandas as pd

    return pd.DataFrame(answer_rows(found), columns=None if found.changes else list(ANSWER_COLUMNS))


def near_data(found: Near) -> dict[str, Any]:
    """The JSON object that `gripway graph --near` prints."""
    return {"from": found.start, "changes": answer_rows(found)}


def bridge_data(found: Bridge) -> dict[str, Any]:
    """The JSON object that `gripway graph --bridge` prints; `changes` is empty without a bridge."""
    return {
        "from": found.start,
        "to": found.end,
        "direct": found.direct,
        "effort": found.effort if found.path else None,
        "notes": found.notes,
        "fingers_needed": found.needed,
        "changes": answer_rows(found),
    }


def _row(graph: "nx.DiGraph[str]", before: str, after: str) -> dict[str, Any]:
    facts, change = graph.nodes[after], graph.edges[before, after]
    told = {name: facts.get(name) for name in ("pitch", "grip", "kind", "cents")}
    first = ("fingers", "movers", "change_ms", "load", "effort")
    parts = {name: size for name, size in change.items() if name not in first}
    return {"from": before, "to": after, **told, **{name: change[name] for name in first}, **parts}


def _milli(graph: "nx.DiGraph[str]", before: str, after: str) -> int:
    effort: float = graph.edges[before, after]["effort"]
    return round(effort * MILLI)


def _require(graph: "nx.DiGraph[str]", node: str) -> None:
    if node not in graph:
        raise RequestError(
            f"the graph has no grip {node!r}", next_step="Nodes are named `E6: T L1 L2 | R1 R2 Eb`"
        )
