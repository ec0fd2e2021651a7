"""One plain solver for a flute and its player, kept from test to test as a `FlutePlayer` keeps its own.

No answer depends on what was asked before, which is what a `FlutePlayer` promises: every test that shares one
looks at that too. A test that patches something, or is marked `own_solver`, has solvers of its own, and so
have other threads.
"""

import os
import threading

import pytest

from gripway.recent import Recent
from gripway.route.solve import Solver
from gripway.tasks.flute_player import FlutePlayer

KEPT: Recent[Solver] = Recent(6)
OWN = FlutePlayer.plain


def plain(mine: FlutePlayer) -> Solver:
    """The solver kept for this flute and player."""
    if mine._dialled or threading.current_thread() is not threading.main_thread():
        return OWN.__get__(mine)
    key = (mine.instrument, mine.player, os.environ.get("GRIPWAY_TABLES"))
    return KEPT.get_or(key, lambda: OWN.__get__(mine))


SHARED = property(plain)


def begin(item: pytest.Item) -> None:
    """Share solvers in this test, or not."""
    alone = "monkeypatch" in getattr(item, "fixturenames", ()) or item.get_closest_marker("own_solver")
    FlutePlayer.plain = OWN if alone else SHARED  # type: ignore[method-assign]
