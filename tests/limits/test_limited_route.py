"""Routes under limits: an independent flow model agrees; reasons, report and conflicts hold."""

from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from tests.oracles.flutes import number, solver_of
from tests.oracles.limited_flow import Costs, costs_of, figure_keys, flow_model, is_unusual, tenths
from tests.oracles.passages import played
from tests.oracles.recount import re_added
from tests.tiers import thinned

from gripway.asked.limits import Limits, Thumb
from gripway.asked.wishes import Pin, Wishes
from gripway.errors import RequestError
from gripway.limits.answer import solve_within
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.rule import Holds, Rule, Span, When
from gripway.route.result import BOUNDED, CONFLICT, OPTIMAL, Route
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.scores import read

DATA = Path(__file__).parents[1] / "data"
RUN = "E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6:1/4 F6 F#6 G#6 A6 p F#6 G#6 A6 B6"
"""A cell of E major that comes again with F6 before it: one figure, in two lights."""


def rule(action: str, touches: str, when: When = When(), place: str = "own.toml: rule 1") -> Rule:  # noqa: B008 - frozen
    """A rule of one text."""
    return Rule(place, when, action, (Holds(Grip.parse(touches), "|" in touches),))


def solved(passage: Passage, limits: Limits, *pins: Pin) -> Route:
    """The route of a passage under limits."""
    return solve_within(solver_of(), passage, Wishes(limits=limits, pins=pins))


@cache
def part(name: str, first: int, count: int) -> tuple[Passage, Costs]:
    """A stretch of a real part, with all its costs."""
    passage = read(str(DATA / name), ReadOptions()).passage
    cut = replace(passage, notes=passage.notes[first : first + count])
    return cut, costs_of(cut, solver_of())


LIMITS = {
    "same figure": Limits(same_figure=True),
    "unusual": Limits(unusual=6),
    "none unusual": Limits(unusual=0),
    "tuning": Limits(tuning_cents=120.5),
    "worst": Limits(worst_cents=7.9),
    "thumb": Limits(thumb=(Thumb(),)),
    "thumb in notes": Limits(thumb=(Thumb(Span(False, "10", "40")),)),
    "learn": Limits(learnt=2),
    "learn none": Limits(learnt=0),
    "require": Limits(rules=(rule("require", "Eb", When(faster_than_ms=400.0)),)),
    "forbid": Limits(rules=(rule("forbid", "R3"),)),
    "prefer": Limits(rules=(rule("prefer", "L3", When(pitch=number("D6"))), rule("prefer", "T"))),
    "figure and unusual": Limits(same_figure=True, unusual=5),
    "tuning and learn": Limits(tuning_cents=200, learnt=3),
    "figure, learn, prefer": Limits(same_figure=True, learnt=2, rules=(rule("prefer", "T"),)),
    "four": Limits(same_figure=True, unusual=8, tuning_cents=230, learnt=3),
}
STRETCHES = (("schubert_d485_flute.musicxml", 0, 50), ("boulanger_matin_flute.musicxml", 40, 50))


def test_limits_that_the_free_route_keeps_change_nothing() -> None:
    """With its charges proved the free route is the answer: grips, effort, no note decided by a limit."""
    passage, _ = part("schubert_d485_flute.musicxml", 0, 500)
    free = solver_of().solve(passage, Wishes())
    assert free.status == OPTIMAL
    chosen = [note.candidate for note in free.notes if note.candidate]
    assert (
        sum(map(is_unusual, chosen)) == 0
    )  # as D. 485 is mostly played: so that nothing unusual may be barred
    route = solved(passage, Limits(unusual=0, learnt=0, same_figure=True))
    assert [note.candidate for note in route.notes] == [note.candidate for note in free.notes]
    assert (route.status, route.effort_milli) == (OPTIMAL, free.effort_milli)
    assert not any(
        "without limits" in flag for note in route.notes for flag in note.flags if isinstance(flag, str)
    )


@pytest.mark.parametrize("stretch", STRETCHES, ids=lambda stretch: stretch[0][:8])
@pytest.mark.parametrize("name", thinned(LIMITS, 4))
def test_an_independent_flow_model_finds_the_same_effort(name: str, stretch: tuple[str, int, int]) -> None:
    """A plain CP-SAT model of every candidate and change gives the value the search proves."""
    passage, costs = part(*stretch)
    route = solved(passage, LIMITS[name])
    value, _, status = flow_model(passage, costs, LIMITS[name]).solve(120.0)
    if status == "INFEASIBLE":
        assert route.status == CONFLICT
        return
    assert status == "OPTIMAL"
    assert route.status == OPTIMAL
    assert route.effort_milli == value
    assert route.limits is not None
    assert (route.limits.bound_milli, route.limits.proved) == (value, True)


