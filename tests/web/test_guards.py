"""Who may ask, and how much: hosts, origins, kinds and sizes of requests, and the headers of answers."""

import base64
import re

import pytest
from tests.web.pages import HOST, client, error_of

from gripway.web.guards import MOST_DIGITS, POLICY, _too_large
from gripway.web.size_limits import MOST_BODY_BYTES, MOST_OPEN_BYTES, MOST_SCORE_BYTES


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8460", "127.0.0.1:9999", "localhost", ""])
def test_another_host_is_refused(host: str) -> None:
    """A name that somebody pointed at this machine, or another port, gets nothing: no page, no answer."""
    for path in ("/", "/static/app.js", "/flutes"):
        answer = client().get(path, headers={"host": host})
        assert answer.status_code == 403
        assert error_of(answer)["code"] == "foreign-host"


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:8460", "http://127.0.0.1"]
)
def test_another_origin_is_refused(origin: str) -> None:
    """A request from another site, a file or another scheme is refused, whatever it asks."""
    answer = client().post("/open", json={"notes": "E6"}, headers={"origin": origin})
    assert answer.status_code == 403
    assert error_of(answer)["code"] == "foreign-origin"


def test_our_own_origin_passes() -> None:
    """The page itself may ask."""
    assert (
        client().post("/open", json={"notes": "E6"}, headers={"origin": f"http://{HOST}"}).status_code == 200
    )


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_request_that_a_browser_marks_as_foreign_is_refused(site: str) -> None:
    """Browsers say where a request comes from (Fetch Metadata, W3C draft); foreign ones are refused."""
    answer = client().post("/open", json={"notes": "E6"}, headers={"sec-fetch-site": site})
    assert error_of(answer)["code"] == "foreign-origin"


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_what_a_foreign_form_can_send_is_refused(kind: str) -> None:
    """Only JSON is taken: a foreign page cannot send it without asking first (Fetch standard)."""
    answer = client().post("/open", content=b'{"notes": "E6"}', headers={"content-type": kind})
    assert answer.status_code == 415


def test_nobody_is_allowed_to_ask_from_elsewhere() -> None:
    """A foreign page that asks first (CORS preflight) gets no permission."""
    answer = client().options("/open", headers={"origin": "http://evil.example"})
    assert "access-control-allow-origin" not in answer.headers


@pytest.mark.parametrize(("path", "most"), [("/open", MOST_OPEN_BYTES), ("/route", MOST_BODY_BYTES)])
def test_too_large_a_body_is_refused_before_it_is_read(path: str, most: int) -> None:
    """More bytes than a request may carry: 413, with what to do."""
    body = b'{"notes": "' + b" " * most + b'"}'
    answer = client().post(path, content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 413
    assert "MusicXML" in error_of(answer)["next_step"]


def test_a_body_that_does_not_say_its_length_is_counted() -> None:
    """Sent in pieces without a length, it is cut off at the same size."""
    pieces = (b" " * 65536 for _ in range(MOST_BODY_BYTES // 65536 + 2))
    answer = client().post("/trill", content=pieces, headers={"content-type": "application/json"})
    assert answer.status_code == 413


def test_a_body_of_just_the_most_is_read() -> None:
    """What the words of the refusal allow comes through: it is no JSON, which is said of it instead."""
    for more, refused in ((0, 400), (1, 413)):
        pieces = (b" " * size for size in (MOST_BODY_BYTES - 1, 1 + more))
        answer = client().post("/trill", content=pieces, headers={"content-type": "application/json"})
        assert answer.status_code == refused


def test_a_length_is_believed_up_to_the_most() -> None:
    """At the most it passes, one above it is refused; so is one of more digits than any length has."""
    for length, passes in (("9", True), ("10", False), ("9".zfill(MOST_DIGITS), False)):
        assert (_too_large({"content-length": length}, 9) is None) is passes
    assert _too_large({"content-length": "9".zfill(MOST_DIGITS - 1)}, 9) is None


@pytest.mark.parametrize("length", ["-1", "many", "99999999999", "9" * 5000])
def test_a_length_that_is_none_is_refused(length: str) -> None:
    """A wrong length is not believed."""
    headers = {"content-type": "application/json", "content-length": length}
    assert client().post("/open", content=b"{}", headers=headers).status_code == 413


@pytest.mark.parametrize("path", ["/", "/static/app.css", "/flutes", "/nothing"])
def test_every_answer_has_the_headers(path: str) -> None:
    """Policy, no sniffing, no referrer, no foreign use, nothing kept: also where the answer is a refusal."""
    headers = client().get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["cache-control"] == "no-store"


def test_the_policy_allows_no_inline_code_and_no_other_place() -> None:
    """Nothing inline, nothing from elsewhere (Content Security Policy Level 3, W3C)."""
    assert "unsafe" not in POLICY
    assert "*" not in POLICY
    assert "http" not in POLICY
    assert POLICY.startswith("default-src 'none'")
    assert "frame-ancestors 'none'" in POLICY


def test_the_words_of_a_refusal_name_the_bound_of_a_score() -> None:
    """Too long a body and too long a score in it are refused with the same number, here and on the page."""
    scores = base64.b64encode(b"<" + b" " * MOST_SCORE_BYTES).decode()
    inside = client().post("/open", json={"name": "a.xml", "data": scores})
    outside = client().post(
        "/open", content=b" " * (MOST_OPEN_BYTES + 1), headers={"content-type": "application/json"}
    )
    mib = f"{MOST_SCORE_BYTES // 1024**2} MiB"
    assert (inside.status_code, outside.status_code) == (400, 413)
    assert f"at most {mib} are read" in error_of(inside)["what"]
    assert error_of(inside)["place"] == "a.xml"
    assert error_of(outside)["what"] == f"this is more than {mib}"
    script = client().get("/static/opening/own_files.js").text
    assert f"MOST_BYTES = {MOST_SCORE_BYTES // 1024**2} * 1024 * 1024," in script
    session = int(re.search(r"MOST_SESSION_BYTES = (\d+) \* 1024 \* 1024", script)[1])  # type: ignore[index]
    assert MOST_SCORE_BYTES < session * 1024**2 <= MOST_OPEN_BYTES
