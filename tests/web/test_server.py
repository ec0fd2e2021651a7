"""The page's server as a whole: nobody waits for somebody else's upload."""

import threading
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import anyio
import httpx
import pytest
from tests.patience import HANG_S
from tests.web.pages import ADDRESS, HOST, ROOFTOP, score_body

from gripway.web import server
from gripway.web.server import AT_ONCE, app


def test_slow_uploads_leave_room_for_every_other_request(monkeypatch: pytest.MonkeyPatch) -> None:
    """More scores than there are threads are being read, and notes, routes and flutes are still answered."""
    gate, right = threading.Event(), server.work_of

    def slow(source: Any, pool: Any) -> Any:
        if source.data is not None:
            assert gate.wait(HANG_S)
        return right(source, pool)

    monkeypatch.setattr(server, "work_of", slow)
    answered: list[int] = []

    async def upload(browser: httpx.AsyncClient) -> None:
        answered.append((await browser.post("/open", json=score_body(ROOFTOP))).status_code)

    async def visit() -> None:
        transport = httpx.ASGITransport(app(frozenset({HOST})))
        async with (
            httpx.AsyncClient(transport=transport, base_url=ADDRESS, timeout=HANG_S) as browser,
            anyio.create_task_group() as uploads,
        ):
            for _ in range(AT_ONCE + 2):
                uploads.start_soon(upload, browser)
            try:
                with anyio.fail_after(HANG_S):
                    assert (await browser.get("/flutes")).status_code == 200
                    work = (await browser.post("/open", json={"notes": "E6 F#6"})).json()["work"]
                    route = await browser.post("/route", json={}, headers={"x-gripway-work": work})
                    assert route.json()["count"] == 2
                assert answered == []
            finally:
                gate.set()

    with ThreadPoolExecutor(1) as own:  # in this thread a browser may have a loop running
        own.submit(anyio.run, visit).result()
    assert answered == [200] * (AT_ONCE + 2)
