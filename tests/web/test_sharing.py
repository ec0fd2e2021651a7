"""Guests from the local network: let in by a code, kept from changing anything; off without being asked."""

import re
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.web.pages import ADDRESS, HOST, ROOFTOP, error_of, score_body

from gripway.web.server import app
from gripway.web.share_screen import WARNING, invitation, shareable
from gripway.web.sharing import COOKIE, MOST_WRONG, Codes, Share

LAN_HOST = "192.168.7.4:8460"
LAN = f"http://{LAN_HOST}"
GUEST = ("192.168.7.9", 50123)
DESK = ("127.0.0.1", 50124)


class Shared:
    """A shared page with its desk, and guests with a browser each."""

    def __init__(self, may_change: bool = False) -> None:
        self.codes: list[str] = []
        share = Share(frozenset({LAN_HOST}), Codes(self.codes.append), may_change)
        self.app = app(frozenset({HOST}), share)

    def desk(self) -> TestClient:
        """The browser of this machine."""
        return TestClient(self.app, base_url=ADDRESS, client=DESK, raise_server_exceptions=False)

    def guest(self, **enters: str) -> TestClient:
        """A device of the network, which enters a code where one is given."""
        browser = TestClient(self.app, base_url=LAN, client=GUEST, raise_server_exceptions=False)
        if enters:
            assert browser.post("/enter", json=enters).status_code == 200
        return browser

    def opened(self) -> dict[str, Any]:
        """The study opened at the desk, with its route on the page."""
        desk = self.desk()
        work: dict[str, Any] = desk.post("/open", json=score_body(ROOFTOP)).json()
        answer = desk.post("/route", json={"wishes": {}}, headers={"x-gripway-work": work["work"]})
        assert answer.status_code == 200
        return work


def test_the_desk_needs_no_code() -> None:
    """On this machine everything is as without sharing."""
    assert "<title>gripway</title>" in Shared().desk().get("/").text


def test_without_a_code_there_is_nothing_but_the_door() -> None:
    """A device that has entered nothing gets the page that asks, its script and style, and nothing else."""
    guest = Shared().guest()
    assert "Which code" in guest.get("/").text
    assert guest.get("/static/share/enter.js").status_code == 200
    sheets = re.findall(r'(?:href|src)="(/static/[^"]+)"', guest.get("/").text)
    faces = re.findall(r'url\("([^"]+)"\)', guest.get("/static/faces/faces.css").text)
    assert len(faces) == 4
    for path in (*sheets, *(f"/static/faces/{face}" for face in faces)):
        assert guest.get(path).status_code == 200, path
    for path in ("/flutes", "/static/app.js", "/stand", "/static/share/../app.js"):
        assert error_of(guest.get(path))["code"] == "no-code"
    for path in ("/open", "/route", "/trill", "/download/report"):
        assert error_of(guest.post(path, json={}))["code"] == "no-code"


def test_a_wrong_code_is_refused_and_wrong_ones_are_counted() -> None:
    """After so many wrong ones nobody is let in any more, even with the right one; who is in stays in."""
    shared = Shared()
    inside = shared.guest(code=shared.codes[-1])
    guest = shared.guest()
    for _ in range(MOST_WRONG - 1):
        assert error_of(guest.post("/enter", json={"code": "ABCDEFGH"}))["code"] == "wrong-code"
    assert error_of(guest.post("/enter", json={"code": ""}))["code"] == "closed"
    assert error_of(guest.post("/enter", json={"code": shared.codes[-1]}))["code"] == "closed"
    assert "set-cookie" not in guest.post("/enter", json={"code": shared.codes[-1]}).headers
    assert inside.get("/").status_code == 200


def test_a_code_lets_in_once() -> None:
    """It gives a cookie no script reads and no other site sends; the next device needs the next code."""
    shared = Shared()
    answer = shared.guest().post(
        "/enter", json={"code": f" {shared.codes[0][:4]}-{shared.codes[0][4:].lower()}"}
    )
    cookie = answer.headers["set-cookie"].lower()
    assert cookie.startswith(f"{COOKIE}=")
    assert {"httponly", "samesite=strict", "path=/"} <= {part.strip() for part in cookie.split(";")}
    assert len(shared.codes) == 2
    assert error_of(shared.guest().post("/enter", json={"code": shared.codes[0]}))["code"] == "wrong-code"
    assert shared.guest(code=shared.codes[1]).get("/").status_code == 200


@pytest.mark.parametrize("cookie", ["", f"{COOKIE}=", f"{COOKIE}=x", f"{COOKIE}=a; {COOKIE}=b", "\x80=;;"])
def test_another_cookie_lets_nobody_in(cookie: str) -> None:
    """A made-up, empty, doubled or broken cookie is none."""
    answer = Shared().guest().get("/flutes", headers={"cookie": cookie.encode("latin-1")})  # type: ignore[dict-item]
    assert error_of(answer)["code"] == "no-code"


@pytest.mark.parametrize("body", [[], {"code": 7}, {"code": "A" * 41}, {"codes": "A"}, {"code": "A", "x": 1}])
def test_what_is_no_code_is_refused(body: Any) -> None:
    """Another kind of value, too long a text or an unknown key: refused with the place that is wrong."""
    answer = Shared().guest().post("/enter", json=body)
    assert answer.status_code == 400
    assert error_of(answer)["place"]