@pytest.mark.parametrize("name", LIMITS)
def test_a_route_keeps_what_it_was_asked(name: str) -> None:
    """Counted again from the grips shown: no limit is passed, and the effort is the sum of its parts."""
    limits, (passage, _) = LIMITS[name], part(*STRETCHES[0])
    route = solved(passage, limits)
    if route.status == CONFLICT:
        return
    chosen = [note.candidate for note in route.notes]
    assert all(chosen)
    unusual = [c for c in chosen if c and is_unusual(c)]
    assert limits.unusual is None or len(unusual) <= limits.unusual
    assert limits.learnt is None or len({(c.pitch, c.row_grip) for c in unusual}) <= limits.learnt
    leans = [tenths(c) for c in chosen if c]
    assert limits.tuning_cents is None or sum(leans) <= limits.tuning_cents * 10
    assert limits.worst_cents is None or max(leans) <= limits.worst_cents * 10
    if limits.same_figure:
        grips: dict[object, set[Grip]] = {}
        for key, c in zip(figure_keys(passage.notes), chosen, strict=True):
            grips.setdefault(key, set()).add(c.row_grip if c else Grip(0))
        assert {len(own) for own in grips.values()} == {1}
    preferences = sum(dict(note.holding.parts).get("rules", 0) for note in route.notes)
    assert route.effort_milli == re_added(route, solver_of()) + preferences


def test_limits_that_bind_nothing_leave_the_route_as_it_was() -> None:
    """Generous limits give the very grips of the route without limits, hand positions and all."""
    passage, _ = part(*STRETCHES[0])
    free = solver_of().solve(passage, Wishes())
    loose = solved(passage, Limits(unusual=500, learnt=500, tuning_cents=10_000))
    assert [n.candidate for n in loose.notes] == [n.candidate for n in free.notes]
    assert loose.limits is not None
    assert loose.limits.free_milli == free.effort_milli == loose.effort_milli
    assert free.limits is None


def test_the_same_request_gives_the_same_route() -> None:
    """Two searches choose the same candidates, runners-up and reasons."""
    passage, _ = part(*STRETCHES[1])
    first, second = (solved(passage, LIMITS["four"]) for _ in range(2))
    assert first == second


def test_limits_bind_across_a_note_without_a_grip() -> None:
    """A gap in the middle neither stops the count nor the figures; the status still says gaps."""
    passage = played("(C6 D6 C6 D6) F7 (E4 F#4 E4 F#4)", tempo=180)
    free = solver_of().solve(passage, Wishes())
    used = sum(n.candidate is not None and is_unusual(n.candidate) for n in free.notes)
    route = solved(passage, Limits(unusual=used - 1))
    assert used >= 2
    assert route.status == "gaps"
    assert sum(n.candidate is not None and is_unusual(n.candidate) for n in route.notes) <= used - 1
    assert route.limits is not None
    assert route.limits.proved


def test_a_forced_note_says_which_limit_decides() -> None:
    """Where the grip differs from that without limits, a flag names the grip and the limit or figure."""
    passage = played("(C6 D6 C6 D6 C6 D6) (E4 F#4 E4 F#4)", tempo=180)
    free, limits = solver_of().solve(passage, Wishes()), Limits(same_figure=True, unusual=3)
    route = solved(passage, limits)
    for own, without in zip(route.notes, free.notes, strict=True):
        assert own.candidate is not None
        assert without.candidate is not None
        told = [flag for flag in own.flags if flag.startswith("without limits")]
        assert bool(told) == (own.candidate.grip != without.candidate.grip)
        assert all(without.candidate.grip.short in flag for flag in told)
    flags = " ".join(flag for note in route.notes for flag in note.flags)
    assert "at most 3 unusual grips" in flags


def test_runners_up_keep_the_limits_and_cost_what_they_say() -> None:
    """Putting a runner-up in place of the chosen grip, all else pinned, takes just the effort it names."""
    passage, limits = played(RUN, tempo=100), Limits(unusual=3)
    route = solved(passage, limits)
    told = 0
    for note in route.notes:
        for other in note.others:
            grips = [n.candidate.grip for n in route.notes if n.candidate]
            grips[note.index] = other.candidate.grip
            pins = tuple(Pin(k, grip) for k, grip in enumerate(grips))
            swapped = solver_of().solve(passage, Wishes(pins=pins))
            unusual = sum(n.candidate is not None and is_unusual(n.candidate) for n in swapped.notes)
            assert unusual <= 3
            assert swapped.effort_milli <= route.effort_milli + round(other.effort_more * 1000)
            assert other.effort_more >= 0
            told += 1
    assert told > 10


def test_a_search_cut_short_is_bounded_and_says_so() -> None:
    """Without time to prove, the status is bounded or the least was found anyway; the bound is below."""
    passage, _ = part(*STRETCHES[0])
    limits = replace(LIMITS["figure and unusual"], seconds=0.02)
    route = solved(passage, limits)
    assert route.status in (OPTIMAL, BOUNDED)
    assert route.limits is not None
    assert route.limits.bound_milli <= route.effort_milli
    assert route.limits.proved == (route.status == OPTIMAL)


