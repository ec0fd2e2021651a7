"""Edges of the thresholds of practice: at the figure and just beside it, with figures read from the table."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.flutes import candidate
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, TABLES, drills_in, find_cells, routed

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.tempo import HALF, QUARTER
from gripway.practice.cells.counted_beat import counted_beat
from gripway.practice.cells.hardness import hardness
from gripway.practice.cells.short_passages import together
from gripway.practice.cells.why_hard import _lips, _support, _time
from gripway.practice.drills.drill_minutes import item_steps, longest_item
from gripway.practice.drills.tempo_ladder import ladder_of, sittings
from gripway.practice.plan.balance import MOST_NAMED, _named, balance_spots
from gripway.practice.plan.cautions import _minutes
from gripway.practice.plan.days import DayContext, minutes_reserved
from gripway.practice.plan.filled_day import filled_day, long_rests_after
from gripway.practice.plan.goal import doubtful_goal
from gripway.practice.plan.log_reading import _counts
from gripway.practice.plan.plan import Item, _near
from gripway.practice.schedule.schedule_greedy import _fits, _in_turns
from gripway.practice.schedule.schedule_rules import CellWork, TimeFrame
from gripway.route.result import Route

JUST = 0.001


@pytest.fixture(scope="module")
def route() -> Route:
    """E6 to F#6 and back, quickly."""
    return routed(played("(E6 F#6 G#6 A6)", 160.0))[1]


def with_loads(route: Route, *loads: float) -> Route:
    """The route with other loads on its changes."""
    changes = (replace(change, load=load) for change, load in zip(route.changes, loads, strict=True))
    return replace(route, changes=tuple(changes))


def hard(route: Route, before: Candidate, after: Candidate, load: float) -> float:
    """How hard a change of this load is between two grips."""
    return hardness(replace(route.changes[0], load=load), before, after, FIGURES)


def at(pitch: int) -> Candidate:
    """A standard grip at a pitch."""
    return replace(candidate("D5"), pitch=pitch, case="standard")


def test_a_change_is_a_cell_from_hardness_one_on(route: Route) -> None:
    """At the hard load there is a cell, just below it there is none."""
    edge = FIGURES.hard_load
    assert len(find_cells(with_loads(route, 0.0, edge, 0.0), FIGURES)) == 1
    assert find_cells(with_loads(route, 0.0, edge - JUST, 0.0), FIGURES) == ()


def test_neighbours_join_from_their_share_on(route: Route) -> None:
    """A side change of just the share joins the cell, one just below it that is not hard itself does not."""
    worst = FIGURES.hard_load / FIGURES.beside_share
    for more, notes in ((0.0, 3), (-JUST, 2)):
        beside = FIGURES.beside_share * worst + more
        found = find_cells(with_loads(route, 0.0, worst, beside), FIGURES)
        assert len(found[0].notes) == notes


@pytest.mark.parametrize(("others", "notes"), [(1, 3), (2, 2)])
def test_a_neighbour_joins_where_half_of_the_places_have_it(others: int, notes: int) -> None:
    """One place in two has G#6 after the worst change, which is enough; one in three is not."""
    _, line = routed(played("(E6 F#6 G#6) r:1/1 " + "(E6 F#6 A6) r:1/1 " * others, 160))
    worst, beside = 3 * FIGURES.hard_load, 3 * FIGURES.hard_load * FIGURES.beside_share
    loads = {1: worst, 2: beside}
    changes = tuple(replace(change, load=loads.get(change.to, 0.0)) for change in line.changes)
    cell = find_cells(replace(line, changes=changes), FIGURES)[0]
    assert len(cell.places) == 1 + others
    assert len(cell.notes) == notes


def test_the_early_octaves_end_at_their_pitches(route: Route) -> None:
    """From the lowest to just below the break, and from there to the highest; across the break is none."""
    low, middle, high = (
        FIGURES.early_lowest_note_number,
        FIGURES.early_break_note_number,
        FIGURES.early_highest_note_number,
    )
    early, late = 1.0 / FIGURES.early_load, 1.0 / FIGURES.hard_load
    cases = [
        (low, middle - 1, early),
        (middle, high, early),
        (middle - 1, middle, late),
        (low - 1, low + 1, late),
        (high, high + 1, late),
    ]
    for one, other, expected in cases:
        assert hard(route, at(one), at(other), 1.0) == pytest.approx(expected), (one, other)
    unusual = replace(at(low), case="alternate", kind="alternate")
    assert hard(route, unusual, at(low + 1), 1.0) == pytest.approx(late)


