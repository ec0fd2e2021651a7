"""The page's server by CPU: a first view with grips, a dial, a pin; no browser."""

import base64
import json
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from tests.bench.clock import cpu, record, sized
from tests.bench.passages import write_score

from gripway.free_memory import collect_seldom
from gripway.web.asking import asked_of, request_of
from gripway.web.opening import Opening, opened, work_of
from gripway.web.requests import TASKS
from gripway.web.solver_pool import SolverPool, warm_up
from gripway.web.turns import Turn
from gripway.web.work import OpenWork

pytestmark = pytest.mark.bench

DIALS = ("tuning", "speed", "learning", "familiarity", "steadiness")
ROUNDS = 3
PINS = 16


@pytest.fixture(scope="module")
def pool() -> SolverPool:
    """What the server has learnt before anybody asks, in a process that collects as it does."""
    collect_seldom()
    made = SolverPool()
    warm_up(made, Turn(600))
    return made


class Tab:
    """A score as a tab has it open, with the CPU milliseconds of what it asks."""

    def __init__(self, path: Path, pool: SolverPool) -> None:
        body = {"name": path.name, "data": base64.b64encode(path.read_bytes()).decode()}
        self.ms = 1000 * cpu(lambda: self._open(body, pool))
        self.since: int | None = None

    def _open(self, body: dict[str, str], pool: SolverPool) -> None:
        self.work: OpenWork = work_of(request_of(body, Opening, "open"), pool)
        opened("", self.work, asked_of({}))

    def ask(self, name: str, **body: Any) -> tuple[float, dict[str, Any]]:
        """CPU milliseconds of an answer, and the answer."""
        found: list[Any] = []
        spent = cpu(lambda: found.append(TASKS[name](self.work, body, Turn(600))))
        return 1000 * spent, json.loads(found[0].body)

    def route(self, **wishes: Any) -> float:
        """CPU milliseconds of the route under these wishes, as what differs from the last one."""
        known = {} if self.since is None else {"since": self.since}
        spent, answer = self.ask("route", wishes=wishes, **known)
        self.since = answer["revision"]
        return spent


def first_view(path: Path, pool: SolverPool) -> tuple[float, int]:
    """CPU milliseconds until the first systems and all grips are there, those of a first route; its notes."""
    tab = Tab(path, pool)
    shown, route = tab.ask("route", wishes={}, at_once=True)
    return tab.ms + tab.ask("engraving", wishes={}, width_mm=180)[0] + shown, len(route["notes"])


def test_first_view_of_a_long_part(tmp_path: Path, pool: SolverPool) -> None:
    """Prints CPU of the first view of 900 and of 5,000 notes, and its ratio in this run."""
    sizes = (900, sized(5_000, 1_800))
    paths = []
    for notes in sizes:
        (tmp_path / str(notes)).mkdir()
        paths.append(write_score(tmp_path / str(notes), notes))
    (short, few), (long, many) = (
        min(first_view(path, pool) for _ in range(sized(ROUNDS, 1))) for path in paths
    )
    print(f"\nbench: page, first view: {short:.0f} ms and {long:.0f} ms, ratio {long / short:.2f}", end="")
    record("page, server, first view of 5,000 notes", long, "ms", "900 notes", short)
    assert (few, many) == sizes


def test_dial_and_pin(tmp_path: Path, pool: SolverPool) -> None:
    """Prints CPU of each dial moved alone, and of a pin, at 700 notes; each is another route."""
    tab = Tab(write_score(tmp_path, 700), pool)
    tab.route()
    for dial in DIALS:
        spent = [tab.route(dials={dial: 1.5 + k / 8}) for k in range(sized(ROUNDS, 1))]
        record(f"page, server, {dial} dial at 700 notes", min(spent), "ms")
        print(f"\nbench: page, {dial} dial at 700 notes: {min(spent):.0f} ms", end="")
    tab.route()
    spent, pins = [], []
    for index in range(20, 20 + 40 * sized(PINS, 1), 40):
        _, answer = tab.ask("note", wishes={"pins": pins}, index=index)
        grip = next(each["grip"] for each in answer["grips"] if not each["chosen"])
        pins = [*pins, {"note": answer["note"]["id"], "grip": grip}]
        spent.append(tab.route(pins=pins))
    half, most = median(spent), max(spent)
    print(f"\nbench: page, a pin at 700 notes: half take {half:.0f} ms, the longest {most:.0f} ms", end="")
    record("page, server, a pin at 700 notes, median", half, "ms")
    assert len(pins) == len(spent)
