"""Re-solving after pins and bans: the very route a full solve gives, and little is done for it."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as budget
from hypothesis import strategies as st
from tests.oracles.flutes import fresh_solver, solver_of
from tests.oracles.passages import passages, played, with_ornament
from tests.tiers import examples, thinned

from gripway.asked.wishes import CHOICES, STANDARD_ONLY, Pin, Wishes
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.model.player import PLAIN_PLAYER, Ban
from gripway.route.ground import charges_of
from gripway.route.result import BOUNDED, Route
from gripway.route.solve import Solver
from gripway.route.with_other_pins import Resolving, with_bans

LINE = "(E6 F#6 G#6 A6) (B6 A6 G#6 F#6) E6 Bb5 C6 D6 Eb6 F6 G6 E6 " * 4


def whole(passage: Passage, wishes: Wishes) -> Route:
    """The route of a solver that has learnt nothing of these bans."""
    if not wishes.bans:
        return solver_of().solve(passage, wishes)
    return fresh_solver(player=replace(PLAIN_PLAYER, bans=wishes.bans)).solve(passage, wishes)


def resolved(resolving: Resolving, solver: Solver, wishes: Wishes) -> Route:
    """The route of a passage that is asked for again, with the reason and runners-up of every note."""
    route = resolving.route(solver, wishes)
    notes = (resolving.explained(note.index, wishes.others) for note in route.notes)
    return replace(route, notes=tuple(notes))


def told(solve: Callable[[], Route]) -> Route | str:
    """A route, or the words of its refusal (a grip both pinned and banned)."""
    try:
        return solve()
    except RequestError as problem:
        return str(problem)


@st.composite
def wish_lists(draw: st.DrawFn, passage: Passage) -> list[Wishes]:
    """A few wishes one after the other, as a person says them: pins and bans of grips of the route."""
    route = solver_of().solve(passage, Wishes(others=9))
    found = []
    pins: dict[int, Pin] = {}
    bans: tuple[Ban, ...] = ()
    for _ in range(draw(st.integers(1, 4))):
        note = route.notes[draw(st.integers(0, len(route.notes) - 1))]
        grips = [other.candidate for other in note.others] + ([note.candidate] if note.candidate else [])
        if not grips:
            continue
        candidate = draw(st.sampled_from(grips))
        if draw(st.booleans()):
            pins[note.index] = Pin(note.index, candidate.grip)
        else:
            bans = (*bans, Ban(candidate.pitch, candidate.row_grip))
        found.append(Wishes(pins=tuple(pins.values()), bans=bans))
    return found


@budget(max_examples=examples(40))
@given(st.data())
def test_it_is_the_route_of_a_full_solve(data: st.DataObject) -> None:
    """After any sequence of pins and bans the route equals a full solve: grips, reasons, efforts, changes."""
    passage = data.draw(passages(least=3, most=14))
    resolving, plain = Resolving(passage), fresh_solver()
    for wishes in data.draw(wish_lists(passage)):
        expected = told(lambda: whole(passage, wishes))  # noqa: B023 - called at once
        assert told(lambda: resolved(resolving, with_bans(plain, wishes), wishes)) == expected  # noqa: B023


def test_a_long_passage_with_ornaments_pinned_note_by_note_and_back() -> None:
    """Over 64 notes, a trill among them, each pin and its taking back give the full solve's route."""
    passage = with_ornament(played(LINE), 20, "trill", "G#6")
    resolving, solver = Resolving(passage), solver_of()
    start = resolved(resolving, solver, Wishes())
    for index in range(0, 64, 7):
        for other in start.notes[index].others[:1]:
            wishes = Wishes(pins=(Pin(index, other.candidate.grip),))
            assert resolved(resolving, solver, wishes) == solver.solve(passage, wishes)
    assert resolved(resolving, solver, Wishes()) == start


@pytest.mark.parametrize("choose", CHOICES)
def test_every_way_to_choose(choose: str) -> None:
    """Least effort, standard grips only and fewest movers are re-solved alike."""
    passage = played(LINE)
    resolving, solver = Resolving(passage), solver_of()
    resolving.route(solver, Wishes(choose=choose))
    wishes = Wishes(choose=choose, pins=(Pin(9, solver.book.column(82, False, False)[-1].grip),))
    assert resolved(resolving, solver, wishes) == solver.solve(passage, wishes)