def test_guests_see_what_is_on_the_desk_and_change_nothing() -> None:
    """They get the music of the desk in one file with a policy of its own; every other address is refused."""
    shared = Shared()
    guest = shared.guest(code=shared.codes[-1])
    assert "Nothing is open at the desk yet" in guest.get("/").text
    work = shared.opened()
    page = guest.get("/")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert "attachment" not in page.headers.get("content-disposition", "")
    assert "stand-data" in page.text
    assert "script-src 'sha256-" in page.text
    assert (
        page.headers["content-security-policy"]
        == "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
    )
    token = {"x-gripway-work": work["work"]}
    for path in ("/open", "/route", "/note", "/download/report", "/player", "/enter", "/stop", "/"):
        answer = guest.post(path, json={"wishes": {}}, headers=token)
        assert error_of(answer)["code"] == "read-only", path
    for path in ("/stand", "/flutes", "/static/app.js"):
        assert error_of(guest.get(path))["code"] == "read-only", path


def test_guests_see_the_pins_of_the_desk() -> None:
    """What the desk has answered last is what they get: with a pin, the grip that is pinned."""
    shared = Shared()
    work = shared.opened()
    guest, desk, token = shared.guest(code=shared.codes[-1]), shared.desk(), {"x-gripway-work": work["work"]}
    before = guest.get("/").text
    note = desk.post("/note", json={"wishes": {}, "index": 3}, headers=token).json()
    pin = {"note": note["note"]["id"], "grip": note["grips"][1]["grip"]}
    assert desk.post("/route", json={"wishes": {"pins": [pin]}}, headers=token).status_code == 200
    after = guest.get("/").text
    assert '"pinned":[]' in before
    assert '"pinned":[3]' in after


def test_guests_who_may_change_have_the_whole_page() -> None:
    """With the option a guest opens and asks as one does at the desk."""
    shared = Shared(may_change=True)
    guest = shared.guest(code=shared.codes[-1])
    assert "<title>gripway</title>" in guest.get("/").text
    work = guest.post("/open", json={"notes": "E6 F#6"}, headers={"origin": LAN}).json()
    answer = guest.post("/route", json={"wishes": {}}, headers={"x-gripway-work": work["work"]})
    assert answer.json()["count"] == 2


@pytest.mark.parametrize(
    "host", ["evil.example", HOST, "192.168.7.4", "192.168.7.4:80", "localhost:8460", ""]
)
def test_guests_must_name_our_address_on_the_network(host: str) -> None:
    """A name pointed here, another port, or the desk's own host gets nothing, with a cookie or without."""
    shared = Shared(may_change=True)
    for guest in (shared.guest(), shared.guest(code=shared.codes[-1])):
        for answer in (
            guest.get("/", headers={"host": host}),
            guest.post("/enter", json={}, headers={"host": host}),
        ):
            assert error_of(answer)["code"] == "foreign-host"


@pytest.mark.parametrize("may_change", [False, True])
def test_guests_cannot_record(may_change: bool) -> None:
    """No guest sends sound, whatever else guests may do, and their browser may not ask for a microphone."""
    shared = Shared(may_change)
    guest = shared.guest(code=shared.codes[-1])
    for name in ("grips", "pitch", "take", "table"):
        assert guest.post(f"/record/{name}", json={}).status_code == 403
    assert error_of(guest.post("/record/grips", json={}))["next_step"]
    assert "microphone=()" in guest.get("/").headers["permissions-policy"]
    assert "microphone=(self)" in shared.desk().get("/").headers["permissions-policy"]


def test_a_network_host_is_foreign_at_the_desk() -> None:
    """The desk answers to its loopback names only, as without sharing."""
    answer = Shared().desk().get("/", headers={"host": LAN_HOST})
    assert error_of(answer)["code"] == "foreign-host"


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://{LAN_HOST}", ADDRESS])
def test_another_origin_is_refused_of_guests(origin: str) -> None:
    """Another site in a guest's browser, the desk's own address among them, can send nothing here."""
    shared = Shared(may_change=True)
    guest = shared.guest(code=shared.codes[-1])
    for path in ("/enter", "/open"):
        assert error_of(guest.post(path, json={}, headers={"origin": origin}))["code"] == "foreign-origin"
    answer = guest.post("/open", json={}, headers={"sec-fetch-site": "cross-site"})
    assert error_of(answer)["code"] == "foreign-origin"


def test_a_guest_cannot_pass_for_the_desk() -> None:
    """Where a request comes from is what the connection says, not what its headers say."""
    shared = Shared()
    away = TestClient(shared.app, base_url=ADDRESS, client=GUEST, raise_server_exceptions=False)
    assert error_of(away.get("/"))["code"] == "foreign-host"
    forwarded = {"host": LAN_HOST, "x-forwarded-for": "127.0.0.1", "forwarded": "for=127.0.0.1"}
    assert error_of(away.get("/flutes", headers=forwarded))["code"] == "no-code"


def test_the_screen_shows_address_code_picture_and_warning() -> None:
    """The code in two halves, the picture in the terminal's own blocks, and what the network can read."""
    shown = invitation("http://192.168.7.4:8460/", "ABCDEFGH", may_change=False)
    assert "http://192.168.7.4:8460/ for one device, with the code ABCD-EFGH" in shown
    assert "change nothing" in shown
    assert shown.endswith(WARNING)
    assert "unencrypted" in WARNING
    assert sum("▄" in line or "█" in line for line in shown.splitlines()) > 10


@pytest.mark.parametrize(
    ("address", "local"),
    [
        *((address, True) for address in ("192.168.0.1", "10.1.2.3", "172.16.0.9", "169.254.1.1")),
        *((address, False) for address in ("8.8.8.8", "172.32.0.1", "127.0.0.1", "0.0.0.0")),  # noqa: S104
    ],
)
def test_only_an_address_of_a_local_network_is_shared(address: str, local: bool) -> None:
    """Those of RFC 1918 and link-local ones (RFC 3927); a public one would let the whole internet knock."""
    assert shareable(address) is local
