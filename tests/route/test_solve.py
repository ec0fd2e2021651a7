"""The whole solver, counted again: networkx on the whole graph, every ledger asked one by one."""

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.oracles.change_time import change_ms, turning_ms
from tests.oracles.flutes import FIGURES, fresh_solver, grips_of, number, solver_of
from tests.oracles.passages import passages, played, with_ornament
from tests.oracles.recount import (
    RANK_BASE,
    SINK,
    SOURCE,
    Recount,
    charging_of,
    columns_of,
    free_grips,
    least_charged,
    linked,
    re_added,
    recount,
)
from tests.tiers import examples

from gripway.asked.wishes import FEWEST_MOVERS, STANDARD_ONLY, Pin, Wishes
from gripway.effort.candidate import ANY_NEIGHBOUR
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS
from gripway.model.passage import Passage
from gripway.model.pitch import plain_name
from gripway.model.player import Ban, Player
from gripway.route.result import GAPS, OPTIMAL, Route
from gripway.route.solve import Solver

SOLVER = solver_of()
DEAF = fresh_solver()
"""A solver that counts nothing of what sounds on the way."""
DEAF.model.unsafe = None

SHORT = passages(least=1, most=5, lowest=60, highest=98)
WIDE = passages(least=3, most=5, lowest=86, highest=96)
"""The third octave, where the columns are widest."""

B_FLATS = passages(least=3, most=6, lowest=78, highest=86)
"""About B-flat 5, where the places of thumb and index matter."""

BREAK = passages(least=3, most=5, lowest=69, highest=77)
"""From A4 to F5, across the break, where a finger the note does not need may stay."""

ANY = st.one_of(SHORT, WIDE, B_FLATS, BREAK)


def beside(passage: Passage, place: int) -> set[int]:
    """The pitches before and after a note."""
    notes = passage.notes[max(0, place - 1) : place] + passage.notes[place + 1 : place + 2]
    return {note.pitch.number for note in notes}


def rank_sum(route: Route) -> int:
    """The tie order of a route: the sum of its candidates' ranks."""
    return sum(note.candidate.rank for note in route.notes)


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_the_route_is_the_least_of_all(passage: Passage) -> None:
    """Effort with all charges, and tie order, are the least over every candidate of every note.

    Grips that do not stay worth it under shaken tables are left out of both.
    """
    route = SOLVER.solve(passage)
    assert route.status == OPTIMAL
    assert re_added(route, SOLVER) == route.effort_milli
    assert least_again(route) == (route.effort_milli, rank_sum(route))