def test_only_what_a_pin_touches_is_worked_out_anew() -> None:
    """One pin in 64 notes: the notes far from it are the very same objects as before."""
    passage, solver = played(LINE), solver_of()
    resolving = Resolving(passage)
    before = resolving.route(solver, Wishes())
    pinned = resolving.explained(32, 1).others[0].candidate.grip
    after = resolving.route(solver, Wishes(pins=(Pin(32, pinned),)))
    anew = [a.index for a, b in zip(after.notes, before.notes, strict=True) if a is not b]
    assert 32 in anew
    assert len(anew) < 40
    assert after.notes[0] is before.notes[0]
    assert after.notes[63] is before.notes[63]


def test_a_ban_that_leaves_a_note_without_a_grip() -> None:
    """Banning every grip of a pitch makes gaps, and allowing them again closes the gaps."""
    passage, plain = played("E6 C#6 E6 D6 C#6 E6"), fresh_solver()
    resolving = Resolving(passage)
    start = resolved(resolving, plain, Wishes())
    bans = tuple(Ban(85, c.row_grip) for c in plain.book.column(85, True, True))
    gaps = resolved(resolving, with_bans(plain, Wishes(bans=bans)), Wishes(bans=bans))
    assert gaps == whole(passage, Wishes(bans=bans))
    assert [note.candidate is None for note in gaps.notes] == [
        note.note.pitch.name == "C#6" for note in gaps.notes
    ]
    assert resolved(resolving, plain, Wishes()) == start


def test_others_on_demand_are_the_runners_up_of_a_full_solve() -> None:
    """All the other grips of one note, with the effort they add, as `Wishes(others=...)` gives them."""
    passage, solver = played(LINE), solver_of()
    resolving = Resolving(passage)
    resolving.route(solver, Wishes(others=1))
    assert resolving.explained(5, 30) == solver.solve(passage, Wishes(others=30)).notes[5]


def test_a_pulse_that_raises_stops_the_work_and_loses_nothing() -> None:
    """Stopped in the middle, the next answer is still the full solve's."""
    passage, solver = played(LINE), solver_of()
    resolving = Resolving(passage)
    left = iter(range(5))

    def pulse() -> None:
        next(left)

    with pytest.raises(StopIteration):
        resolving.route(solver, Wishes(), pulse)
    assert resolved(resolving, solver, Wishes()) == solver.solve(passage, Wishes())


@pytest.mark.parametrize("learn", [None, 0])
def test_the_curve_is_that_of_a_search_of_its_own(learn: int | None) -> None:
    """The learning curve read off a kept answer is the one searched from the start."""
    passage, wishes = played("(E6 F#6 G#6 F#6) " * 16, tempo=168), Wishes(learn=learn)
    found = fresh_solver().ground(passage, replace(wishes, curve=True))
    curve, paid = Resolving(passage).curve(solver_of(), wishes)
    assert len(curve) > 1
    assert (curve, paid) == (found.curve, charges_of(found.charged))


def test_an_answer_asked_for_again_is_the_very_same() -> None:
    """A pin, the route without it, the pin again: nothing is worked out twice."""
    passage, solver = played(LINE), solver_of()
    resolving = Resolving(passage)
    free = resolving.route(solver, Wishes())
    pinned = Wishes(pins=(Pin(3, resolving.explained(3, 1).others[0].candidate.grip),))
    held = resolving.route(solver, pinned)
    assert resolving.route(solver, Wishes()) is free
    assert resolving.explained(3, 1).others[0].candidate.grip == pinned.pins[0].grip
    assert resolving.route(solver, pinned) is held


QUICK = played(LINE, tempo=200.0)
"""At this tempo there are grips that are worth learning."""


def test_a_first_route_learns_nothing_and_the_least_one_follows() -> None:
    """It has usual grips only, more effort and no proof; then the route is that of a full solve."""
    resolving, solver = Resolving(QUICK), solver_of()
    first = resolving.first(solver, Wishes())
    assert first is not None
    assert all(note.candidate and note.candidate.usual for note in first.notes)
    assert first.status == BOUNDED
    least = resolved(resolving, solver, Wishes())
    assert not all(note.candidate and note.candidate.usual for note in least.notes)
    assert least.effort < first.effort
    assert least == solver.solve(QUICK)


