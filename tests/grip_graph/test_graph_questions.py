"""Questions to the graph: near grips and bridges, against plain enumeration."""

from itertools import pairwise

import networkx as nx
import pytest

import gripway
from gripway.errors import RequestError
from gripway.grip_graph.questions import cheapest_bridge, fingers_needed, neighbours
from gripway.tasks.flute_player import FlutePlayer

OVERBLOWN_E6 = "E6: T L1 L2 | Eb"
F6_SHARP, G6_SHARP = "F#6: T L1 L3 | R3 Eb", "G#6: L2 L3 L4 | Eb"
STANDARD_E6 = "E6: T L1 L2 | R1 R2 Eb"


@pytest.fixture(scope="module")
def graph() -> "nx.DiGraph[str]":
    """The grips from D6 to G6 at 125 ms."""
    return gripway.graph(gripway.flute(), "D6", "G6")


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


def test_all_pitches_without_a_pitch(graph: "nx.DiGraph[str]") -> None:
    """Every grip that few fingers away, whatever it sounds, is found, and no other."""
    found = neighbours(graph, OVERBLOWN_E6, fingers=2)
    expected = {b for _, b, facts in graph.out_edges(OVERBLOWN_E6, data=True) if facts["fingers"] <= 2}
    efforts = [graph.edges[OVERBLOWN_E6, node]["effort"] for node in found]
    assert set(found) == expected
    assert efforts == sorted(efforts)


def by_enumeration(graph: "nx.DiGraph[str]", start: str, end: str, fingers: int, stops: int) -> float | None:
    """Least effort over every simple path, by networkx's enumeration."""
    small: nx.DiGraph[str] = nx.DiGraph()
    small.add_nodes_from((start, end))
    for a, b, facts in graph.edges(data=True):
        passable = all(node in (start, end) or graph.nodes[node]["kind"] != "trill" for node in (a, b))
        if facts["fingers"] <= fingers and passable:
            small.add_edge(a, b, effort=facts["effort"])
    paths = nx.all_simple_paths(small, start, end, cutoff=stops + 1)
    return min((sum(small.edges[edge]["effort"] for edge in pairwise(path)) for path in paths), default=None)


@pytest.mark.parametrize("fingers", [1, 2, 3])
@pytest.mark.parametrize("stops", [0, 1, 2])
def test_a_bridge_is_the_cheapest_of_all_chains(graph: "nx.DiGraph[str]", fingers: int, stops: int) -> None:
    """Against the enumeration of every chain, from a few grips to every seventh; also where there is none."""
    outcomes = set()
    for start in (STANDARD_E6, OVERBLOWN_E6, F6_SHARP):
        for end in list(graph)[::7]:
            if start == end:
                continue
            path = cheapest_bridge(graph, start, end, fingers, stops)
            least = by_enumeration(graph, start, end, fingers, stops)
            outcomes.add(least is None)
            if least is None:
                assert path == ()
                continue
            assert (path[0], path[-1]) == (start, end)
            assert len(path) <= stops + 2
            assert all(graph.edges[edge]["fingers"] <= fingers for edge in pairwise(path))
            assert sum(graph.edges[edge]["effort"] for edge in pairwise(path)) == pytest.approx(least)
    assert False in outcomes


def test_a_bridge_over_the_overblown_grips() -> None:
    """F#6 to G#6 goes over G6 overblown, finger by finger: common practice, no source."""
    found = gripway.bridge(gripway.flute(), "F#6", "G#6")
    assert (found.start, found.end) == (F6_SHARP, G6_SHARP)
    assert "G6: T L1 L2 L3 | Eb" in found.path
    assert found.direct is not None
    assert found.effort < found.direct["effort"]
    frame = gripway.steps_frame(found)
    assert frame["effort"].sum() == pytest.approx(found.effort)
    assert frame["fingers"].max() <= 2
    assert found.notes.split() == ["F#6", *frame["pitch"]]


def test_the_fingers_a_bridge_needs(graph: "nx.DiGraph[str]") -> None:
    """Where few fingers make no bridge: the least number that does, checked one below and at it."""
    found = gripway.bridge(gripway.flute(), "C5", "D5", fingers=1)
    assert found.path == ()
    assert found.needed is not None
    start, end = found.start, found.end
    assert cheapest_bridge(found.graph, start, end, found.needed, 3)
    assert not cheapest_bridge(found.graph, start, end, found.needed - 1, 3)
    assert len(gripway.steps_frame(found)) == 0
    assert fingers_needed(graph, STANDARD_E6, OVERBLOWN_E6, 0) == 2


def test_a_change_the_time_does_not_allow_has_no_direct_way() -> None:
    """From Tb to T the thumb would slide, which is not done in 125 ms: there is a bridge, but no change."""
    found = gripway.bridge(gripway.flute(), "A#5: Tb 1 | Eb", "B5: T 1 | Eb")
    assert found.direct is None
    assert len(found.path) > 2
    none = gripway.bridge(gripway.flute(), "A#5: Tb 1 | Eb", "B5: T 1 | Eb", stops=0)
    assert (none.path, none.needed) == ((), None)


def test_near_looks_as_far_as_it_is_told() -> None:
    """Of one pitch, however far, or of all pitches within an interval."""
    flute = gripway.flute()
    of_d4 = gripway.near(flute, "E6", 3, of="D4")
    assert of_d4.grips
    assert {of_d4.graph.nodes[node]["pitch"] for node in of_d4.grips} == {"D4"}
    around = gripway.near(flute, "E6: T 1 2 | Eb", 2, within=1)
    assert {around.graph.nodes[node]["pitch"] for node in around.grips} <= {"D#6", "E6", "F6"}
    whole = gripway.graph(flute, "D#6", "F6")
    assert around.grips == neighbours(whole, OVERBLOWN_E6, fingers=2)
    assert gripway.near(flute, "E6", 0, within=0).grips == ()


@pytest.mark.parametrize(("grip", "told"), [
    ("H6", "is not a pitch"), ("E6: T L9", "is not a touch"), ("E6: L4", "It has T 1 2"),
    ("F7", "outside the concert flute"), ("B3", "b-foot"), ("", "is not a pitch"),
])  # fmt: skip
def test_an_unknown_grip_says_what_there_is(grip: str, told: str) -> None:
    """No pitch, no touch, no such grip, not on this flute."""
    for ask in (
        lambda: gripway.near(gripway.flute(), grip),
        lambda: gripway.bridge(gripway.flute(), "E6", grip),
    ):
        with pytest.raises(RequestError, match=told):
            ask()


def test_a_bridge_has_two_ends(graph: "nx.DiGraph[str]") -> None:
    """The same grip twice, and a node that is not there, are refused."""
    with pytest.raises(RequestError, match="both ends"):
        gripway.bridge(gripway.flute(), "E6", STANDARD_E6)
    with pytest.raises(RequestError, match="C6"):
        cheapest_bridge(graph, OVERBLOWN_E6, "C6: L1 | Eb")


def test_bare_pitches_mean_the_standard_grip_of_the_flute() -> None:
    """The standard grip that cents are measured from, also where a pitch has several."""
    working = FlutePlayer(gripway.flute()).plain
    row = working.book.standard_row(88)
    assert row is not None
    assert gripway.near(gripway.flute(), "E6").start == f"E6: {row.grip.text}"
