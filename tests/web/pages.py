"""A page's server and what is asked of it, for the tests of this room."""

import base64
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from gripway.web.server import app

ROOT = Path(__file__).resolve().parents[2]
HOST = "127.0.0.1:8460"
ADDRESS = f"http://{HOST}"
ROOFTOP = ROOT / "examples" / "rooftop_study.musicxml"
SCHUBERT = ROOT / "tests" / "data" / "schubert_d485_flute.musicxml"


@cache
def client() -> TestClient:
    """A browser's place in front of a page's server, without its warming up."""
    return TestClient(app(frozenset({HOST})), base_url=ADDRESS, raise_server_exceptions=False)


def score_body(path: Path) -> dict[str, Any]:
    """The body that opens a score file."""
    return {"name": path.name, "data": base64.b64encode(path.read_bytes()).decode()}


def opened(**body: Any) -> dict[str, Any]:
    """What the server says of something opened."""
    answer = client().post("/open", json=body)
    assert answer.status_code == 200, answer.text
    data: dict[str, Any] = answer.json()
    return data


def ask(name: str, work: str, /, **body: Any) -> Any:
    """An answer to a question about a work."""
    return client().post(f"/{name}", json=body, headers={"x-gripway-work": work})


def error_of(answer: Any) -> dict[str, str]:
    """The error of a refusal, which has its four parts."""
    error: dict[str, str] = answer.json()["error"]
    assert set(error) == {"code", "what", "place", "next_step"}
    return error


@contextmanager
def nothing_written(folder: Path) -> Iterator[None]:
    """Fails where a file below a folder came or went."""
    before = sorted(folder.rglob("*"))
    yield
    assert sorted(folder.rglob("*")) == before