def test_a_first_route_keeps_pins_of_grips_to_learn() -> None:
    """A grip that is pinned stays, learnt or not; all other notes have usual grips."""
    solver, least = solver_of(), solver_of().solve(QUICK)
    place = next(note.index for note in least.notes if note.candidate and not note.candidate.usual)
    candidate = least.notes[place].candidate
    assert candidate is not None
    first = Resolving(QUICK).first(solver, Wishes(pins=(Pin(place, candidate.grip),)))
    assert first is not None
    assert [note.index for note in first.notes if note.candidate and not note.candidate.usual] == [place]


@pytest.mark.parametrize("wishes", [Wishes(choose=STANDARD_ONLY), Wishes(learn=1)])
def test_there_is_no_first_route_where_nothing_is_searched_for(wishes: Wishes) -> None:
    """Neither for a plain least path, nor for a number of grips to learn, nor when the answer is known."""
    resolving, solver = Resolving(QUICK), solver_of()
    assert resolving.first(solver, wishes) is None
    resolving.route(solver, Wishes())
    assert resolving.first(solver, Wishes()) is None


@pytest.mark.parametrize("dials", [(("speed", 2.0),), (("tuning", 0.0),), (("learning", 3.0),)])
def test_a_search_that_begins_from_other_dials_finds_the_same(dials: tuple[tuple[str, float], ...]) -> None:
    """The route under a player's other dials, begun from that of the plain ones, is that of a full solve."""
    player = replace(PLAIN_PLAYER, dials=dials)
    solver = Solver(replace(solver_of().knowledge, player=player), dialled=solver_of())
    begun = Resolving(QUICK, Resolving(QUICK).route(solver_of(), Wishes()))
    assert resolved(begun, solver, Wishes(player=player)) == solver.solve(QUICK, Wishes(player=player))


@pytest.mark.parametrize(
    "dials",
    thinned(
        [
            ((("speed", 2.0),),),
            ((("tuning", 2.5),),),
            ((("learning", 0.0),),),
            ((("familiarity", 3.0),),),
            ((("steadiness", 0.0),),),
            ((("tuning", 0.0), ("steadiness", 1.5)),),
        ],
        2,
    ),
)
def test_other_dials_change_nothing_but_what_is_weighed(dials: tuple[tuple[str, float], ...]) -> None:
    """With what the same player's other dials have learnt a route is that of a solver of its own."""
    passage = with_ornament(with_ornament(played(LINE, tempo=144), 20, "trill", "G#6"), 40, "mordent", "D6")
    solver_of().solve(passage)
    player = replace(PLAIN_PLAYER, dials=dials)
    alone = fresh_solver(player=player)
    like = Solver(alone.knowledge, dialled=solver_of())
    wishes = Wishes(player=player, pins=(Pin(9, like.book.column(82, False, False)[-1].grip),))
    for asked in (replace(wishes, pins=()), wishes):
        assert like.solve(passage, asked) == alone.solve(passage, asked)
    assert like.book.column(90, True, True) is solver_of().book.column(90, True, True)


def test_what_a_dial_does_not_weigh_is_the_very_same() -> None:
    """Tuning leaves the costs of changes, speed those of holding grips, learning both; steadiness neither."""
    passage, plain = played(LINE), solver_of()
    before = plain.ground(passage).pieces[0].trellis

    def kept(*dials: tuple[str, float]) -> tuple[bool, bool]:
        """Whether the costs of changes, and of grips, are the same objects as with the plain dials."""
        knowledge = replace(plain.knowledge, player=replace(PLAIN_PLAYER, dials=dials))
        found = Solver(knowledge, dialled=plain).ground(passage).pieces[0].trellis
        pairs = ((found.blocks, before.blocks), (found.nodes, before.nodes))
        changes, grips = (all(a is b for a, b in zip(new, old, strict=True) if len(b)) for new, old in pairs)
        return changes, grips

    assert kept(("tuning", 2.0)) == (True, False)
    assert kept(("speed", 2.0)) == (False, True)
    assert kept(("learning", 2.0)) == (True, True)
    assert kept(("steadiness", 2.0)) == (False, False)
