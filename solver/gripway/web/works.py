"""The works of all tabs by their tokens."""

import secrets
import threading
from collections import OrderedDict

from gripway.web.limits import MOST_WORKS
from gripway.web.work import Work


class Works:
    """Works by unguessable token; beyond the most there may be, the one unused for longest goes."""

    def __init__(self, most: int = MOST_WORKS) -> None:
        self._most = most
        self._works: OrderedDict[str, Work] = OrderedDict()
        self._guard = threading.Lock()

    def add(self, work: Work) -> str:
        """Keep a work and give its token."""
        token = secrets.token_urlsafe(24)
        with self._guard:
            self._works[token] = work
            while len(self._works) > self._most:
                _, gone = self._works.popitem(last=False)
                gone.turns.stop_all()
        return token

    def find(self, token: str) -> Work | None:
        """The work of a token, or None: it went, or never was."""
        with self._guard:
            work = self._works.get(token)
            if work is not None:
                self._works.move_to_end(token)
            return work
