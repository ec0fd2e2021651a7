"""The explorable graph: facts, ledgers, questions, exports."""

import io
from pathlib import Path

import networkx as nx
import pandas as pd
import pytest

import gripway
from gripway.effort.setting import Link
from gripway.grip_graph.graph import (
    CHANGE_COLUMNS,
    edge_rows,
    graphml,
    grip_graph,
    node_name,
    node_rows,
)
from gripway.model.pitch import Pitch
from gripway.tasks.flute_player import FlutePlayer

E6 = "E6: T L1 L2 | R1 R2 Eb"


@pytest.fixture(scope="module")
def graph() -> "nx.DiGraph[str]":
    """The grips from D6 to G6 at 125 ms."""
    return gripway.graph(gripway.flute(), "D6", "G6")


def test_every_grip_of_the_range_is_a_node(graph: "nx.DiGraph[str]") -> None:
    """Each pitch of the range has its grips as nodes, with pitch, grip and kind."""
    assert {graph.nodes[node]["pitch"] for node in graph} == {"D6", "D#6", "E6", "F6", "F#6", "G6"}
    assert graph.nodes[E6]["kind"] == "standard"


def test_edges_carry_the_ledger(graph: "nx.DiGraph[str]") -> None:
    """The parts of an edge add up to its effort."""
    for _, _, facts in graph.edges(data=True):
        parts = sum(size for name, size in facts.items() if name.startswith("effort_"))
        assert parts == pytest.approx(facts["effort"], abs=1e-9)


def test_edges_are_the_changes_of_the_search(graph: "nx.DiGraph[str]") -> None:
    """An edge costs what the effort model says of the two grips in the same link."""
    working = FlutePlayer(gripway.flute()).plain
    link = Link(125.0, 0.0, slurred=True)
    low, high = (working.book.column(Pitch.parse(name).number, False, False)[0] for name in ("E6", "F6"))
    ledger = working.model.moving(working.model.step(low, high), link)
    assert ledger is not None
    assert graph.edges[node_name(low), node_name(high)]["effort"] == ledger.effort


def test_thumb_slides_have_no_edge_where_there_is_no_time() -> None:
    """A change by a thumb slide is missing at 125 ms and there at 400 ms."""
    working = FlutePlayer(gripway.flute()).plain
    pitches = [Pitch.parse("A#5").number, Pitch.parse("B5").number]
    slide = ("A#5: Tb L1 | Eb", "B5: T L1 | Eb")
    quick = grip_graph(working.book, working.model, pitches, Link(125.0, 0.0, slurred=True))
    slow = grip_graph(working.book, working.model, pitches, Link(400.0, 0.0, slurred=True))
    assert not quick.has_edge(*slide)
    assert slow.has_edge(*slide)


def test_tables_have_a_row_an_edge_and_a_row_a_grip(graph: "nx.DiGraph[str]") -> None:
    """Nothing is left out of them."""
    assert (len(edge_rows(graph)), len(node_rows(graph))) == (graph.number_of_edges(), len(graph))


def test_graphml_reads_back_as_the_same_graph(graph: "nx.DiGraph[str]", tmp_path: Path) -> None:
    """Every grip and change with all its facts, ledgers included, through networkx's reader of GraphML."""
    path = tmp_path / "grips.graphml"
    path.write_bytes(graphml(graph))
    again = nx.read_graphml(path)
    assert dict(again.nodes(data=True)) == dict(graph.nodes(data=True))
    assert {(a, b): facts for a, b, facts in again.edges(data=True)} == {
        (a, b): facts for a, b, facts in graph.edges(data=True)
    }
    # the namespace of the format, graphml.graphdrawing.org (from memory)
    assert b'xmlns="http://graphml.graphdrawing.org/xmlns"' in path.read_bytes()


def test_csv_reads_back_with_its_ledgers(graph: "nx.DiGraph[str]") -> None:
    """Pandas reads the same changes, whose parts add up to their effort, and the same grips."""
    texts = (pd.DataFrame(rows(graph)).to_csv(index=False) for rows in (edge_rows, node_rows))
    edges, grips = (pd.read_csv(io.StringIO(text)) for text in texts)
    assert list(edges.columns) == list(CHANGE_COLUMNS)
    edges["movers"] = edges["movers"].fillna("")  # pandas reads an empty cell so
    parts = edges[[name for name in CHANGE_COLUMNS if name.startswith("effort_")]].sum(axis=1)
    assert (parts - edges["effort"]).abs().max() < 1e-9
    pd.testing.assert_frame_equal(edges, pd.DataFrame(edge_rows(graph)), check_dtype=False)
    assert set(grips["node"]) == set(graph)


def test_changes_from_one_grip_only(graph: "nx.DiGraph[str]") -> None:
    """With a start the graph has the changes from that grip, as in the whole graph, and no other."""
    working = FlutePlayer(gripway.flute()).plain
    pitches = range(Pitch.parse("D6").number, Pitch.parse("G6").number + 1)
    star = grip_graph(working.book, working.model, pitches, Link(125.0, 0.0, slurred=True), start=E6)
    assert dict(star[E6]) == dict(graph[E6])
    assert star.number_of_edges() == len(graph[E6])


def test_progress_is_told_while_a_graph_is_built() -> None:
    """Grips done of grips in all, growing."""
    told: list[tuple[int, int]] = []
    graph = gripway.graph(gripway.flute(), "C6", "E6", progress=lambda done, all_: told.append((done, all_)))
    assert told == sorted(told)
    assert len(told) > 1
    assert {all_ for _, all_ in told} == {graph.number_of_nodes()}
