"""A player's own finger times stand in place of the tables' where there are enough of them."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import gripway
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.times_figures import times_figures
from gripway.effort.own_time_tables import IN_A_LINE, counting, own_tables, too_few_words
from gripway.effort.shaken_figures import shaken
from gripway.model.player import OwnTimes, Player

TABLES, FIGURES = effort_tables(), times_figures()
SAME = OwnTimes(
    "2026-11-20",
    FIGURES.least_pairs,
    FIGURES.least_takes,
    TABLES.figures.base_ms,
    3.0,
    tuple(TABLES.finger_weight.items()),
    tuple((finger, 0.1) for finger in TABLES.finger_weight),
)
LINE = "E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 C6 B5 C6 B5 A5 G5"


def route(own: OwnTimes | None, text: str = LINE) -> gripway.Route:
    """The route of a line at 150 quarters a minute."""
    passage = gripway.notes(text, tempo=150)
    return gripway.finger(passage, gripway.FlutePlayer(gripway.flute(), Player(own_times=own)))


@pytest.mark.parametrize(("key", "less"), [("pairs", 1), ("takes", 1)])
def test_below_the_figures_the_tables_speak_and_the_answer_says_so(key: str, less: int) -> None:
    """One pair or one take fewer than tables/listening/times.csv asks for: the tables, and a remark."""
    few = replace(SAME, **{key: getattr(SAME, key) - less})
    assert counting(Player(own_times=few)) is None
    assert own_tables(TABLES, Player(own_times=few)) is TABLES
    assert "till then the tables speak" in too_few_words(Player(own_times=few))
    answer = route(few)
    assert any("the tables speak" in remark.text for remark in answer.passage.remarks)
    assert [note.candidate for note in answer.notes] == [note.candidate for note in route(None).notes]
    assert all(change.tables_ms is None for change in answer.changes)


def test_without_a_table_nothing_changes() -> None:
    """The plain player has the tables themselves, and nothing is said."""
    assert own_tables(TABLES, Player()) is TABLES
    assert too_few_words(Player()) == too_few_words(Player(own_times=SAME)) == ""


def test_own_times_like_the_tables_give_the_answer_of_the_tables() -> None:
    """The same grips, the same effort, every change as long as by the tables."""
    own, plain = route(SAME), route(None)
    assert own.effort_milli == plain.effort_milli
    assert [note.candidate and note.candidate.grip for note in own.notes] == [
        note.candidate and note.candidate.grip for note in plain.notes
    ]
    assert all(change.tables_ms == change.change_ms for change in own.changes)


def test_a_slow_finger_changes_only_what_waits_for_it() -> None:
    """With a left thumb half as slow again, times change only where the thumb moves."""
    slow = replace(SAME, weights=tuple({**TABLES.finger_weight, "LT": 1.7}.items()))
    answer = route(slow)
    longer = {change.to for change in answer.changes if change.change_ms > (change.tables_ms or 0.0) + 0.5}
    assert longer
    assert all("LT" in dict(change.movers) for change in answer.changes if change.to in longer)


def test_a_slow_finger_changes_the_grip_where_it_matters() -> None:
    """A trill B5 to C6 with a very slow thumb gets other grips than by the tables, nothing before it."""
    text = "D5 E5 F#5 G5 A5 B5 C6 B5 C6 B5 C6 B5 C6"
    slow = replace(SAME, weights=tuple({**TABLES.finger_weight, "LT": 3.5}.items()))
    own, plain = route(slow, text), route(None, text)
    grips = [[note.candidate and note.candidate.grip for note in each.notes] for each in (own, plain)]
    assert grips[0][:5] == grips[1][:5]
    assert grips[0][5:] != grips[1][5:]


def test_the_factor_of_a_line_scales_lines_and_leaves_alternations() -> None:
    """All figures of a line by 1.2, the base as it is."""
    tables = own_tables(TABLES, Player(own_times=replace(SAME, line_factor=1.2, line_spread=0.1)))
    assert tables.figures.base_ms == TABLES.figures.base_ms
    factors = [getattr(tables.figures, name) / getattr(TABLES.figures, name) for name in IN_A_LINE]
    assert factors == pytest.approx([1.2] * len(IN_A_LINE))
    assert len(IN_A_LINE) == 12  # every row of tables/effort/figures.csv that begins with line_


def test_what_is_measured_outranks_what_was_told_and_is_not_shaken() -> None:
    """A factor of the file on a finger counts no longer beside own times; nor does chance move these."""
    told = Player(own_times=SAME, finger_factors={"R4": 2.0})  # type: ignore[arg-type]
    flute = gripway.FlutePlayer(gripway.flute(), told)
    assert flute.plain.model.times.weights["R4"] == TABLES.finger_weight["R4"]
    tables = own_tables(TABLES, told)
    assert shaken(tables, 3, 0.2).finger_weight == tables.finger_weight
    assert shaken(TABLES, 3, 0.2).finger_weight != TABLES.finger_weight


@given(st.floats(60.0, 160.0), st.floats(0.6, 2.0), st.floats(0.7, 1.5))
def test_change_times_grow_with_base_and_factor(base_ms: float, weight: float, factor: float) -> None:
    """An alternation takes base times weight, a line the factor times the tables' line."""
    own = replace(
        SAME,
        base_ms=base_ms,
        weights=tuple({**TABLES.finger_weight, "LT": weight}.items()),
        line_factor=factor,
    )
    tables = own_tables(TABLES, Player(own_times=own))
    assert tables.figures.base_ms * tables.finger_weight["LT"] == pytest.approx(base_ms * weight)
    assert tables.figures.line_travel_ms == pytest.approx(factor * TABLES.figures.line_travel_ms)
