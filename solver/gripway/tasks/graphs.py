"""The grips of a range as a graph."""

from typing import TYPE_CHECKING

from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.route.request import Wishes
from gripway.tasks.shelves import solver

if TYPE_CHECKING:
    import networkx as nx


def graph(
    instrument: Instrument,
    lowest: str = "C4",
    highest: str = "D7",
    available_ms: float = 125.0,
    player: Player = PLAIN_PLAYER,
) -> "nx.DiGraph[str]":
    """The grips of a range as a networkx graph, every change with its ledger at one speed.

    `available_ms` is the time from onset to onset the changes are judged in (slurred, in a
    line). See gripway.route.graph for questions and exports.
    """
    from gripway.effort.setting import Link
    from gripway.route.graph import grip_graph

    working = solver(instrument, Wishes(player=player))
    pitches = range(Pitch.parse(lowest).number, Pitch.parse(highest).number + 1)
    return grip_graph(working.book, working.model, pitches, Link(available_ms, 0.0, slurred=True))
