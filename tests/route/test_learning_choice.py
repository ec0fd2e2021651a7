"""A number of grips to learn: the point of the learning curve, its curve in the answer, its refusals."""

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from tests.oracles.flutes import number, solver_of
from tests.oracles.passages import played

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.charges.learning_curve import learning_curve
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.tasks.scores import read

EXAMPLES = Path(__file__).parents[2] / "examples"
TURNS = (
    "(G4 A4 B4 C5 D5 E5 D5 E5) (D5 E6 D6 E6 D6 C6 D6 C6) (D6 B5 A5 G5 F#5 E5 F#5 E5) (F#5 E5 D5 C5) B4:1/4"
)
"""Turns where more than one other grip pays at 150."""


@cache
def passage() -> Passage:
    """The turns."""
    return played(TURNS, 150.0)


@cache
def route(learn: int | None) -> Route:
    """The route with at most so many grips to learn."""
    return solver_of().solve(passage(), Wishes(learn=learn, curve=True))


def learnt(found: Route) -> set[tuple[int, int]]:
    """The grips a route uses that are neither usual nor known, counted from its notes."""
    return {
        (note.note.pitch.number, note.candidate.row_grip.mask)
        for note in found.notes
        if note.candidate is not None and not note.candidate.usual and note.candidate.case != "standard"
    }


def without_learning(found: Route) -> int:
    """Its effort without what learning charges, in thousandths."""
    assert found.charges is not None
    return found.effort_milli - found.charges.learning_milli


def test_no_route_learns_more_than_was_asked() -> None:
    """With every number, and what is told to learn is what the notes have."""
    assert len(learnt(route(None))) > 1
    for most in range(4):
        found = route(most)
        assert found.charges is not None
        assert len(learnt(found)) <= most
        assert {(grip.pitch, grip.grip.mask) for grip in found.charges.learn} == learnt(found)


def test_each_route_is_its_point_of_the_curve() -> None:
    """The effort without learning is that of the last point with so few grips; more grips never take more."""
    curve = route(None).curve
    for most in range(4):
        step = [step for step in curve if len(step.grips) <= most][-1]
        assert without_learning(route(most)) == step.effort_milli
        assert {(pitch, grip.mask) for pitch, grip in step.grips} == learnt(route(most))
    efforts = [step.effort_milli for step in curve]
    assert efforts == sorted(efforts, reverse=True)


def test_the_curve_holds_the_answer_and_what_it_says_of_it() -> None:
    """One point is the answer, with its notes and highest load; bounds are no higher than efforts."""
    found = route(None)
    (mine,) = [step for step in found.curve if {(p, g.mask) for p, g in step.grips} == learnt(found)]
    assert mine.effort_milli == without_learning(found)
    assert mine.worst_load == pytest.approx(max(change.load for change in found.changes))
    there = [n for n in found.notes if n.candidate and (n.note.pitch.number, n.candidate.row_grip.mask)
             in learnt(found)]  # fmt: skip
    assert mine.places == len(there)
    assert all(step.bound_milli <= step.effort_milli for step in found.curve)
    for before, after in pairwise(found.curve):
        assert len(before.grips) < len(after.grips)


def test_none_to_learn_is_the_route_with_every_unusual_grip_away() -> None:
    """Searched by itself: the least route of the trellis with usual candidates only, returns charged."""
    none = route(0)
    assert learnt(none) == set()
    usual = [note.candidate.usual for note in none.notes if note.candidate]
    assert all(usual)
    assert none.status == "optimal"


def test_runners_up_learn_nothing_more() -> None:
    """Beside a number of grips the other grips of a note are usual ones, or those that are learnt."""
    for most in (0, 1):
        may = learnt(route(most))
        for note in route(most).notes:
            for other in note.others:
                candidate = other.candidate
                assert candidate.usual or (candidate.pitch, candidate.row_grip.mask) in may


def test_the_ends_of_a_curve() -> None:
    """Where only its ends are worked out they are the point without new grips and the answer's own."""
    ground = solver_of().ground(passage())
    assert ground.charged is not None
    whole, ends = learning_curve(ground.charged), learning_curve(ground.charged, ends=True)
    assert [len(point.learnt) for point in ends] == [0, len(learnt(route(None)))]
    assert ends[0].effort_milli == whole[0].effort_milli


def test_a_curve_is_only_worked_out_when_it_is_asked_for() -> None:
    """It may take as long as the route itself."""
    assert solver_of().solve(passage()).curve == ()
    assert len(route(None).curve) > 1


def test_a_real_part_has_its_curve() -> None:
    """The rooftop study: proved where nothing is learnt, never dearer with more."""
    part = read(EXAMPLES / "rooftop_study.musicxml").passage
    curve = solver_of().solve(part, Wishes(curve=True)).curve
    assert curve[0].proved
    assert len(curve[0].grips) == 0


@pytest.mark.parametrize(
    ("wishes", "place"),
    [
        ({"learn": -1}, "learn -1"),
        ({"learn": 1, "choose": "standard"}, "choose standard"),
        ({"learn": 1, "limits": Limits(unusual=2)}, "learn 1"),
    ],
)
def test_what_cannot_go_together_is_refused(wishes: dict[str, object], place: str) -> None:
    """A number below none, another choice than effort, limits beside it: with the place."""
    with pytest.raises(RequestError) as problem:
        Wishes(**wishes)  # type: ignore[arg-type]
    assert problem.value.place == place


def test_pins_that_ask_for_more_are_refused_with_what_is_possible() -> None:
    """A pinned grip that must be learnt does not go with none to learn."""
    assert number("F#6") == 90
    pins = (Pin(1, Grip.parse("T L1 L3 | R2 Eb")),)
    with pytest.raises(RequestError, match="but one with 1"):
        solver_of().solve(played("D6 F#6:1/4", 60.0), Wishes(pins=pins, learn=0))


FAR = "F#6:1/2 " + "r:1/1 " * 2 + "(D5 E5 F#5 G5) (A5 G5 F#5 E5) " * 5 + "r:1/1 "
BY_R2 = "T 1 3 | 2 Eb"


@pytest.mark.parametrize(("times", "follow"), [(1, False), (3, True)])
def test_a_pinned_grip_goes_to_other_notes_only_where_that_pays_by_itself(times: int, follow: bool) -> None:
    """A long F#6 is pinned; the quick ones far away follow where there are enough of them, else they stay."""
    passage = played(FAR + "(E6 F#6 E6 D6) " * times + "D6:1/2", 170.0)
    free = solver_of().solve(passage, Wishes())
    pinned = solver_of().solve(passage, Wishes(pins=(Pin("n1", Grip.parse(BY_R2)),)))
    grips = [
        [
            note.candidate.row_grip.short
            for note in route.notes
            if note.note.pitch.name == "F#6" and note.candidate
        ]
        for route in (free, pinned)
    ]
    assert BY_R2 not in grips[0]
    assert grips[1][0] == BY_R2
    assert [grip == BY_R2 for grip in grips[1][1:]] == [follow] * times
    assert all(other.effort_more >= 0 for note in pinned.notes for other in note.others)
