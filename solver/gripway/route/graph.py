"""The explorable graph: grips as nodes with all their facts, changes as edges with their ledgers.

The search never builds it; it is for questions ("which grips of D6 are one finger from this
E6?"), for export, and for the tests, which solve small cases on it a second time.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gripway.effort.candidate import Candidate
from gripway.effort.model import EffortModel
from gripway.effort.setting import Link
from gripway.errors import RequestError
from gripway.model.pitch import plain_name
from gripway.route.candidates import Candidates

if TYPE_CHECKING:
    import networkx as nx
    import pandas as pd

FORMATS = (".graphml", ".csv")


def node_name(candidate: Candidate) -> str:
    """The name of a grip's node: `E6: T L1 L2 | R1 R2 Eb`."""
    return f"{plain_name(candidate.pitch)}: {candidate.grip.text}"


def grip_graph(
    book: Candidates, model: EffortModel, pitches: Iterable[int], link: Link, span: int = 12
) -> "nx.DiGraph[str]":
    """Every grip of some pitches (note numbers) and every change of at most `span` semitones.

    Edges carry the change as it is in `link`: ms, load, movers, effort and its parts (effort_*). A change
    the link's time does not allow (a thumb slide) has no edge.
    """
    import networkx as nx

    graph: nx.DiGraph[str] = nx.DiGraph()
    candidates = [c for pitch in sorted(set(pitches)) for c in _one_each(book.column(pitch, False, False))]
    for candidate in candidates:
        graph.add_node(node_name(candidate), **_node_facts(candidate))
    for before in candidates:
        for after in candidates:
            if before is not after and abs(before.pitch - after.pitch) <= span:
                _add_change(graph, model, before, after, link)
    return graph


def _one_each(column: tuple[Candidate, ...]) -> list[Candidate]:
    """One candidate a grip, in its usual hand position."""
    return list({candidate.grip: candidate for candidate in reversed(column)}.values())[::-1]


def _node_facts(candidate: Candidate) -> dict[str, Any]:
    tendency = candidate.tendency
    facts = {
        "pitch": plain_name(candidate.pitch),
        "grip": candidate.grip.text,
        "kind": candidate.kind,
        "cents": tendency.cents,
        "cents_spread": tendency.spread_cents,
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


def _add_change(
    graph: "nx.DiGraph[str]", model: EffortModel, before: Candidate, after: Candidate, link: Link
) -> None:
    step = model.step(before, after)
    moved = model.moving(step, link)
    if moved is None:
        return
    change = model.change(before, after)
    graph.add_edge(
        node_name(before),
        node_name(after),
        effort=moved.effort,
        change_ms=round(change.ms(link.alternation, model.figures), 1),
        load=round(model.load(step, link), 3),
        fingers=len(change.movers),
        movers=" ".join(f"{finger} {how}" for finger, how in change.movers),
        **{f"effort_{part}": size for part, size in moved.as_efforts().items()},
    )


def neighbours(graph: "nx.DiGraph[str]", node: str, pitch: str, fingers: int = 1) -> tuple[str, ...]:
    """The grips of `pitch` (a plain name) at most `fingers` movers from `node`, easiest first.

    Raises RequestError when the graph has no such node.
    """
    if node not in graph:
        raise RequestError(
            f"the graph has no grip {node!r}", next_step="Nodes are named `E6: T L1 L2 | R1 R2 Eb`"
        )
    near = [
        (facts["effort"], other)
        for _, other, facts in graph.out_edges(node, data=True)
        if facts["fingers"] <= fingers and graph.nodes[other]["pitch"] == pitch
    ]
    return tuple(other for _, other in sorted(near))


def node_frame(graph: "nx.DiGraph[str]") -> "pd.DataFrame":
    """The grips of the graph, one row a node."""
    import pandas as pd

    return pd.DataFrame([{"node": node, **facts} for node, facts in graph.nodes(data=True)])


def edge_frame(graph: "nx.DiGraph[str]") -> "pd.DataFrame":
    """The changes of the graph, one row an edge."""
    import pandas as pd

    return pd.DataFrame([{"from": a, "to": b, **facts} for a, b, facts in graph.edges(data=True)])


def write_graph(graph: "nx.DiGraph[str]", path: Path) -> tuple[Path, ...]:
    """Write the graph as GraphML, or as two CSV files (NAME.csv of changes, NAME.grips.csv).

    Returns the files written. Raises RequestError for another ending.
    """
    if path.suffix == ".graphml":
        import networkx as nx

        nx.write_graphml(graph, path)
        return (path,)
    if path.suffix == ".csv":
        grips = path.with_suffix(".grips.csv")
        edge_frame(graph).to_csv(path, index=False, lineterminator="\n")
        node_frame(graph).to_csv(grips, index=False, lineterminator="\n")
        return path, grips
    raise RequestError(
        f"a graph cannot be written as {path.suffix or 'a file without ending'}",
        place=str(path),
        next_step=f"Name a file ending in {' or '.join(FORMATS)}",
    )
