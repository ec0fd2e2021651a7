"""Limits over a whole passage against the plain flow model, by CP-SAT and by HiGHS, on the same costs.

Times are CPU seconds of this process: others may be at work on the machine. The searches of 500 notes
and of 2,000 have the usual minute by the clock, which should not cut them. Two times of ours are shown:
that of the whole answer (columns, costs, route without limits, route, reasons), and that of the search, which
like the peers has its costs ready: the network from them, and the proved path.
The passage is one in which every limit binds: its player finds new grips easy to learn.
"""

import gc
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from time import process_time
from typing import Any
from unittest.mock import patch

import pytest
from tests.bench.clock import record, sized
from tests.bench.plain_highs import solve_plain
from tests.oracles.flutes import fresh_solver
from tests.oracles.limited_flow import Costs, costs_of, flow_model, is_unusual

from gripway.asked.limits import Limits, Thumb
from gripway.asked.wishes import Wishes
from gripway.limits import limited_route
from gripway.limits.answer import solve_within
from gripway.limits.build import Terms
from gripway.model.passage import Passage
from gripway.model.player import Player
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.scores import read

pytestmark = pytest.mark.bench

SCORE = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"
PEER_SECONDS = 60.0
FIRST = 100
PLAYER = Player(dials=(("learning", 0.1),))
NOTES, MANY = sized((500, 2000), (150, 300))
"""Notes of the part against peers, and alone."""

NAMES = (
    "same figure",
    "unusual, half",
    "tuning, 0.8",
    "learn, half",
    "no note over 8",
    "thumb stays",
    "all four",
)


@cache
def _solver() -> Solver:
    return fresh_solver(player=PLAYER)


@cache
def _part(count: int) -> Passage:
    """So many notes of the part as played, from the first one on, the part said again as often as needed."""
    passage = read(str(SCORE), ReadOptions()).passage
    notes = passage.notes[FIRST:]
    while len(notes) < count:
        last = notes[-1]
        onset, onset_ms = last.onset + last.length, last.onset_ms + last.length_ms
        notes += tuple(
            replace(note, onset=note.onset + onset, onset_ms=note.onset_ms + onset_ms)
            for note in passage.notes
        )
    return replace(passage, notes=notes[:count])


@cache
def _free(count: int) -> Route:
    return _solver().solve(_part(count), Wishes())


@cache
def _costs(count: int) -> Costs:
    charges = _free(count).charges
    return costs_of(_part(count), _solver(), charges.left_out if charges else ())


def _limits(count: int) -> dict[str, Limits]:
    """Limits that bind: half the unusual and new grips of the free route, four fifths of its leans."""
    chosen = [note.candidate for note in _free(count).notes if note.candidate]
    unusual = [c for c in chosen if is_unusual(c)]
    learnt = len({(c.pitch, c.row_grip) for c in unusual})
    leans = sum(abs(round(c.tendency.cents or 0.0, 1)) for c in chosen)
    return {
        "same figure": Limits(same_figure=True),
        "unusual, half": Limits(unusual=len(unusual) // 2),
        "tuning, 0.8": Limits(tuning_cents=round(0.8 * leans, 1)),
        "learn, half": Limits(learnt=learnt // 2),
        "no note over 8": Limits(worst_cents=8.0),
        "thumb stays": Limits(thumb=(Thumb(),)),
        "all four": Limits(
            same_figure=True,
            unusual=int(0.8 * len(unusual)),
            tuning_cents=round(0.9 * leans, 1),
            learnt=learnt // 2,
        ),
    }


def _ours(count: int, limits: Limits) -> tuple[Route, float, float]:
    """The route, the seconds of the whole answer, and those of the search from ready costs."""
    searching: list[float] = []

    def timed(of: Callable[..., Any]) -> Callable[..., Any]:
        def within(*values: Any) -> Any:
            begun = process_time()
            found = of(*values)
            searching.append(process_time() - begun)
            return found

        return within

    _settled()
    start = process_time()
    with (
        patch.object(Terms, "network", timed(Terms.network)),
        patch.object(limited_route, "_answer", timed(limited_route._answer)),
    ):
        route = solve_within(_solver(), _part(count), Wishes(limits=limits))
    return route, process_time() - start, sum(searching)


def _settled() -> None:
    """What stands in memory is not looked through for rings while anyone is timed."""
    gc.collect()
    gc.freeze()


def _gap(route: Route) -> float:
    """How far the effort is above the bound, in per cent."""
    bound = route.limits.bound_milli if route.limits else route.effort_milli
    return 100.0 * (route.effort_milli - bound) / route.effort_milli


@pytest.mark.parametrize("name", NAMES)
def test_limits_against_a_plain_flow(name: str) -> None:
    """Both find the same effort where both prove it; the bench prints the ratio of their times."""
    limits = _limits(NOTES)[name]
    _ours(NOTES, limits)
    route, whole, search = _ours(NOTES, limits)
    costs = _costs(NOTES)
    _settled()
    start = process_time()
    value, bound, status = flow_model(_part(NOTES), costs, limits).solve(PEER_SECONDS)
    peer = process_time() - start
    print(
        f"\n{NOTES} notes, {name}: whole answer {whole:.2f} s, search {search:.2f} s, {route.status}, "
        f"effort {route.effort:.3f}, gap {_gap(route):.2f} %; plain CP-SAT flow {peer:.1f} s, {status}, "
        f"{value} (bound {bound}); ratio {peer / whole:.1f}, of the search {peer / max(search, 1e-3):.1f}"
    )
    record(f"limits, {NOTES} notes: {name}, from ready costs", search, "s", "plain flow in CP-SAT", peer)
    record(f"limits, {NOTES} notes: {name}", whole, "s", "plain flow in CP-SAT", peer)
    if status == "OPTIMAL" and route.status == "optimal":
        assert route.effort_milli == value


@pytest.mark.parametrize("name", NAMES)
def test_limits_against_a_plain_linear_flow(name: str) -> None:
    """HiGHS on the same model, as it stands: the same effort where both prove it."""
    limits = _limits(NOTES)[name]
    _ours(NOTES, limits)
    route, whole, search = _ours(NOTES, limits)
    costs = _costs(NOTES)
    _settled()
    start = process_time()
    value, proved = solve_plain(flow_model(_part(NOTES), costs, limits).model, PEER_SECONDS)
    peer = process_time() - start
    told = f"{value}{'' if proved else ' (not proved)'}"
    print(
        f"\n{NOTES} notes, {name}: whole answer {whole:.2f} s, search {search:.2f} s; plain HiGHS flow "
        f"{peer:.1f} s, {told}; ratio {peer / whole:.1f}, of the search {peer / max(search, 1e-3):.1f}"
    )
    record(f"limits, {NOTES} notes: {name}, from ready costs", search, "s", "plain flow in HiGHS", peer)
    record(f"limits, {NOTES} notes: {name}", whole, "s", "plain flow in HiGHS", peer)
    if proved and route.status == "optimal":
        assert route.effort_milli == value


@pytest.mark.parametrize("name", NAMES)
def test_limits_of_a_long_part(name: str) -> None:
    """The answer has a bound that is not above its effort; the bench prints time and gap."""
    route, whole, search = _ours(MANY, _limits(MANY)[name])
    assert route.limits is not None
    assert route.limits.bound_milli <= route.effort_milli
    told = f"{route.status}, effort {route.effort:.3f}, gap {_gap(route):.2f} %"
    print(f"\n{MANY} notes, {name}: whole answer {whole:.2f} s, search {search:.2f} s, {told}")
