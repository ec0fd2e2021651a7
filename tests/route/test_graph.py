"""The explorable graph: facts, ledgers, questions, exports."""

import csv
from pathlib import Path

import networkx as nx
import pytest

import gripway
from gripway.effort.setting import Link
from gripway.errors import RequestError
from gripway.model.pitch import Pitch
from gripway.route.graph import grip_graph, node_name, write_graph
from gripway.route.graph_questions import neighbours
from gripway.route.request import Wishes
from gripway.tasks.shelves import solver

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
    working = solver(gripway.flute(), Wishes())
    link = Link(125.0, 0.0, slurred=True)
    low, high = (working.book.column(Pitch.parse(name).number, False, False)[0] for name in ("E6", "F6"))
    ledger = working.model.moving(working.model.step(low, high), link)
    assert ledger is not None
    assert graph.edges[node_name(low), node_name(high)]["effort"] == ledger.effort


def test_one_finger_neighbours(graph: "nx.DiGraph[str]") -> None:
    """From A4 overblown (E6) one finger, L2, leads to B4 overblown (F#6): common practice, no source."""
    assert "F#6: T L1 | Eb" in neighbours(graph, "E6: T L1 L2 | Eb", "F#6")
    assert all(
        graph.edges["E6: T L1 L2 | Eb", other]["fingers"] <= 1
        for other in neighbours(graph, "E6: T L1 L2 | Eb", "F#6")
    )


def test_an_unknown_node_is_a_clear_error(graph: "nx.DiGraph[str]") -> None:
    """Asking from a grip the graph has not names it."""
    with pytest.raises(RequestError, match="E6: nothing"):
        neighbours(graph, "E6: nothing", "F#6")


def test_thumb_slides_have_no_edge_where_there_is_no_time() -> None:
    """A change by a thumb slide is missing at 125 ms and there at 400 ms."""
    working = solver(gripway.flute(), Wishes())
    pitches = [Pitch.parse("A#5").number, Pitch.parse("B5").number]
    slide = ("A#5: Tb L1 | Eb", "B5: T L1 | Eb")
    quick = grip_graph(working.book, working.model, pitches, Link(125.0, 0.0, slurred=True))
    slow = grip_graph(working.book, working.model, pitches, Link(400.0, 0.0, slurred=True))
    assert not quick.has_edge(*slide)
    assert slow.has_edge(*slide)


def test_exports(graph: "nx.DiGraph[str]", tmp_path: Path) -> None:
    """GraphML reads back as the same graph; the CSV files have a row an edge and a row a grip."""
    (written,) = write_graph(graph, tmp_path / "grips.graphml")
    again = nx.read_graphml(written)
    assert set(again) == set(graph)
    assert (
        again.edges[E6, "F6: T L1 L3 | R1 Eb"]["effort"] == graph.edges[E6, "F6: T L1 L3 | R1 Eb"]["effort"]
    )
    edges, grips = write_graph(graph, tmp_path / "grips.csv")
    with edges.open(newline="") as stream:
        assert len(list(csv.DictReader(stream))) == graph.number_of_edges()
    with grips.open(newline="") as stream:
        assert len(list(csv.DictReader(stream))) == graph.number_of_nodes()
    with pytest.raises(RequestError, match="graphml"):
        write_graph(graph, tmp_path / "grips.png")
