"""The page's server: addresses to tasks, answers to the page. Loopback only; see guards.py and sharing.py."""

import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from functools import partial
from typing import Any, TypeVar

from anyio import CapacityLimiter, to_thread
from msgspec import UNSET
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from gripway.errors import GripwayError
from gripway.page.document import message_page
from gripway.web.answers import flutes_data
from gripway.web.asking import asked_of, json_of, request_of
from gripway.web.guards import App, Guards, TooLargeError, too_large
from gripway.web.opening import Opening, OpeningSource, fitting, opened, session_of, work_of
from gripway.web.player_files import player_answer, tuner_answer
from gripway.web.record.record_questions import RECORD
from gripway.web.replies import NOTHING, answer, refusal, refused
from gripway.web.requests import TASKS, trill_answer
from gripway.web.sharing import STAND, ByPlace, Guests, Share
from gripway.web.size_limits import MOST_SECONDS
from gripway.web.solver_pool import SolverPool, warm_up
from gripway.web.static_files import PAGE, static_files
from gripway.web.turns import ROUTE, StoppedError, Turn
from gripway.web.work import OpenWork
from gripway.web.works import Works

AT_ONCE, READ_AT_ONCE = 4, 2
"""Requests that work at a time, and scores that are read at a time beside them; the others wait.

A long score is read for many seconds, and nobody who only asks for a route must wait for that.
"""

WORK = "x-gripway-work"
"""The header that names a tab's work by its token."""

STAND_FILE = "download/stand"
HTML = "text/html; charset=utf-8"
OWN_POLICY = {"content-security-policy": "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"}
"""For documents that hold a stricter policy of their own: none but their own script, nothing fetched."""

T = TypeVar("T")


class Page:
    """What the addresses of the page share: the works and the threads."""

    def __init__(self) -> None:
        self.works = Works()
        self.pool = SolverPool()
        self.threads = CapacityLimiter(AT_ONCE)
        self.readers = CapacityLimiter(READ_AT_ONCE)
        self.files = static_files()
        self.desk: OpenWork | None = None

    async def page(self, _request: Request) -> Response:
        """The page itself."""
        return self.files[PAGE]

    async def static(self, request: Request) -> Response:
        """One of the page's files, by its name in the fixed list."""
        name = request.path_params["name"]
        return self.files.get(name) or refusal(404, "no-file", "there is no such file")

    async def flutes(self, _request: Request) -> Response:
        """The flutes, their parts, and the dials."""
        return answer(await self._thread(flutes_data))

    async def open(self, request: Request) -> Response:
        """A score, notes or a session become a work; the one the tab had before, which it names, goes."""
        body = request_of(await json_of(request), Opening, "open")
        reading = self.readers if body.notes is None else self.threads
        data = await to_thread.run_sync(partial(self._open, body), limiter=reading)
        self.works.drop(request.headers.get(WORK, ""))
        return answer(data)

    def _open(self, body: Opening) -> dict[str, Any]:
        if body.session is not UNSET:
            session = session_of(body.session)
            work = work_of(request_of(session.source, OpeningSource, "source"), self.pool)
            asked = asked_of(session.wishes)
            more = {key: getattr(session, key) for key in ("source", "wishes", "past", "future")}
        else:
            asked = asked_of(body.wishes)
            work = work_of(body, self.pool)
            asked, cut = fitting(work, asked)
            more = {"cut": cut, "wishes": dict(asked.plain)} if cut else {}
        data = opened("", work, asked)
        return data | more | {"work": self.works.add(work)}

    async def task(self, request: Request) -> Response:
        """A question about a work, which the request names in a header."""
        name = request.path_params["name"]
        if name not in TASKS:
            return refusal(404, "no-task", "there is no such address")
        work = self.works.find(request.headers.get(WORK, ""))
        if work is None:
            return refusal(410, "no-work", "the server does not hold this score any more", "Open it again")
        if name == "stop":
            work.turns.stop_all()
            return answer({})
        answered = await self._asked(work, name, await json_of(request))
        if name == ROUTE:
            self.desk = work
        return answered

    async def _asked(self, work: OpenWork, name: str, body: Any) -> Response:
        turn = work.turns.begin(name)
        try:
            return await self._thread(partial(_locked, work, name, body, turn))
        finally:
            work.turns.end(name, turn)

    async def stand(self, _request: Request) -> Response:
        """What is worked on at the desk, as the file for the stand: what guests are shown."""
        work = self.desk
        if work is None or work.shown is None:
            page = message_page(
                "Nothing is open at the desk yet. Open a score there, then load this page again."
            )
            return Response(page, media_type=HTML, headers=OWN_POLICY)
        file = await self._asked(work, STAND_FILE, {"wishes": dict(work.shown.plain)})
        return Response(file.body, media_type=HTML, headers=OWN_POLICY)

    async def trill(self, request: Request) -> Response:
        """The pairs of grips for a trill; needs no work."""
        return await self._thread(partial(trill_answer, await json_of(request)))

    async def player(self, request: Request) -> Response:
        """A player's own file as wishes; needs no work."""
        return await self._thread(partial(player_answer, await json_of(request)))

    async def tuner(self, request: Request) -> Response:
        """A tuner's list as a wish; needs no work."""
        return await self._thread(partial(tuner_answer, await json_of(request)))

    async def record(self, request: Request) -> Response:
        """A question about what the microphone of this machine hears; needs no work."""
        question = RECORD.get(request.path_params["name"])
        if question is None:
            return refusal(404, "no-task", "there is no such address")
        return await self._thread(partial(question, await json_of(request)))

    async def _thread(self, work: Callable[[], T]) -> T:
        return await to_thread.run_sync(work, limiter=self.threads)


