"""The explorable graph: grips as nodes with all their facts, changes as edges with their ledgers.

The search never builds it; it is for questions ("which grips of D6 are one finger from this
E6?"), for export, and for the tests, which solve small cases on it a second time.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from gripway.candidates.candidates import Candidates
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel, Step
from gripway.effort.setting import Link
from gripway.model.pitch import plain_name
from gripway.route.solve import Progress

if TYPE_CHECKING:
    import networkx as nx

PARTS = ("load", "balance", "lip", "unsafe")
"""Parts of a change's ledger that every edge has, of size 0 too, so that every table has their columns."""

CHANGE_COLUMNS = (
    *("from", "to", "effort", "change_ms", "load", "fingers", "movers"),
    *(f"effort_{part}" for part in PARTS),
)
NOT_POSSIBLE = "not_possible"
"""Attribute of a graph: how many changes its time does not allow."""

GRIP_COLUMNS = ("node", "pitch", "grip", "kind")
"""Columns of the tables where there is no row to have them from."""


def node_name(candidate: Candidate) -> str:
    """The name of a grip's node: `E6: T L1 L2 | R1 R2 Eb`."""
    return f"{plain_name(candidate.pitch)}: {candidate.grip.text}"


def grip_graph(
    book: Candidates,
    model: EffortModel,
    pitches: Iterable[int],
    link: Link,
    span: int = 12,
    start: str = "",
    progress: Progress | None = None,
) -> "nx.DiGraph[str]":
    """Every grip of some pitches (note numbers) and every change of at most `span` semitones.

    Edges carry the change as it is in `link`: ms, load, movers, effort and its parts (effort_*). A change
    the link's time does not allow (a thumb slide) has no edge; how many there are says the graph's
    own attribute NOT_POSSIBLE. With `start`, the name of a node, only
    the changes from that grip are there. `progress` is told of the grips done.
    """
    import networkx as nx

    graph: nx.DiGraph[str] = nx.DiGraph()
    not_possible = 0
    grips = {node_name(grip): grip for pitch in sorted(set(pitches)) for grip in grips_of(book, pitch)}
    for name, grip in grips.items():
        graph.add_node(name, **_node_facts(grip))
    for done, (name, after) in enumerate(grips.items()):
        if progress and done % 20 == 0:
            progress(done, len(grips))
        near = {other: before for other, before in grips.items() if start in ("", other)}
        near = {other: b for other, b in near.items() if other != name and abs(b.pitch - after.pitch) <= span}
        steps = model.steps(tuple(near.values()), after)
        for (other, before), numbers in zip(near.items(), steps, strict=True):
            facts = _change_facts(model, before, after, Step(*numbers), link)
            if facts is not None:
                graph.add_edge(other, name, **facts)
            else:
                not_possible += 1
    graph.graph[NOT_POSSIBLE] = not_possible
    return graph


def grips_of(book: Candidates, pitch: int) -> list[Candidate]:
    """One candidate a grip of a pitch, in its usual hand position, standard first."""
    return _one_each(book.column(pitch, False, False))


def _one_each(column: tuple[Candidate, ...]) -> list[Candidate]:
    """One candidate a grip, in its usual hand position."""
    return list({candidate.grip: candidate for candidate in reversed(column)}.values())[::-1]


def _node_facts(candidate: Candidate) -> dict[str, Any]:
    tendency = candidate.tendency
    facts = {
        "pitch": plain_name(candidate.pitch),
        "grip": candidate.grip.text,
        "kind": candidate.kind,
        "cents": None if tendency.cents is None else round(float(tendency.cents), 1),
        "cents_spread": None if tendency.spread_cents is None else round(float(tendency.spread_cents), 1),
        "cents_source": tendency.source,
        "response": candidate.response,
        "support": round(candidate.support, 2),
        "lineage": candidate.lineage,
        "requires": " ".join(candidate.requires),
        "flags": " ".join(candidate.flags),
        "use": candidate.use,
        "confidence": candidate.confidence,
        "sources": " ".join(candidate.sources),
    }
    return {name: value for name, value in facts.items() if value not in (None, "")}


def _change_facts(
    model: EffortModel, before: Candidate, after: Candidate, step: Step, link: Link
) -> dict[str, Any] | None:
    """What an edge carries; None for a change that is not allowed in the link's time."""
    moved = model.moving(step, link)
    if moved is None:
        return None
    left, right = model.times.hands(before.position, after.position)
    parts = dict.fromkeys(PARTS, 0.0) | moved.as_efforts()
    return {
        "effort": moved.effort,
        "change_ms": round(model.change_ms(step, link), 1),
        "load": round(model.load(step, link), 3),
        "fingers": left.count + right.count,
        "movers": " ".join(f"{finger} {how}" for finger, how in left.movers + right.movers),
        **{f"effort_{part}": size for part, size in parts.items()},
    }


def node_rows(graph: "nx.DiGraph[str]") -> list[dict[str, Any]]:
    """The grips of the graph as plain rows."""
    return [{"node": node, **facts} for node, facts in graph.nodes(data=True)]


def edge_rows(graph: "nx.DiGraph[str]") -> list[dict[str, Any]]:
    """The changes of the graph as plain rows."""
    return [{"from": a, "to": b, **facts} for a, b, facts in graph.edges(data=True)]


def graph_data(graph: "nx.DiGraph[str]", instrument: str, available_ms: float) -> dict[str, Any]:
    """The JSON object that `gripway graph --format json` prints."""
    return {
        "instrument": instrument,
        "available_ms": available_ms,
        NOT_POSSIBLE: graph.graph[NOT_POSSIBLE],
        "grips": node_rows(graph),
        "changes": edge_rows(graph),
    }


def graphml(graph: "nx.DiGraph[str]") -> bytes:
    """The graph as GraphML (graphml.graphdrawing.org), in UTF-8."""
    from io import BytesIO

    import networkx as nx

    stream = BytesIO()
    nx.write_graphml_xml(graph, stream)
    return stream.getvalue()
