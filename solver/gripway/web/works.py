"""The works of all tabs by their tokens."""

import secrets
import threading
from collections import OrderedDict

from gripway.web.size_limits import MOST_HELD_NOTES, MOST_WORKS
from gripway.web.work import OpenWork


class Works:
    """Works by unguessable token; beyond the most works or notes there may be, those unused for longest go.

    A work that somebody waits for stays: there are more than the most only while all others are asked, too.
    """

    def __init__(self, most: int = MOST_WORKS) -> None:
        self._most = most
        self._works: OrderedDict[str, OpenWork] = OrderedDict()
        self._guard = threading.Lock()

    def add(self, work: OpenWork) -> str:
        """Keep a work and give its token."""
        token = secrets.token_urlsafe(24)
        with self._guard:
            self._works[token] = work
            idle = [old for old, each in self._works.items() if old != token and not each.turns.busy]
            for old in idle:
                if len(self._works) <= self._most and self._notes() <= MOST_HELD_NOTES:
                    break
                del self._works[old]
        return token

    def _notes(self) -> int:
        return sum(work.notes for work in self._works.values())

    def drop(self, token: str) -> None:
        """Let a work go that its tab has left, and stop what is still asked of it."""
        with self._guard:
            work = self._works.pop(token, None)
        if work is not None:
            work.turns.stop_all()

    def find(self, token: str) -> OpenWork | None:
        """The work of a token, or None: it went, or never was."""
        with self._guard:
            work = self._works.get(token)
            if work is not None:
                self._works.move_to_end(token)
            return work
