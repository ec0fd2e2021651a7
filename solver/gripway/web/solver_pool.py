"""What is learnt of a flute for a player, shared by all works: it depends on tables, not on scores."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from gripway.asked.wishes import Wishes
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.model.player import PLAIN_PLAYER, Ban, Player
from gripway.recent import Recent
from gripway.route.solve import Solver
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes
from gripway.web.turns import Queue, Turn

MOST_SHARED = 6

TONICS = (5, 10, 0, 7, 3, 2, 8, 9, 4)
MAJOR = frozenset({0, 2, 4, 5, 7, 9, 11})
LOWEST, HIGHEST, WIDEST_STEP = 60, 96, 7
"""What is learnt beforehand: keys from F on, C4 to C7, steps up to the octave (judgement)."""


class SharedSolver:
    """A flute with its player, kept for all works; used by one thread at a time.

    So is `dialled`, for the same player with other dials, which shares what does not depend on them.
    """

    def __init__(self, instrument: Instrument, player: Player, dialled: "SharedSolver | None" = None) -> None:
        self.mine: FlutePlayer = FlutePlayer(instrument, player, dialled.mine if dialled else None)
        self._queue: Queue = dialled._queue if dialled else Queue()

    @property
    def plain(self) -> Solver:
        """The solver without bans."""
        return self.mine.plain

    def solver(self, bans: tuple[Ban, ...]) -> Solver:
        """The solver for these bans."""
        return self.mine.solver(Wishes(player=self.mine.player, bans=bans))

    @contextmanager
    def held(self, turn: Turn) -> Iterator[None]:
        """The solver for one thread; whoever waits can be stopped."""
        with self._queue.held(turn):
            yield


class SolverPool:
    """The solvers used last, by flute, dials and tuner readings."""

    def __init__(self) -> None:
        self._shared: Recent[SharedSolver] = Recent(MOST_SHARED)
        self._guard = threading.Lock()

    def of(self, instrument: Instrument, asked: Player = PLAIN_PLAYER) -> SharedSolver:
        """The solver of a flute for a player, without bans; one that has grown too large begins anew."""
        player = replace(asked, instrument=instrument.id, parts=instrument.parts)
        key = (instrument.id, instrument.parts, player)
        with self._guard:
            if key in self._shared and self._shared[key].mine.full:
                del self._shared[key]
            known = reversed(self._shared.values())
            like = next(
                (each for each in known if each.mine.fits(instrument, player) and not each.mine.full), None
            )
            return self._shared.get_or(key, lambda: SharedSolver(instrument, player, like))


def warm_up(pool: SolverPool, turn: Turn) -> None:
    """Learn what most music on the plain flute needs, key by key, so that the first score opens quickly."""
    shared = pool.of(flute())
    for tonic in TONICS:
        for step in range(1, WIDEST_STEP + 1):
            with shared.held(turn):
                shared.plain.solve(notes(_broken_scale(tonic, step)))


def _broken_scale(tonic: int, step: int) -> str:
    """A major scale over the whole range, each note followed by the one `step` degrees above it."""
    scale = [number for number in range(LOWEST, HIGHEST + 1) if (number - tonic) % 12 in MAJOR]
    numbers = (number for pair in zip(scale, scale[step:], strict=False) for number in pair)
    return " ".join(map(plain_name, numbers))
