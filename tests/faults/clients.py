"""The page under many clients at a time, that open, ask, upload nonsense, hang up and stop."""

import base64
import http.client
import json
import random
import re
import subprocess
import sys
import threading
from collections import Counter
from typing import Any

from tests.faults.damage import STRANGE_NUMBERS, damaged, damaged_bytes, damaged_numbers
from tests.faults.judging import ANSWERED, REFUSED, chance_of
from tests.faults.score_cases import damaged_tags, packed
from tests.faults.seeds import seed
from tests.patience import HANG_S

TASKS = ("route", "look", "note", "curve", "compare", "engraving", "stop", "download/json", "nothing")
WISHES: tuple[dict[str, Any], ...] = (
    {}, {"tempo": 140}, {"tempo": "fast"}, {"bars": "1-2"}, {"bars": "9-1"}, {"learn": 1}, {"flute": "piccolo"},
    {"choose": "movers"}, {"limits": ["at most 2 unusual grips"]}, {"pins": [{"note": "n1", "grip": "T 1 | Eb"}]},
    {"bans": [{"kind": "harmonic"}]}, {"dials": {"speed": 2}}, {"x": 1}, {"part": "9"}, {"pins": "n1"},
)  # fmt: skip


def under_clients(clients: int, requests: int, seed: int) -> Counter[str]:
    """How the answers to so many clients with so many requests each went; the server must outlive them."""
    server = subprocess.Popen(
        [sys.executable, "-m", "gripway", "serve", "--port", "0"],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
    )
    try:
        assert server.stderr is not None
        port = int(re.search(rb":(\d+)/", server.stderr.readline())[1])  # type: ignore[index]
        found: Counter[str] = Counter()
        threads = [
            threading.Thread(target=_client, args=(port, requests, chance_of(seed, "page", number), found))
            for number in range(clients)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        found[
            _asked(port, "GET", "/flutes", b"", {}) if server.poll() is None else "the server has ended"
        ] += 0
        return found
    finally:
        server.terminate()
        server.wait()


def _client(port: int, requests: int, chance: random.Random, found: Counter[str]) -> None:
    works: list[str] = []
    for _ in range(requests):
        found[_request(port, chance, works)] += 1


def _request(port: int, chance: random.Random, works: list[str]) -> str:
    kind = chance.random()
    if kind < 0.3 or not works:
        data = seed(chance)
        if chance.random() < 0.6:
            data = damaged(data, chance, damaged_bytes, damaged_tags, damaged_numbers)
        if chance.random() < 0.2:
            data = packed(data, chance)
        body: dict[str, Any] = {"name": "a.xml", "data": base64.b64encode(data).decode()}
        if chance.random() < 0.3:
            body = {"notes": f"E6 F#6 G#6:{chance.choice(STRANGE_NUMBERS)} A6"}
        return _asked(port, "POST", "/open", json.dumps(body).encode(), {}, works)
    if kind < 0.4:
        return _hung_up(port, chance)
    wishes = chance.choice(WISHES)
    body = {"wishes": wishes}
    if chance.random() < 0.2:
        body = {"low": "F6", "high": "G6", "wishes": wishes}
    task = chance.choice(TASKS)
    if task == "note":
        body |= {"index": chance.choice((0, 1, -1, 10**9, "x", None))}
    if task == "compare":
        body = {"wishes_a": wishes, "wishes_b": chance.choice(WISHES)}
    data = json.dumps(body).encode()
    if chance.random() < 0.1:
        data = damaged_bytes(data, chance)
    return _asked(port, "POST", f"/{task}", data, {"x-gripway-work": chance.choice(works)})


def _asked(
    port: int, method: str, path: str, body: bytes, more: dict[str, str], works: list[str] | None = None
) -> str:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=HANG_S)
    try:
        connection.request(method, path, body, {"content-type": "application/json", **more})
        answer = connection.getresponse()
        data, status = answer.read(), answer.status
    except OSError as problem:
        return f"no answer: {type(problem).__name__}"
    finally:
        connection.close()
    if status == 200:
        if works is not None:
            works.append(json.loads(data)["work"])
        return ANSWERED
    if (status, data) == (204, b""):
        return REFUSED
    if status in (400, 404, 405, 410, 413, 415, 503) and set(json.loads(data)) == {"error"}:
        return REFUSED
    return f"status {status}: {data[:200]!r}"


def _hung_up(port: int, chance: random.Random) -> str:
    """A client that promises more than it sends and goes."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=HANG_S)
    try:
        connection.putrequest("POST", "/open")
        connection.putheader("content-type", "application/json")
        connection.putheader("content-length", str(chance.choice((10, 10**6, 10**9))))
        connection.endheaders(b'{"no')
    except OSError:
        pass
    finally:
        connection.close()
    return REFUSED