CONFLICTS = (
    (Limits(unusual=0, worst_cents=40), (Pin(1, Grip.parse("T L1 | Eb")),), 2),
    (Limits(tuning_cents=1), (), 1),
    (
        Limits(same_figure=True, unusual=9),
        (Pin(3, Grip.parse("T L2 | R1 Eb")), Pin(5, Grip.parse("T L2 L4 | R1 Eb"))),
        3,
    ),
    (
        Limits(
            rules=(
                rule("forbid", "Eb", When(pitch=number("A6"))),
                rule("require", "Eb", When(pitch=number("A6")), "own.toml: rule 2"),
            )
        ),
        (),
        2,
    ),
    (Limits(learnt=0, unusual=0, tuning_cents=500), (Pin(1, Grip.parse("T L1 | Eb")),), 2),
)


@pytest.mark.parametrize("case", range(len(CONFLICTS)))
def test_a_conflict_names_only_what_is_needed_for_it(case: int) -> None:
    """No route keeps all the limits named; without any one of them there is one."""
    limits, pins, size = CONFLICTS[case]
    passage = played("E6 F#6 G#6 A6 G#6 A6 G#6 A6 G#6 A6", tempo=100)
    route = solved(passage, limits, *pins)
    assert route.status == CONFLICT
    assert all(note.candidate is None for note in route.notes)
    assert route.limits is not None
    conflict = route.limits.conflict
    assert conflict is not None
    assert len(conflict.limits) == size
    assert conflict.notes
    names = {words: name for name, words in limits.words().items()}
    named = [names[words] for words in conflict.limits if words in names]
    pinned = [pin for pin in pins if any(f"note {int(pin.note) + 1}" in words for words in conflict.limits)]
    assert len(named) + len(pinned) == size
    members = [*named, *pinned]
    for kept in combinations(members, len(members) - 1):
        fewer = limits.only({name for name in kept if isinstance(name, str)})
        assert solved(passage, fewer, *(pin for pin in kept if isinstance(pin, Pin))).status == OPTIMAL


def test_a_conflict_says_how_little_would_do() -> None:
    """The least sum it names can be kept, and a tenth of a cent less cannot."""
    passage = played("E6 F#6 G#6 A6", tempo=100)
    route = solved(passage, Limits(tuning_cents=1))
    assert route.limits is not None
    assert route.limits.conflict is not None
    (found,) = route.limits.conflict.least
    words, least = found.words, found.size
    assert found.proved
    assert words == "tuning within 1 cents"
    assert solved(passage, Limits(tuning_cents=least)).status == OPTIMAL
    assert solved(passage, Limits(tuning_cents=round(least - 0.1, 1))).status == CONFLICT


def test_limits_go_with_the_least_effort_only() -> None:
    """A baseline under limits would be neither."""
    with pytest.raises(RequestError, match="least effort"):
        Wishes(limits=Limits(unusual=0), choose="movers")


@pytest.mark.parametrize("span", [Span(True, "40", "50"), Span(False, "8", "3"), Span(True, "x", "y")])
def test_a_span_outside_the_passage_is_refused_with_its_words(span: Span) -> None:
    """The error names the limit, and says where the passage goes."""
    with pytest.raises(RequestError) as caught:
        solved(played("E6 F#6 G#6"), Limits(thumb=(Thumb(span),)))
    assert caught.value.place == f"thumb stays in {span.words}"


RETURNS = "(E6 F#6 G#6 A6) F#6:1/1 (E6 F#6 G#6 A6 G#6 F#6 E6 F#6) F#6:1/1 G#6:1/1"
"""At 240 it has grips to learn, and a pitch with two grips."""


def test_what_limits_cost_is_counted_from_the_free_route_with_its_charges() -> None:
    """The effort without limits is that of the free route, learning and changes of grip included."""
    passage = played(RETURNS, 240)
    free = solver_of().solve(passage, Wishes())
    assert free.charges is not None
    assert free.charges.learning_milli > 0
    assert free.charges.changing_milli > 0
    limited = solved(passage, Limits(unusual=0))
    assert limited.limits is not None
    assert limited.limits.free_milli == free.effort_milli
    assert limited.effort > free.effort


def test_the_best_route_through_another_grip_takes_at_most_what_it_says() -> None:
    """All else staying it takes that much; with all else free it takes no more, and not much less."""
    passage, limits = played("Bb4 C5 D5 Bb4 A4 Bb4 C5 Bb4", 132), Limits(unusual=0)
    route = solved(passage, limits)
    others = [(note.index, other) for note in route.notes for other in note.others]
    assert len(others) > 3
    for index, other in others:
        more = solved(passage, limits, Pin(index, other.candidate.grip)).effort - route.effort
        assert 0 <= more <= other.effort_more + 0.002
        assert other.effort_more < more + 1.0