def test_how_late_is_said_by_load(route: Route) -> None:
    """At load 1 just in time, beyond it late; at the tight load little to spare, below it in time."""
    (cell,) = find_cells(with_loads(route, 0.0, 3.0, 0.0), FIGURES)

    def words(load: float) -> str:
        return _time(replace(cell, change=replace(cell.change, load=load)), FIGURES.tight_load)

    assert "no time to spare" in words(1.0 + JUST)
    assert "no time" not in words(1.0)
    assert "hardly time to spare" in words(FIGURES.tight_load)
    assert "if no finger is late" in words(FIGURES.tight_load - JUST)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_support_is_told_from_its_watch_on(sign: float) -> None:
    """A change of support as large as the figure is told, a smaller one is not, either way."""
    loose, firm = replace(candidate("C#6"), support=1.0), candidate("D6")
    watch = 0.5
    for size, told in ((watch, True), (watch - JUST, False)):
        ends = (loose, replace(firm, support=1.0 + size))
        assert bool([*_support(*(ends if sign > 0 else ends[::-1]), watch)]) is told


def test_a_balance_spot_begins_at_its_watch() -> None:
    """The largest change of support of a route is a spot when watched for at its size, and not beyond."""
    _, route = routed(played("C5:1/4 D5:1/4", 60))
    a, b = (note.candidate for note in route.notes)
    assert a is not None
    assert b is not None
    size = abs(b.support - a.support)
    assert len(balance_spots(route, size)) == 1
    assert balance_spots(route, size + JUST) == ()


def test_a_long_rest_comes_before_work_is_too_long() -> None:
    """CellWork that lasts just as long as is allowed needs none; a little more does."""
    rest = FIGURES.rest_s / 60
    first = FIGURES.long_rest_every_min / 2
    second = FIGURES.long_rest_every_min - first - rest

    assert long_rests_after([first, second], FIGURES) == ()
    assert long_rests_after([first, second + 0.01], FIGURES) == (0,)


def test_a_long_rest_comes_in_the_middle_of_the_work() -> None:
    """Work of twenty minutes has none; of more than is played without one, it comes after about a half."""

    def rests(lasting: list[float], minutes: float) -> tuple[int, ...]:
        items = [Item(0, drill, lasts, (60,)) for drill, lasts in enumerate(lasting)]
        return filled_day(1, items, minutes, lambda _: None, 0.0, (), FIGURES).long_rests

    assert rests([4.5] * 4, 20) == ()
    assert rests([6.5] * 4, 30) == (1,)
    assert rests([1.0, 1.0, 1.0, *[5.0] * 5], 40) == (4,)
    assert rests([10.0] * 5, 60) == (0, 2)


def test_a_drill_takes_no_more_than_its_share_of_the_day() -> None:
    """The share of a short day, the most of a long one, and never less than the least."""
    most, share = FIGURES.item_most_min, FIGURES.item_share
    assert longest_item(most / share, FIGURES) == most
    assert longest_item(most / share - 1, FIGURES) == pytest.approx(most - share)
    assert longest_item(most / share + 1, FIGURES) == most
    assert longest_item(1, FIGURES) == FIGURES.item_least_min


def test_a_ladder_is_done_at_its_target() -> None:
    """Reached is done; one below is not."""
    assert ladder_of(0.8, 120, FIGURES, [120]).done
    assert not ladder_of(0.8, 120, FIGURES, [119]).done


def test_a_ladder_starts_within_its_shares() -> None:
    """At the loads where the share meets its ends it is at these ends, and stays there beyond."""
    ends = (
        (FIGURES.start_least_share, FIGURES.start_hard_load, 2.0),
        (FIGURES.start_most_share, FIGURES.start_easy_load, 0.5),
    )
    for share, load, beyond in ends:
        assert ladder_of(load, 200, FIGURES).start == round(200 * share)
        assert ladder_of(load * beyond, 200, FIGURES).start == round(200 * share)


def test_what_was_reached_counts_at_its_step() -> None:
    """A step counts as reached at its tempo, not one below; the next start is so many notches back."""
    plain = ladder_of(0.8, 120, FIGURES).steps
    back = int(FIGURES.back_notches)
    step = plain[back + 2]
    assert ladder_of(0.8, 120, FIGURES, [step]).start == plain[2]
    assert ladder_of(0.8, 120, FIGURES, [step - 1]).start == plain[1]
    assert sittings(ladder_of(0.8, 120, FIGURES), 1, FIGURES)[0][1] == plain[int(FIGURES.sitting_notches)]


def test_a_day_is_as_long_as_it_may_be() -> None:
    """A day, and a cell's part of it, may be filled to the last slot; one more does not fit."""
    works = [CellWork(1, (4, 4), 0), CellWork(1, (4,), 0)]
    frame = TimeFrame(days=1, slots=9, spot=8, rest=1, interleaved=False)
    both, two_cells = [(0, 0), (0, 1)], [(0, 0), (1, 0)]
    assert _fits(both, works, frame)
    assert not _fits(both, works, replace(frame, slots=8))
    assert not _fits(both, works, replace(frame, spot=7))
    assert _fits(two_cells, works, replace(frame, spot=4))


def test_turns_can_be_taken_by_half_and_one() -> None:
    """Two of three may be one cell's, three of four may not."""
    assert _in_turns([(0, 0), (0, 1), (1, 0)])
    assert not _in_turns([(0, 0), (0, 1), (0, 2), (1, 0)])


