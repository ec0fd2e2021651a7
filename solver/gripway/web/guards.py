"""What every request passes before anything reads it: host, origin, size; and the headers of answers.

The page is for the person at this machine, and for whom that person lets in (sharing.py). A foreign
site in the same browser can send requests here too, so a request must name this address as its host
(which a name that was pointed here does not), must come from our own page if it says where it comes
from, and must be JSON if it carries anything (which a foreign page cannot send without asking, and is
not allowed to).
"""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from starlette.responses import Response

from gripway.web.replies import refusal
from gripway.web.size_limits import MOST_BODY_BYTES, MOST_OPEN_BYTES, MOST_SCORE_BYTES, MOST_SOUND_BYTES

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "font-src 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'none'",
    )
)
"""Content security policy of the page: our own files only, no inline script or style, no frame."""

HEADERS = (
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), microphone=(), geolocation=()"),
    ("cache-control", "no-store"),
)

MICROPHONE = ("permissions-policy", "camera=(), microphone=(self), geolocation=()")
"""The page itself, at the desk, may ask its person for the microphone; nothing else may."""

PAGE, OPENING, RECORDING = "/", "/open", "/record/"
MOST_DIGITS = 16
"""A length with so many digits is none."""

HOW_TO_COME = "Use the page itself, at the address that gripway serve prints"


class TooLargeError(Exception):
    """A body that goes on beyond what its request may carry."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.most = most


class Guards:
    """Lets through what comes from our own page and is of a bearable size.

    With `microphone` the page may ask for one.
    """

    def __init__(self, app: App, hosts: frozenset[str], *, microphone: bool = False) -> None:
        self.app = app
        self.hosts = hosts
        self.microphone = microphone

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; anything that is no HTTP request is passed on (start and end of the server)."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = {key.decode("latin-1"): value.decode("latin-1") for key, value in scope["headers"]}
        most = _most(scope["path"])
        refused = self._foreign(scope["method"], headers) or _too_large(headers, most)
        sending = _with_headers(send, MICROPHONE if self.microphone and scope["path"] == PAGE else None)
        if refused is not None:
            await refused(scope, receive, sending)
            return
        await self.app(scope, _counted(receive, most), sending)

    def _foreign(self, method: str, headers: dict[str, str]) -> Response | None:
        """The refusal of a request that is not from our own page, or None."""
        origin, site = headers.get("origin"), headers.get("sec-fetch-site", "none")
        if headers.get("host", "").lower() not in self.hosts:
            return refusal(403, "foreign-host", "this address is not the page's own", HOW_TO_COME)
        if origin is not None and origin.lower() not in {f"http://{host}" for host in self.hosts}:
            return refusal(403, "foreign-origin", "the request comes from another site", HOW_TO_COME)
        if method == "POST" and site not in ("same-origin", "none"):
            return refusal(403, "foreign-origin", "the request comes from another site", HOW_TO_COME)
        if method == "POST" and not _is_json(headers.get("content-type", "")):
            return refusal(415, "not-json", "the request is not JSON", HOW_TO_COME)
        return None


def _is_json(content_type: str) -> bool:
    return content_type.partition(";")[0].strip().lower() == "application/json"


def _too_large(headers: dict[str, str], most: int) -> Response | None:
    length = headers.get("content-length", "0")
    fits = length.isdecimal() and len(length) < MOST_DIGITS and int(length) <= most
    return None if fits else too_large(most)


def _most(path: str) -> int:
    """The most bytes that a request to this address may carry."""
    if path == OPENING:
        return MOST_OPEN_BYTES
    return MOST_SOUND_BYTES if path.startswith(RECORDING) else MOST_BODY_BYTES


def too_large(most: int) -> Response:
    """The refusal of a body that is too long; one that opens something is measured by the score in it."""
    if most == MOST_SOUND_BYTES:
        return refusal(413, "too-large", "this is too much sound", "Play each take for two seconds")
    size = f"{MOST_SCORE_BYTES // 1024**2} MiB" if most == MOST_OPEN_BYTES else f"{most // 1024} KiB"
    return refusal(
        413,
        "too-large",
        f"this is more than {size}",
        "Export only the flute part, as compressed MusicXML (.mxl)",
    )


def _counted(receive: Receive, most: int) -> Receive:
    """Receiving that stops where the body is longer than it said or may be."""
    left = most

    async def counting() -> Message:
        nonlocal left
        message = await receive()
        left -= len(message.get("body", b""))
        if left < 0:
            raise TooLargeError(most)
        return message

    return counting


def _with_headers(send: Send, other: tuple[str, str] | None) -> Send:
    """Sending with our headers, one of which may be another."""
    headers = dict(HEADERS) | ({other[0]: other[1]} if other else {})
    extra = [(key.encode(), value.encode()) for key, value in headers.items()]

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", []))
            names = {name for name, _ in given}
            message["headers"] = [*given, *(pair for pair in extra if pair[0] not in names)]
        await send(message)

    return sending
