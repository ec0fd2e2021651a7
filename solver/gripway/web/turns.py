"""Turns on one work: one at a time, the newest wish first, each with an end; music is drawn beside them."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

from gripway.web.size_limits import MOST_SECONDS

ROUTE, CURVE, PINS, ENGRAVING = "route", "curve", "pins", "engraving"
WAIT_S = 0.05


class StoppedError(Exception):
    """The work was stopped: by a newer wish, by the person, or by the clock (`late`)."""

    def __init__(self, late: bool = False) -> None:
        super().__init__("late" if late else "stopped")
        self.late = late


class Turn:
    """The right to work until it is taken away or its time is over."""

    def __init__(self, seconds: float) -> None:
        self._ends = time.monotonic() + seconds
        self._stopped = threading.Event()

    def stop(self) -> None:
        """Take the turn away: whoever works notices at the next pulse."""
        self._stopped.set()

    def pulse(self) -> None:
        """Raises StoppedError where the turn is over."""
        if self._stopped.is_set():
            raise StoppedError
        if time.monotonic() > self._ends:
            raise StoppedError(late=True)


class Queue:
    """A lock for whoever has a turn. Who lets it go and takes it again comes after the one who waits next.

    A plain lock goes back to the thread that has just let it go: whoever waits has to wake up first.
    """

    def __init__(self) -> None:
        self._next, self._now = threading.Lock(), threading.Lock()

    @contextmanager
    def held(self, turn: Turn) -> Iterator[None]:
        """The lock; who waits for it can be stopped."""
        _wait_for(self._next, turn)
        try:
            _wait_for(self._now, turn)
        finally:
            self._next.release()
        try:
            turn.pulse()
            yield
        finally:
            self._now.release()


def _wait_for(lock: threading.Lock, turn: Turn) -> None:
    while not lock.acquire(timeout=WAIT_S):
        turn.pulse()


class Turns:
    """The turns of one work. A newer route stops the older ones, and the curves and costs with them."""

    def __init__(self) -> None:
        self._searching, self._drawing = Queue(), Queue()
        self._open: dict[str, list[Turn]] = {}
        self._guard = threading.Lock()

    @contextmanager
    def held(self, kind: str, turn: Turn) -> Iterator[None]:
        """The work for one thread; drawing waits for no search."""
        with (self._drawing if kind == ENGRAVING else self._searching).held(turn):
            yield

    def begin(self, kind: str) -> Turn:
        """A new turn."""
        turn = Turn(MOST_SECONDS)
        with self._guard:
            if kind == ROUTE:
                for older in (turn for each in (ROUTE, CURVE, PINS) for turn in self._open.get(each, [])):
                    older.stop()
            self._open.setdefault(kind, []).append(turn)
        return turn

    def end(self, kind: str, turn: Turn) -> None:
        """The turn is over."""
        with self._guard:
            self._open[kind].remove(turn)

    @property
    def busy(self) -> bool:
        """Whether anything runs or waits."""
        with self._guard:
            return any(self._open.values())

    def stop_all(self) -> None:
        """Stop everything that runs or waits."""
        with self._guard:
            for turn in (turn for turns in self._open.values() for turn in turns):
                turn.stop()
