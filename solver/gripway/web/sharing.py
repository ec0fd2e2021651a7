"""Guests from the local network: a one-time code lets a device in, to look; to change things only if allowed.

Whoever comes from this machine is at the desk and needs no code. A guest's host and origin are checked as
strictly (guards.py), against this machine's own address on the network.
"""

import hashlib
import hmac
import ipaddress
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Annotated

from msgspec import Meta
from starlette.requests import Request
from starlette.responses import Response

from gripway.catalog.own_files.typed import Table
from gripway.errors import RequestError
from gripway.web.asking import json_of, request_of
from gripway.web.guards import RECORDING, App, Receive, Scope, Send, TooLargeError, too_large
from gripway.web.replies import answer, refusal, refused

SIGNS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""Signs of a code: none that is taken for another."""

SIGNS_IN_CODE = 8
"""8 of 31 signs: 850 thousand million codes."""

MOST_WRONG = 10
"""Wrong codes after which nobody is let in any more until gripway serve is started again."""

COOKIE = "gripway-guest"
ENTER = "/enter"
ENTRY_FILES = {"/": "share/enter.html"} | {
    f"/static/{name}": name
    for name in (
        "share/enter.js",
        "app.css",
        "icon.svg",
        "faces/faces.css",
        "faces/sans.woff2",
        "faces/serif.woff2",
        "faces/serif-italic.woff2",
        "faces/signs.woff2",
    )
}
"""What a device without a code gets: the page that asks for one."""

STAND = "/stand"
"""What a guest gets who may change nothing: the desk's music, as the file for the stand."""


class _Enter(Table, frozen=True):
    code: Annotated[str, Meta(max_length=40)] = ""


class Codes:
    """The code that lets the next device in, how many were wrong, and who is in.

    `told` is called with every new code.
    """

    def __init__(self, told: Callable[[str], None]) -> None:
        self._told = told
        self._guard = threading.Lock()
        self._wrong = 0
        self._guests: set[str] = set()
        self._code = ""
        self._renew()

    @property
    def closed(self) -> bool:
        """Whether too many codes were wrong."""
        return self._wrong >= MOST_WRONG

    def enter(self, text: str) -> str | None:
        """The token of a new guest for the right code, which is used up then; None for a wrong one."""
        said = "".join(sign for sign in text.upper() if sign.isalnum())
        with self._guard:
            if self.closed:
                return None
            if not hmac.compare_digest(said.encode(), self._code.encode()):
                self._wrong += 1
                return None
            token = secrets.token_urlsafe(32)
            self._guests.add(_digest(token))
            self._renew()
            return token

    def knows(self, token: str) -> bool:
        """Whether a token is a guest's."""
        return _digest(token) in self._guests

    def _renew(self) -> None:
        self._code = "".join(secrets.choice(SIGNS) for _ in range(SIGNS_IN_CODE))
        self._told(self._code)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


@dataclass(frozen=True)
class Share:
    """How the page is shared: the hosts guests may name, their codes, whether they may change things."""

    hosts: frozenset[str]
    codes: Codes
    may_change: bool = False


def from_desk(scope: Scope) -> bool:
    """Whether a request comes from this machine, over its own loopback."""
    ends = scope.get("client"), scope.get("server")
    return all(end is not None and _is_loopback(end[0]) for end in ends)


def _is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


class ByPlace:
    """The desk's requests to one application, those of guests to another."""

    def __init__(self, desk: App, guests: App) -> None:
        self._desk, self._guests = desk, guests

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; start and end of the server are the desk's."""
        at_desk = scope["type"] != "http" or from_desk(scope)
        await (self._desk if at_desk else self._guests)(scope, receive, send)


class Guests:
    """Lets guests in by their code, and on to the page as far as they may."""

    def __init__(self, app: App, share: Share, files: dict[str, Response]) -> None:
        self._app, self._share, self._files = app, share, files

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request of a guest."""
        request = Request(scope, receive)
        if self._share.codes.knows(_cookie(request)):
            await self._inside(scope, receive, send)
        else:
            await (await self._at_the_door(request))(scope, receive, send)

    async def _inside(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["path"].startswith(RECORDING):
            refuse = refusal(
                403, "desk-only", "guests cannot record", "Record on the machine of gripway serve"
            )
            await refuse(scope, receive, send)
        elif self._share.may_change:
            await self._app(scope, receive, send)
        elif (scope["method"], scope["path"]) == ("GET", "/"):
            await self._app({**scope, "path": STAND, "raw_path": STAND.encode()}, receive, send)
        else:
            refuse = refusal(403, "read-only", "guests look and listen only", "Start it with --guests-change")
            await refuse(scope, receive, send)

    async def _at_the_door(self, request: Request) -> Response:
        """The page that asks for a code, and what comes of a code."""
        asked = request.method, request.url.path
        if asked[0] == "GET" and asked[1] in ENTRY_FILES:
            return self._files[ENTRY_FILES[asked[1]]]
        if asked != ("POST", ENTER):
            return refusal(401, "no-code", "this page is for who has its code", "Enter the code first")
        try:
            body = request_of(await json_of(request), _Enter, "code")
        except RequestError as problem:
            return refused(problem)
        except TooLargeError as problem:
            return too_large(problem.most)
        token = self._share.codes.enter(body.code)
        if token is None and self._share.codes.closed:
            words = "too many codes were wrong: nobody else is let in"
            return refusal(429, "closed", words, "Start gripway serve --share again")
        if token is None:
            again = "Read it again from the screen: each is for one device"
            return refusal(403, "wrong-code", "this is not the code", again)
        let_in = answer({})
        let_in.set_cookie(COOKIE, token, httponly=True, samesite="strict", path="/")
        return let_in


def _cookie(request: Request) -> str:
    """The guest's token; empty without one, or where two contradict each other."""
    found = []
    for header in request.headers.getlist("cookie"):
        try:
            found += [morsel.value for morsel in SimpleCookie(header).values() if morsel.key == COOKIE]
        except CookieError:
            return ""
    return found[0] if len(found) == 1 else ""
