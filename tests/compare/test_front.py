"""The front of effort against tuning, against every route there is and against networkx."""

from itertools import pairwise, product
from math import inf

import pytest
from hypothesis import assume, given, settings
from tests.bench.passages import pitches
from tests.oracles.flutes import solver_of
from tests.oracles.fronts import Counted, hull, undominated
from tests.oracles.passages import passages, played
from tests.oracles.recount import columns_of
from tests.tiers import examples

from gripway.compare.all_points import whole_front
from gripway.compare.batched_paths import Wide
from gripway.compare.corners import CORNERS, NOT_COMPLETE, WHOLE, Front, supported_front
from gripway.compare.two_costs import Axes, axes_of
from gripway.model.passage import Passage
from gripway.model.pitch import plain_name
from gripway.route.joined import Joined, joined

SOLVER = solver_of()
TINY = passages(least=1, most=3, lowest=69, highest=96)
SMALL = passages(least=2, most=4, lowest=86, highest=96)


def ground_of(passage: Passage) -> tuple[Joined, Axes, Wide]:
    """The joined trellis of a passage with its axes."""
    ground = SOLVER.ground(passage)
    whole = joined(ground)
    axes = axes_of(passage, ground, whole)
    return whole, axes, Wide(axes)


def line(count: int, tempo: float = 200.0) -> Passage:
    """A seeded line of quick sixteenths in the third octave, where other grips have something to say."""
    return played(" ".join(plain_name(number + 5) for number in pitches(count)), tempo)


def keys(front: Front) -> list[tuple[int, int]]:
    """Effort and lean of every point."""
    return [point.key for point in front.points]


@settings(max_examples=examples(60), deadline=None)
@given(TINY)
def test_the_whole_front_is_that_of_every_route(passage: Passage) -> None:
    """Every route of a short passage is looked at; those that none beats are the front."""
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    count = 1
    for column in counted.columns:
        count *= len(column)
    assume(0 < count < 20_000)
    every = {(plain, lean) for _, (_, plain, lean) in counted.routes()}
    _, axes, wide = ground_of(passage)
    corners = supported_front(axes, wide)
    front = whole_front(axes, wide, corners)
    assert (corners.status, front.status) == (CORNERS, WHOLE)
    assert keys(front) == undominated(every)
    assert set(hull(undominated(every))) <= set(keys(corners)) <= set(keys(front))


@settings(max_examples=examples(60), deadline=None)
@given(SMALL)
def test_points_are_what_their_routes_count(passage: Passage) -> None:
    """Each point's route, asked ledger by ledger, has its effort and its lean."""
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    whole, axes, wide = ground_of(passage)
    for point in whole_front(axes, wide, supported_front(axes, wide)).points:
        assert counted.value(whole.candidates(point.path))[1:] == point.key


@settings(max_examples=examples(40), deadline=None)
@given(passages(least=4, most=12, lowest=60, highest=98))
def test_points_beat_each_other_in_one_only(passage: Passage) -> None:
    """From point to point effort rises and the lean falls; the corners bend one way."""
    whole, axes, wide = ground_of(passage)
    assume(whole.places)
    corners = supported_front(axes, wide)
    front = whole_front(axes, wide, corners)
    for some in (corners, front):
        assert all(p.effort < q.effort and p.lean > q.lean for p, q in pairwise(some.points))
    assert set(hull(keys(corners))) <= set(keys(corners))
    slopes = [(q.effort - p.effort, p.lean - q.lean) for p, q in pairwise(corners.points)]
    assert all(b[0] * a[1] >= a[0] * b[1] for a, b in pairwise(slopes))


@pytest.mark.parametrize("count", [30, 40])
def test_corners_are_the_least_by_networkx(count: int) -> None:
    """For the slope between neighbours, and at both ends, networkx finds no cheaper route."""
    passage = line(count)
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    _, axes, wide = ground_of(passage)
    points = supported_front(axes, wide).points
    assert len(points) > 5
    for p, q in pairwise(points):
        a, b = p.lean - q.lean, q.effort - p.effort
        assert counted.least(a, b) == a * p.effort + b * p.lean
    assert counted.least(1, 0) == points[0].effort
    assert counted.least(0, 1) == points[-1].lean


def test_a_front_reaches_across_a_gap() -> None:
    """With a note without a grip in the middle, the front is that of all routes of both sides together."""
    passage = played("E6 F#6 F#7 A6 B6", 100.0)
    whole, axes, wide = ground_of(passage)
    assert whole.places == (0, 1, 3, 4)
    every = {
        (int(effort), lean)
        for path in product(*(range(len(column)) for column in whole.columns))
        for effort, lean in [plain_values(axes, path)]
        if effort < inf
    }
    front = whole_front(axes, wide, supported_front(axes, wide))
    assert (front.status, keys(front)) == (WHOLE, undominated(every))


def plain_values(axes: Axes, path: tuple[int, ...]) -> tuple[float, int]:
    """Effort (infinite where a change is barred) and lean of a path, added up node by node."""
    effort = sum(axes.efforts[k][node] for k, node in enumerate(path))
    effort += sum(axes.blocks[k][path[k]][path[k - 1]] for k in range(1, len(path)))
    return effort, sum(axes.leans[k][node] for k, node in enumerate(path))


def test_a_front_that_needs_too_many_labels_says_so() -> None:
    """With few labels allowed the corners are all there and the stretches that are not are counted."""
    _, axes, wide = ground_of(line(60))
    corners = supported_front(axes, wide)
    cut = whole_front(axes, wide, corners, (50, 200))
    full = whole_front(axes, wide, corners)
    assert (cut.status, full.status) == (NOT_COMPLETE, WHOLE)
    assert 0 < cut.missing < len(corners.points)
    assert set(keys(corners)) <= set(keys(cut)) < set(keys(full))


def test_the_normal_answer_is_never_below_the_front() -> None:
    """No point of the whole front is beaten by the normal answer."""
    whole, axes, wide = ground_of(line(40))
    effort, lean = axes.values(whole.path)
    front = keys(whole_front(axes, wide, supported_front(axes, wide)))
    assert any(e <= effort and c <= lean for e, c in front)