def _locked(work: OpenWork, name: str, body: Any, turn: Turn) -> Response:
    with work.turns.held(name, turn):
        return TASKS[name](work, body, turn)


async def _our_error(_request: Request, problem: Exception) -> Response:
    assert isinstance(problem, GripwayError)  # noqa: S101 - registered for it alone
    return refused(problem)


async def _stopped(_request: Request, problem: Exception) -> Response:
    if isinstance(problem, StoppedError) and problem.late:
        return refusal(503, "late", "this takes too long", "Choose fewer bars")
    return NOTHING


async def _too_large(_request: Request, problem: Exception) -> Response:
    assert isinstance(problem, TooLargeError)  # noqa: S101 - registered for it alone
    return too_large(problem.most)


async def _fault(_request: Request, _problem: Exception) -> Response:
    return refusal(
        500, "fault", "gripway made a mistake here", "Report it with the score, if you may share it"
    )


def app(hosts: frozenset[str], share: Share | None = None) -> App:
    """The page as an ASGI application that answers to these hosts (name and port) only.

    With `share` it answers devices of the local network as well, to that one's hosts only.
    """
    page = Page()

    @asynccontextmanager
    async def warm(_app: Starlette) -> AsyncIterator[None]:
        """Learn the plain flute while nobody asks for anything yet; ended with the server."""
        turn = Turn(MOST_SECONDS)
        threading.Thread(target=_warmed, args=(page.pool, turn), daemon=True).start()
        yield
        turn.stop()

    inner = Starlette(
        lifespan=warm,
        routes=[
            Route("/", page.page, methods=["GET"]),
            Route("/static/{name:path}", page.static, methods=["GET"]),
            Route("/flutes", page.flutes, methods=["GET"]),
            Route(STAND, page.stand, methods=["GET"]),
            Route("/open", page.open, methods=["POST"]),
            Route("/trill", page.trill, methods=["POST"]),
            Route("/player", page.player, methods=["POST"]),
            Route("/tuner", page.tuner, methods=["POST"]),
            Route("/record/{name}", page.record, methods=["POST"]),
            Route("/{name:path}", page.task, methods=["POST"]),
        ],
        exception_handlers={
            GripwayError: _our_error,
            StoppedError: _stopped,
            TooLargeError: _too_large,
            404: partial(_plain, 404, "there is no such address"),
            405: partial(_plain, 405, "this address takes no such request"),
            500: _fault,
        },
    )
    desk = Guards(inner, hosts, microphone=True)
    if share is None:
        return desk
    return ByPlace(desk, Guards(Guests(inner, share, page.files), share.hosts))


def _warmed(pool: SolverPool, turn: Turn) -> None:
    with suppress(StoppedError):
        warm_up(pool, turn)


async def _plain(status: int, what: str, _request: Request, _problem: Exception) -> Response:
    return refusal(status, "no-address", what, "Open the address that gripway serve prints")
