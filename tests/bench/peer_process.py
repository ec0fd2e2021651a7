"""The peer of the whole-process bench: the same job put together from general libraries.

ElementTree reads the part, networkx holds every candidate as a node and every change as an
edge, and its shortest path is the route. Candidates and costs are gripway's own, asked for
one edge at a time; nothing is kept between edges. A shortest path knows no charge for a grip
to learn, so the peer's route takes less than gripway's; `recounted` takes the grips of
gripway's route through the peer's graph, where both must find the same effort.

    python -m tests.bench.peer_process part.musicxml [--keep-hand-moves]

With --keep-hand-moves it borrows gripway's memory of what each hand does between two
positions, the larger part of the work: a peer half-way to gripway's own design.
"""

import json
import sys
from collections.abc import Sequence
from fractions import Fraction
from functools import partial
from pathlib import Path
from xml.etree import ElementTree

import networkx as nx

from gripway.asked.wishes import Wishes
from gripway.candidates.note_columns import note_columns
from gripway.effort.hand import HandMove, finger_move
from gripway.effort.setting import settings
from gripway.model.passage import Note, Passage
from gripway.model.pitch import Pitch
from gripway.route.linking import passage_links
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.trellis.trellis import Column


def read(path: Path) -> Passage:
    """The notes of a part that has one voice, one tempo and no ties."""
    notes: list[Note] = []
    onset, quarter_ms, divisions = Fraction(0), 500.0, 1
    for measure in ElementTree.parse(path).getroot().iter("measure"):
        divisions = int(measure.findtext("attributes/divisions", str(divisions)))
        for element in measure.iter("note"):
            length = Fraction(int(element.findtext("duration", "0")), 4 * divisions)
            pitch = Pitch(
                element.findtext("pitch/step", "C"),
                int(element.findtext("pitch/alter", "0")),
                int(element.findtext("pitch/octave", "5")),
            )
            times = (float(onset) * 4 * quarter_ms, float(length) * 4 * quarter_ms)
            notes.append(Note(f"n{len(notes) + 1}", measure.get("number", ""), pitch, onset, length, *times))
            onset += length
    return Passage(tuple(notes))


class Forgetful(dict[int, HandMove]):
    """A memory that keeps nothing: every hand's move is worked out anew."""

    def get(self, _key: int, _default: object = None) -> None:  # type: ignore[override]
        """Nothing is known."""

    def setdefault(self, _key: int, value: HandMove) -> HandMove:  # type: ignore[override]
        """Give back what was just worked out."""
        return value


def graph_of(passage: Passage, *, forgetful: bool) -> tuple[nx.DiGraph, list[Column]]:
    """Every candidate of every note as a node, every allowed change as an edge."""
    working = FlutePlayer(flute()).plain
    model, notes = working.model, passage.notes
    if forgetful:
        model.times.known = (Forgetful(), Forgetful())
        model.times.finger_moves = partial(finger_move, model.figures)
    between = passage_links(notes, working.book, model.times, model.figures, frozenset())
    about = settings(notes, between, model.tables)
    columns = [column.candidates for column in note_columns(notes, working.book, Wishes())]
    graph = nx.DiGraph()
    before: list[tuple[int, int]] = []
    for place, column in enumerate(columns):
        nodes = []
        for k, candidate in enumerate(column):
            held = model.holding(candidate, about[place])
            if held is None:
                continue
            node = (place, k)
            nodes.append(node)
            if place == 0:
                graph.add_edge("start", node, weight=held.total)
            for other in before:
                moved = model.moving(model.step(columns[place - 1][other[1]], candidate), between[place])
                if moved is not None:
                    graph.add_edge(other, node, weight=held.total + moved.total)
        before = nodes
    for node in before:
        graph.add_edge(node, "end", weight=0)
    return graph, columns


def answer(passage: Passage, *, forgetful: bool) -> dict[str, object]:
    """Effort, grips, and for every note its other grips with the effort they take more."""
    graph, columns = graph_of(passage, forgetful=forgetful)
    path = nx.shortest_path(graph, "start", "end", weight="weight")
    best = nx.path_weight(graph, path, "weight")
    there = nx.single_source_dijkstra_path_length(graph, "start", weight="weight")
    rest = nx.single_source_dijkstra_path_length(graph.reverse(copy=False), "end", weight="weight")
    others: list[dict[str, float]] = [{} for _ in columns]
    for place, k in (node for node in graph if node not in ("start", "end")):
        text = columns[place][k].grip.text
        more = (there[place, k] + rest[place, k] - best) / 1000
        others[place][text] = min(more, others[place].get(text, more))
    grips = [columns[place][k].grip.text for place, k in path[1:-1]]
    return {"effort": best / 1000, "grips": grips, "others": others}


def recounted(passage: Passage, grips: Sequence[str]) -> float:
    """Effort of the least route with these grips, note by note, as networkx adds it up."""
    graph, columns = graph_of(passage, forgetful=False)
    ends = {"start", "end"}
    kept = [n for n in graph if n in ends or columns[n[0]][n[1]].grip.text == grips[n[0]]]
    return float(nx.shortest_path_length(graph.subgraph(kept), "start", "end", weight="weight")) / 1000


def main() -> None:
    """Print the route of a part as JSON."""
    kept = "--keep-hand-moves" in sys.argv
    json.dump(answer(read(Path(sys.argv[1])), forgetful=not kept), sys.stdout)


if __name__ == "__main__":
    main()
