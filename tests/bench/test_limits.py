"""Limits over a whole passage against the plain flow model, by CP-SAT and by HiGHS, on the same costs.

Times are CPU seconds of this process: others may be at work on the machine. The searches of 500 notes
and of 2,000 have the usual minute by the clock, which should not cut them.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path
from time import process_time
from unittest.mock import patch

import pytest
from tests.bench.clock import record, sized
from tests.bench.plain_highs import solve_plain
from tests.oracles.flutes import fresh_solver
from tests.oracles.limited_flow import Costs, costs_of, flow_model, is_unusual

from gripway.asked.limits import Limits, Thumb
from gripway.asked.wishes import Wishes
from gripway.limits.answer import solve_within
from gripway.limits.proved_path import Answer, limited_path
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.scores import read
from gripway.trellis.constrained_network import ConstrainedNetwork

pytestmark = pytest.mark.bench

SCORE = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"
PEER_SECONDS = 120.0
NOTES, MANY = sized((500, 2000), (100, 300))
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
    return fresh_solver()


@cache
def _part(count: int) -> Passage:
    """The first `count` notes of the part as played, the part said again as often as needed."""
    passage = read(str(SCORE), ReadOptions()).passage
    notes = passage.notes
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
    return costs_of(_part(count), _solver())


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
    """The route, the seconds of the whole answer, and those of the search under limits alone."""
    searching: list[float] = []

    def timed(network: ConstrainedNetwork, seconds: float) -> Answer:
        begun = process_time()
        answer = limited_path(network, seconds)
        searching.append(process_time() - begun)
        return answer

    start = process_time()
    with patch("gripway.limits.limited_route.limited_path", timed):
        route = solve_within(_solver(), _part(count), Wishes(limits=limits))
    return route, process_time() - start, sum(searching)


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
    start = process_time()
    value, bound, status = flow_model(_part(NOTES), costs, limits).solve(PEER_SECONDS)
    peer = process_time() - start
    print(
        f"\n{NOTES} notes, {name}: whole answer {whole:.2f} s, search {search:.2f} s, {route.status}, "
        f"effort {route.effort:.3f}, gap {_gap(route):.2f} %; plain CP-SAT flow {peer:.1f} s, {status}, "
        f"{value} (bound {bound}); ratio {peer / whole:.1f}, of the search {peer / max(search, 1e-3):.0f}"
    )
    record(f"limits, {NOTES} notes: {name}", whole, "s", "plain flow in CP-SAT", peer)
    if status == "OPTIMAL" and route.status == "optimal":
        assert route.effort_milli == value


@pytest.mark.parametrize("name", NAMES)
def test_limits_against_a_plain_linear_flow(name: str) -> None:
    """HiGHS on the same model, as it stands: the same effort where both prove it."""
    limits = _limits(NOTES)[name]
    _ours(NOTES, limits)
    route, whole, _ = _ours(NOTES, limits)
    plain = flow_model(_part(NOTES), _costs(NOTES), limits)
    start = process_time()
    value, proved = solve_plain(plain.model, PEER_SECONDS)
    peer = process_time() - start
    told = f"{value}{'' if proved else ' (not proved)'}; ratio {peer / whole:.1f}"
    print(f"\n{NOTES} notes, {name}: whole answer {whole:.2f} s; plain HiGHS flow {peer:.1f} s, {told}")
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
