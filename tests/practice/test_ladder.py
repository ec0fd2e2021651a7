"""The ladder: from about half the tempo up to all of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, TABLES, drills_in

from gripway.practice.drills.drill_minutes import item_steps, minutes_of, tries_of
from gripway.practice.drills.tempo_ladder import ladder_of, sittings


@given(st.floats(0.5, 6), st.floats(20, 300))
def test_it_rises_notch_by_notch_to_the_tempo_of_the_part(load: float, quarters: float) -> None:
    """Whole tempos, strictly rising, none further apart than a notch and a half; it ends at the target."""
    ladder = ladder_of(load, quarters, FIGURES)
    assert ladder.target == round(quarters)
    assert list(ladder.steps) == sorted(set(ladder.steps))
    for low, high in zip(ladder.steps, ladder.steps[1:], strict=False):
        assert high - low <= max(2, low * FIGURES.notch_share * 1.7 + 1)


@given(st.floats(0.5, 6))
def test_it_begins_near_half_the_tempo(load: float) -> None:
    """About half the tempo (Kennedy): 0.4 to 0.8 of it, lower the higher the load."""
    assert 0.39 * 120 <= ladder_of(load, 120, FIGURES).start <= 0.8 * 120
    assert ladder_of(load, 120, FIGURES).start >= ladder_of(load + 1, 120, FIGURES).start


def test_the_start_follows_the_load_in_a_straight_line() -> None:
    """Four fifths of the tempo up to load 0.4, half of it from load 1 on: 0.7 lies in the middle."""
    starts = [ladder_of(load, 200, FIGURES).start for load in (0.3, 0.4, 0.7, 1.0, 1.2)]
    assert starts == [160, 160, 130, 100, 100]


def test_the_log_moves_the_start_two_notches_below_what_was_reached() -> None:
    """96 reached on 60 64 68 72 76 81 86 91 96 ...: the next sitting begins at 86."""
    plain = ladder_of(0.8, 120, FIGURES).steps
    place = max(k for k, step in enumerate(plain) if step <= 96)
    again = ladder_of(0.8, 120, FIGURES, [96])
    assert again.start == plain[place - 2]
    assert not again.done
    assert ladder_of(0.8, 120, FIGURES, [120]).done


def test_a_tempo_below_the_ladder_leaves_it_as_it_is() -> None:
    """Who reached less than the first step begins at the first step."""
    assert ladder_of(0.8, 120, FIGURES, [20]).steps == ladder_of(0.8, 120, FIGURES).steps


def test_a_sitting_climbs_six_notches_and_the_next_begins_two_lower() -> None:
    """Five or six notches, then stop (Wion)."""
    ladder = ladder_of(0.8, 120, FIGURES)
    first, second, *_ = sittings(ladder, 5, FIGURES)
    assert first == (ladder.steps[0], ladder.steps[6])
    assert second[0] == ladder.steps[4]
    assert sittings(ladder, 9, FIGURES)[-1][1] == 120


def test_tries_for_clean_ones_in_a_row() -> None:
    """Three in a row of 9 in 10: 3.72 tries; of 8 in 10: 4.77, (1 - p^r) / ((1 - p) p^r) (Feller XIII.7)."""
    ladder = ladder_of(0.8, 120, FIGURES)
    assert (FIGURES.errors_slow_share, FIGURES.errors_goal_share, FIGURES.clean_times) == (0.1, 0.2, 3)
    assert tries_of(ladder.start, ladder, FIGURES) == pytest.approx(3.717, abs=0.001)
    assert tries_of(120, ladder, FIGURES) == pytest.approx(4.766, abs=0.001)


def test_a_drill_has_its_tempos_from_the_foot_of_the_climb_on() -> None:
    """As many as the table says, no more than two notches apart; a drill that is too long has fewer."""
    ladder = ladder_of(0.8, 120, FIGURES)
    climb = sittings(ladder, 1, FIGURES)[0]
    for _, drill in drills_in(played("(E6 F#6 G#6 A6)", 120)):
        steps = item_steps(drill, ladder, climb, FIGURES.item_most_min, FIGURES.tempos_day_min, TABLES)
        assert len(steps) == TABLES.drills[drill.kind].tempos
        assert steps[0] == climb[0]
        up = min(6, (len(steps) - 1) * FIGURES.stride_notches)
        assert steps[-1] == ladder.steps[up]
        longer = item_steps(drill, ladder, climb, FIGURES.item_most_min, 2 * FIGURES.tempos_day_min, TABLES)
        assert len(longer) == min(7, 2 * len(steps))
        short = 1.5
        fewer = item_steps(drill, ladder, climb, short, 20, TABLES)
        assert len(fewer) == 1 or minutes_of(drill, ladder, fewer, FIGURES) <= 1.5