def test_a_quarter_rest_still_belongs_together() -> None:
    """A rest of a quarter does not part two notes, a longer one does."""
    near, far = (routed(played(f"E6:1/4 r:{rest} F6:1/4"))[1].notes for rest in ("1/4", "5/16"))
    assert together(near, 0)
    assert not together(far, 0)
    assert not together(near, 1)
    assert not together(near, -1)
    assert near[1].note.onset == Fraction(1, 2)


def test_figures_are_rounded_from_their_sizes_on() -> None:
    """Ten minutes are told whole, less with a tenth."""
    assert (_minutes(10.0), _minutes(9.9)) == ("10 minutes", "9.9 minutes")


def test_a_count_of_a_log_lies_within_its_ends() -> None:
    """None and the most are counts, one less or more is not, nor is what is no whole number."""
    assert [_counts(value, 9) for value in (0, 9, -1, 10, True, 1.0)] == [
        True,
        True,
        False,
        False,
        False,
        False,
    ]


def test_time_is_kept_for_studies_from_just_enough_minutes_on() -> None:
    """At `study_from_min` of the table their share is kept beside the passage, just below it nothing is."""
    enough, passage_min = FIGURES.study_from_min, 3.0
    context = DayContext((), (), passage_min)
    kept = minutes_reserved((), context, enough, FIGURES)
    assert kept - passage_min == pytest.approx(enough * FIGURES.study_share, abs=0.5)
    assert kept > passage_min
    assert minutes_reserved((), context, enough - JUST, FIGURES) == passage_min


def test_tempos_one_apart_are_the_same_but_for_rounding() -> None:
    """A whole step of the metronome either way may come of rounding, more may not."""
    assert _near(60.0, 61.0)
    assert _near(61.0, 60.0)
    assert not _near(60.0, 61.0 + JUST)


@pytest.mark.parametrize(("quarters", "asks"), [(59.9, True), (60, False), (130, False), (130.2, True)])
def test_a_goal_is_near_at_both_its_ends(quarters: float, asks: bool) -> None:
    """Of 100 printed: at the shares themselves nobody is asked whether the goal is meant, beyond them yes."""
    figures = replace(FIGURES, goal_least_share=0.6, goal_most_share=1.3)
    line = replace(played("E5 F5 G5", quarters), tempo_from=("asked", ""), printed=(100.0, "quarter = 100"))
    assert bool(doubtful_goal(line, figures)) is asks


def test_the_lips_are_told_from_a_twentieth_of_an_effort_on(route: Route) -> None:
    """What is less is not worth a player's attention."""
    change = route.changes[0]
    for milli, told in ((MILLI // 20, 1), (MILLI // 20 - 1, 0)):
        moving = replace(change.moving, parts=(("lip", milli),))
        assert len([*_lips(replace(change, moving=moving))]) == told


def test_parts_of_a_beat_go_no_further_than_a_metronome() -> None:
    """At its last mark the parts are counted, beyond it the beat itself."""
    figures = replace(FIGURES, most_beats_a_minute=70)
    assert counted_beat((2, 2), 70.0, figures) == QUARTER
    assert counted_beat((2, 2), 71.0, figures) == HALF


def test_the_last_notch_is_half_as_much_more_at_most() -> None:
    """From 80 by quarters: 90 lies just beyond half a notch more and is a step of its own, 89 does not."""
    figures = replace(FIGURES, notch_share=0.25, start_least_share=0.72, start_most_share=0.72)
    assert ladder_of(0.8, 89, figures).steps == (64, 89)
    assert ladder_of(0.8, 90, figures).steps == (65, 90)
    assert ladder_of(0.8, 90, replace(figures, start_least_share=0.711, start_most_share=0.711)).steps == (
        64,
        80,
        90,
    )


def test_a_climb_of_the_fewest_tempos_has_more_below_it() -> None:
    """At the end of a ladder one tempo alone is no work: the drill begins below the climb."""
    steps, few = ladder_of(0.8, 120, FIGURES).steps, int(FIGURES.below_tempos)
    drills = [
        drill
        for _, drill in drills_in(played("(E6 F#6 G#6 A6)", 120))
        if TABLES.drills[drill.kind].tempos > few and drill.fastest >= 120 and not drill.high
    ]
    assert drills
    for drill in drills:
        ladder, climb = ladder_of(0.8, 120, FIGURES), (steps[-few], steps[-1])
        assert item_steps(drill, ladder, climb, 99.0, 0.0, TABLES) == steps[-few - 1 :]


def test_fingers_are_named_up_to_three() -> None:
    """Three by name; of four only the hand: a longer list is not read while playing."""
    fingers = ("L1", "L2", "L3", "R1")
    assert _named(fingers[:MOST_NAMED]).startswith("left index")
    assert _named(fingers) == "4 fingers of both hands"