def least_again(route: Route, solver: Solver = SOLVER, graph: Recount | None = None) -> tuple[int, int]:
    """Effort and tie order of the least route with its charges, no dearer than this one."""
    left_out = {(grip.pitch, grip.grip) for grip in route.charges.left_out}
    graph = graph or recount(route.passage, solver)
    least = least_charged(graph, charging_of(route.passage, solver), route.effort_milli, left_out)
    assert least is not None
    return divmod(least, RANK_BASE)


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_runners_up_cost_what_they_say(passage: Passage) -> None:
    """effort_more is the least effort of a route forced through that grip, less the best.

    As seen from the route: another grip also pays what it charges by itself, at every note that takes it.
    """
    route = SOLVER.solve(passage, Wishes(others=100))
    chosen, charging = [note.candidate for note in route.notes], charging_of(passage, SOLVER)
    through = recount(passage, SOLVER, beside=charging.beside(chosen, route.charges.left_out)).through()
    best = route.effort_milli - charging.milli(chosen)
    for note in route.notes:
        forced: dict[Grip, int] = {}
        for c, weight in through[note.index].items():
            forced[c.grip] = min(weight // RANK_BASE, forced.get(c.grip, weight // RANK_BASE))
        assert {o.candidate.grip: round(1000 * o.effort_more) for o in note.others} == {
            grip: milli - best for grip, milli in forced.items() if grip != note.candidate.grip
        }
        sizes = [other.effort_more for other in note.others]
        assert sizes == sorted(sizes)
        assert all(size >= 0 for size in sizes)


@settings(max_examples=examples(100), deadline=None)
@given(ANY, st.integers(0, 5))
def test_as_many_runners_up_as_asked(passage: Passage, most: int) -> None:
    """The list of others is the beginning of the whole list."""
    some, all_of_them = (SOLVER.solve(passage, Wishes(others=n)) for n in (most, 100))
    for short, full in zip(some.notes, all_of_them.notes, strict=True):
        assert short.others == full.others[:most]


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_changes_tell_the_truth(passage: Passage) -> None:
    """Times of the changes equal the second formula, with fresh fingers; loads are over time available."""
    route = SOLVER.solve(passage)
    between = linked(passage, SOLVER)
    assert [change.to for change in route.changes] == list(range(1, len(passage.notes)))
    for change in route.changes:
        a, b = route.notes[change.to - 1].candidate, route.notes[change.to].candidate
        link = between[change.to]
        holes = (a.pattern ^ b.pattern).bit_count()
        in_line, in_trill = (change_ms(a.position, b.position, holes, full) for full in (0.0, 1.0))
        fresh = {finger for finger, _ in change.movers if 1 << FINGERS.index(finger) & link.fresh}
        in_line = max(in_line, turning_ms(fresh))
        ms = (1 - link.alternation) * in_line + link.alternation * in_trill
        assert change.change_ms == pytest.approx(ms)
        touch = FIGURES.slurred_factor if link.slurred else FIGURES.tongued_factor
        assert change.load == pytest.approx(touch * ms / link.available_ms)


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_hard_limits_hold(passage: Passage) -> None:
    """Only grips of the note's own holes or free beside its neighbours, and no thumb slide under 400 ms."""
    route, mechanism = SOLVER.solve(passage), SOLVER.knowledge.instrument.mechanism
    for note in route.notes:
        c = note.candidate
        assert mechanism.holds(c.grip)
        assert mechanism.hole_pattern(c.grip) == c.pattern
        if c.pattern != mechanism.hole_pattern(c.row_grip):
            assert c.kind == "standard"
            assert c.grip in free_grips(c.pitch, beside(passage, note.index), SOLVER)
        assert c.requires == ()
    for change in route.changes:
        if ("LT", "slide") in change.movers:
            assert change.available_ms >= 400.0


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_same_question_same_answer(passage: Passage) -> None:
    """The same passage gives the same route again, and in a solver that has learnt nothing yet."""
    first = SOLVER.solve(passage)
    assert SOLVER.solve(passage) == first
    assert fresh_solver().solve(passage) == first


@settings(max_examples=examples(100), deadline=None)
@given(ANY, st.data())
def test_pins_hold(passage: Passage, data: st.DataObject) -> None:
    """A pinned note has its grip, and the route is the least of those that have it."""
    place = data.draw(st.integers(0, len(passage.notes) - 1))
    columns = columns_of(passage, SOLVER)
    chosen = data.draw(st.sampled_from([c.grip for c in columns[place] if c.kind != "trill"]))
    route = SOLVER.solve(passage, Wishes(pins=(Pin(place, chosen),)))
    assume(route.status == OPTIMAL)
    assert route.notes[place].candidate.grip == chosen
    pitch = passage.notes[place].pitch.number
    wide = SOLVER.book.column(pitch, True, True, free_grips(pitch, beside(passage, place), SOLVER))
    columns[place] = [c if c.usual else replace(c, partners=ANY_NEIGHBOUR) for c in wide if c.grip == chosen]
    graph = recount(passage, SOLVER, columns, asked={place})
    assert re_added(route, SOLVER, {place}) == route.effort_milli == least_again(route, SOLVER, graph)[0]


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_standard_only_is_standard(passage: Passage) -> None:
    """Where a pitch has a standard grip only standard ones are taken, the least of them."""
    route = SOLVER.solve(passage, Wishes(choose=STANDARD_ONLY))
    columns = columns_of(passage, SOLVER)
    kept = [[c for c in column if c.kind == "standard"] or column for column in columns]
    for note, column in zip(route.notes, kept, strict=True):
        assert note.candidate in column
    assert re_added(route, SOLVER) == recount(passage, SOLVER, kept).least_milli()


@settings(max_examples=examples(100), deadline=None)
@given(ANY)
def test_fewest_movers_moves_fewest(passage: Passage) -> None:
    """No route over the same candidates moves fewer fingers (networkx on the count of movers)."""
    route = SOLVER.solve(passage, Wishes(choose=FEWEST_MOVERS))
    graph, moved = recount(passage, SOLVER).graph, 0
    for origin, end, data in graph.edges(data=True):
        same = SOURCE in (origin, end) or SINK in (origin, end)
        data["movers"] = 0 if same else len(SOLVER.model.change(origin[1], end[1]).movers)
    moved = sum(len(change.movers) for change in route.changes)
    assert moved == nx.shortest_path_length(graph, SOURCE, SINK, weight="movers")


@pytest.mark.parametrize("choose", [STANDARD_ONLY, FEWEST_MOVERS])
@pytest.mark.parametrize("line", ["E6 F#6 G#6 A6 G#6 F#6 E6", "pp C#5:1/2 D5 Bb4 B4 A#4 B4", "D7 C#7 Bb6"])
def test_baselines_never_beat_the_route(choose: str, line: str) -> None:
    """Least effort is least: both baselines take as much effort or more."""
    passage = played(line, 126.0)
    assert SOLVER.solve(passage).effort_milli <= SOLVER.solve(passage, Wishes(choose=choose)).effort_milli


@settings(max_examples=examples(60), deadline=None)
@given(ANY)
def test_an_idle_thumb_lever_changes_nothing(passage: Passage) -> None:
    """Where no row of the passage presses Tb, no route with the thumb on or over it takes less effort.

    But for what sounds on the way, where the lever may shut a hole early: without that cost.
    """
    pitches = [note.pitch.number for note in passage.notes]
    assume(not any(row.grip.has("Tb") for pitch in pitches for row in SOLVER.book.rows(pitch)))
    everywhere = [
        list(SOLVER.book.column(pitch, True, False, free_grips(pitch, beside(passage, place), SOLVER)))
        for place, pitch in enumerate(pitches)
    ]
    route = DEAF.solve(passage)
    assert route.effort_milli == least_again(route, DEAF, recount(passage, DEAF, everywhere))[0]


def test_hardest_changes_come_first() -> None:
    """`hardest` lists at most five changes by load, ties in playing order, and none that moves nothing."""
    route = SOLVER.solve(played("C4 C5 D5 C#6 D#4 C#4 D4 D4 G#6 A6", 160.0))
    loads = {change.to: change.load for change in route.changes if change.movers}
    assert list(route.hardest) == sorted(loads, key=lambda to: (-loads[to], to))[:5]


@pytest.mark.parametrize("pitch", ["Bb3", "A3", "F7", "C8"])
def test_a_note_outside_is_a_gap_with_its_reason(pitch: str) -> None:
    """A pitch without a grip is a gap that says why; the notes on both sides are solved as if alone."""
    route = SOLVER.solve(played(f"E6 F#6 {pitch} G#6 A6"))
    gap = route.notes[2]
    assert (route.status, gap.candidate) == (GAPS, None)
    assert any("outside" in flag or "no grip" in flag for flag in gap.flags)
    assert [change.to for change in route.changes] == [1, 4]
    first = recount(Passage(route.passage.notes[:2]), SOLVER)
    assert (
        sum(n.holding.total for n in route.notes[:2]) + route.changes[0].moving.total == first.least_milli()
    )


def test_a_missing_part_is_named() -> None:
    """Low B without a B foot says which part it needs, and is played with it."""
    gap = SOLVER.solve(played("C4 B3 C4")).notes[1]
    assert gap.candidate is None
    assert "b-foot" in gap.flags[0]
    assert solver_of("concert-flute", "b-foot").solve(played("C4 B3 C4")).status == OPTIMAL


def test_a_note_the_reader_could_not_take_is_a_gap() -> None:
    """The reader's problem is the flag of the gap."""
    notes = played("E6 F6 G6").notes
    passage = Passage((notes[0], replace(notes[1], problem="a quarter tone"), notes[2]))
    gap = SOLVER.solve(passage).notes[1]
    assert (gap.candidate, gap.flags) == (None, ("a quarter tone",))


def test_pinned_into_a_fast_thumb_slide() -> None:
    """Pins that force T to Tb in 125 ms make a gap that says so; in half a second they hold."""
    thumb, plain = Grip.parse("Tb L1 | Eb"), Grip.parse("T L1 L2 | Eb")
    wishes = Wishes(pins=(Pin(0, plain), Pin(1, thumb)))
    fast, slow = (SOLVER.solve(played("A5 Bb5 C6", tempo), wishes) for tempo in (120.0, 30.0))
    assert fast.status == GAPS
    assert fast.notes[1].candidate is None
    assert "thumb cannot slide" in fast.notes[1].flags[0]
    assert "125 ms" in fast.notes[1].flags[0]
    assert fast.notes[2].candidate is not None
    assert slow.status == OPTIMAL
    assert grips_of(slow)[:2] == [plain.text, thumb.text]


def test_all_grips_of_a_pitch_may_be_banned() -> None:
    """A pitch whose grips are all banned is a gap that says so."""
    banned = fresh_solver(player=Player(bans=(Ban(pitch=number("D6")),)))
    gap = banned.solve(played("C6 D6 E6")).notes[1]
    assert (gap.candidate, gap.flags) == (None, ("every grip is banned",))


@pytest.mark.parametrize("kind", ["harmonic", "trill", "alternate", "vented"])
def test_banned_kinds_are_never_used(kind: str) -> None:
    """A banned kind stands neither in the route nor among the others."""
    route = fresh_solver(player=Player(bans=(Ban(kind=kind),))).solve(
        played("(pp E6:1/1 F#6 G#6 A6 C6 D6 C6 D6 C#5:1/1 Bb5 B5 Bb5 B5)", 150.0), Wishes(others=100)
    )
    seen = {note.candidate.kind for note in route.notes}
    seen |= {other.candidate.kind for note in route.notes for other in note.others}
    assert kind not in seen
    assert "standard" in seen


def test_a_ban_on_one_grip_spares_the_others() -> None:
    """Without the overblown B grip F#6 is played after B4, and by another grip."""
    grip = Grip.parse("T L1 | Eb")
    banned = fresh_solver(player=Player(bans=(Ban(pitch=number("F#6"), grip=grip),)))
    passage = played("(B4 F#6 B4 F#6 D6)", 180.0)
    with_it, without = SOLVER.solve(passage), banned.solve(passage)
    place = next(n.index for n in with_it.notes if n.note.pitch.plain == "F#6" and n.candidate.grip == grip)
    assert without.notes[place].candidate.grip != grip
    assert without.notes[0].candidate.row_grip == grip  # B4 itself, whatever finger waits


@pytest.mark.parametrize("pitch", ["B4", "B5", "B6", "F#6", "D#7"])
def test_the_b_flat_lever_never_spoils_a_note(pitch: str) -> None:
    """Where Tb is down on B natural, F#6 or D#7 the holes are those of a grip with T (rule 1)."""
    mechanism = SOLVER.knowledge.instrument.mechanism
    for c in SOLVER.book.column(number(pitch), True, True):
        if c.grip.has("Tb"):
            plain = c.grip.without("Tb").with_touches("T")
            assert mechanism.hole_pattern(c.grip) == mechanism.hole_pattern(plain), c.grip


@pytest.mark.parametrize("flute", ["concert-flute", "piccolo", "alto-flute", "bass-flute"])
def test_no_candidate_needs_a_part_the_flute_lacks(flute: str) -> None:
    """Every candidate of a plain flute presses touches the flute has and asks for no part."""
    solver: Solver = solver_of(flute)
    instrument = solver.knowledge.instrument
    for pitch in range(instrument.lowest, instrument.highest + 1):
        for c in solver.book.column(pitch, True, True):
            assert c.requires == (), plain_name(pitch)
            assert instrument.mechanism.missing(c.grip) == ()


def test_a_written_trill_is_told_with_its_other_grip() -> None:
    """A trill on a note flags how it is played: the other grip and the finger that moves."""
    route = SOLVER.solve(with_ornament(played("C6:1/2", 60.0), 0, "trill", "D6"))
    assert any(flag.startswith("trill with D6") and "moves" in flag for flag in route.notes[0].flags)


def test_a_trill_into_nowhere_says_so() -> None:
    """A trill whose other note has no grip is flagged and does not stop the route."""
    route = SOLVER.solve(with_ornament(played("D#7:1/2", 60.0), 0, "trill", "F7"))
    assert route.status == OPTIMAL
    assert any("no grip for the other note" in flag for flag in route.notes[0].flags)


def test_progress_is_told() -> None:
    """A progress call gets what is done and what there is in all."""
    seen: list[tuple[int, int]] = []
    SOLVER.solve(played("E6 F#6 G6"), Wishes(), lambda done, total: seen.append((done, total)))
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert seen[-1] == (3, 3)


def test_the_answer_shows_a_reason_for_every_note() -> None:
    """Each note says why: standard grips by the next one, others by what the standard would cost."""
    route = SOLVER.solve(played("(C6 D6 C6 D6) F6 (A5 E6 A6)", 180.0))
    for note in route.notes:
        expected = "standard grip" if note.candidate.kind == "standard" else "the standard"
        assert expected in note.why
    assert {"standard", "trill"} <= {note.candidate.kind for note in route.notes}


def test_the_finger_that_should_lead_is_told() -> None:
    """B4-C#5: thumb first would sound C5, so L1 leads, and C5 may sound on the way; there and back."""
    # thumb alone opens the hole of C5, L1 alone that of C#5: the flute's mechanism
    plain = Wishes(choose=STANDARD_ONLY)
    route = SOLVER.solve(played("B4 C#5 B4", 120.0), plain)
    there, back = (change.advice for change in route.changes)
    assert grips_of(route) == ["T L1 | Eb", "| Eb", "T L1 | Eb"]
    assert (there.lead, there.strays, there.unsafe) == ("L1", ("C5",), 0.5)
    assert (back.lead, back.strays, back.unsafe) == ("LT", ("C5",), 0.5)


def test_a_change_of_one_finger_needs_no_leader() -> None:
    """Nothing lies on the way; nor is anything told where the same note comes again."""
    route = SOLVER.solve(played("G4 A4 A4", 120.0), Wishes(choose=STANDARD_ONLY))
    assert [(c.advice.lead, c.advice.strays, c.advice.unsafe) for c in route.changes] == [("", (), 0.0)] * 2


def test_without_a_model_no_finger_is_told_to_lead() -> None:
    """The piccolo's changes have no advice and no cost of the way."""
    route = solver_of("piccolo").solve(played("B4 C#5 C5 D5", 120.0))
    assert {(c.advice.lead, c.advice.strays) for c in route.changes} == {("", ())}
    assert all("unsafe" not in dict(c.moving.parts) for c in route.changes)
