"""The hardest changes: cells against direct calls of the effort model and against the search."""

import math
from collections.abc import Iterable

import pandas as pd
import pytest

import gripway
from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link
from gripway.errors import RequestError
from gripway.grip_graph.hardest import LOAD, MEASURES, HardChanges, pair_row
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import Player
from gripway.tasks.flute_player import FlutePlayer

LINK = Link(125.0, 0.0, slurred=True)


@pytest.fixture(scope="module")
def third() -> HardChanges:
    """The third octave with standard grips."""
    return gripway.hardest(gripway.flute())


def _one_a_grip(column: Iterable[Candidate]) -> list[Candidate]:
    """The printed standard grips of a column, each in the first of its hand positions (B6 has two)."""
    found: dict[Grip, Candidate] = {}
    for candidate in column:
        if candidate.kind == "standard" and candidate.grip == candidate.row_grip:
            found.setdefault(candidate.grip, candidate)
    return list(found.values())


def test_cells_are_what_the_effort_model_says(third: HardChanges) -> None:
    """Load, ms, effort and fingers of every cell with one standard grip a pitch, by a direct call."""
    working = FlutePlayer(gripway.flute()).plain
    frames = {measure: gripway.hardest_matrix(third, measure) for measure in MEASURES}
    looked_at = 0
    for low in frames["load"].index:
        for high in frames["load"].columns:
            columns = [working.book.column(Pitch.parse(name).number, False, False) for name in (low, high)]
            standard = [_one_a_grip(column) for column in columns]
            if low == high or any(len(grips) != 1 for grips in standard):
                continue
            before, after = standard[0][0], standard[1][0]
            step = working.model.step(before, after)
            moved = working.model.moving(step, LINK)
            assert moved is not None
            change = working.model.change(before, after)
            assert frames["load"].loc[low, high] == round(working.model.load(step, LINK), 3)
            assert frames["ms"].loc[low, high] == round(change.line_ms, 1)
            assert frames["effort"].loc[low, high] == moved.effort
            assert frames["fingers"].loc[low, high] == len(change.movers)
            looked_at += 1
    assert looked_at == 11 * 10  # E6 has two standard grips


def test_several_standard_grips_give_the_easiest_pair(third: HardChanges) -> None:
    """The cell of E6 to F6 is the least edge of the graph between standard grips."""
    graph = gripway.graph(gripway.flute(), "E6", "F6")
    kinds = graph.nodes(data="kind")
    least = min(
        facts["effort"]
        for a, b, facts in graph.edges(data=True)
        if a.startswith("E6:") and b.startswith("F6:") and kinds[a] == kinds[b] == "standard"
    )
    assert gripway.hardest_matrix(third, "effort").loc["E6", "F6"] == least


def test_the_best_pair_is_what_the_search_takes() -> None:
    """The two grips and their load are those of `finger` on the two notes alone."""
    flute = gripway.flute()
    found = gripway.hardest(flute, "E6", "A6", pair="best")
    for each in found.changes:
        row = pair_row(each)
        route = gripway.finger(gripway.notes(f"({row['from']} {row['to']})", tempo=120), flute)
        assert [row["from_grip"], row["to_grip"]] == [
            n.candidate.grip.text for n in route.notes if n.candidate
        ]
        assert row["load"] == round(route.changes[0].load, 3)
        assert row["parts"] == route.changes[0].moving.as_efforts()
    assert len(found.changes) == 6 * 5


def test_the_frame_is_square_and_its_diagonal_empty(third: HardChanges) -> None:
    """Twelve pitches in order; nothing is changed from a pitch to itself."""
    frame = gripway.hardest_matrix(third)
    assert list(frame.index) == list(frame.columns)
    assert (len(frame), frame.index.name, frame.columns.name) == (12, "from", "to")
    assert [name for name in frame.index if not math.isnan(frame.loc[name, name])] == []
    assert frame.isna().sum().sum() == 12


def test_the_list_is_worst_first_and_names_a_pair_once(third: HardChanges) -> None:
    """The greatest cell leads; both ways of a pair count once, at the worse."""
    frame, matrix = gripway.hardest_frame(third, 66), gripway.hardest_matrix(third)
    assert list(frame["load"]) == sorted(frame["load"], reverse=True)
    assert frame["load"].iloc[0] == matrix.max().max()
    assert len({frozenset(pair) for pair in zip(frame["from"], frame["to"], strict=True)}) == len(frame) == 66
    for row in frame.itertuples():
        assert row.load == max(matrix.loc[row[1], row.to], matrix.loc[row.to, row[1]])


def test_the_break_is_the_hardest_place_of_the_middle_octave() -> None:
    """C5 or C#5 to D5 or D#5 moves nearly all fingers: common practice, no source."""
    worst = gripway.hardest(gripway.flute(), "C5", "B5").hardest(1, "fingers")[0]
    assert {worst.before.pitch, worst.after.pitch} <= {72, 73, 74, 75}


def test_the_work_is_part_of_the_time(third: HardChanges) -> None:
    """The travel of the slowest finger and what is told beside it make up the time, that of a line."""
    working = FlutePlayer(gripway.flute()).plain
    figures = working.model.figures
    for each in third.changes:
        change = working.model.change(each.before, each.after)
        told = sum(ms for name, ms in each.work if name != "travel")
        assert figures.line_travel_ms * change.slowest + told == pytest.approx(each.change.change_ms)


def test_pitches_without_a_grip_are_left_out_with_their_reason() -> None:
    """B3 without a B foot."""
    found = gripway.hardest(gripway.flute(), "B3", "D4")
    assert [pitch for pitch, _ in found.without] == [59]
    assert "b-foot" in found.without[0][1]
    assert list(gripway.hardest_matrix(found).index) == ["C4", "C#4", "D4"]


def test_an_open_end_is_an_octave_away_within_the_flute() -> None:
    """Twelve pitches from the one end, or as many as there are."""
    flute = gripway.flute("piccolo")
    assert [gripway.hardest(flute, lowest="E5").pitches[k] for k in (0, -1)] == [76, 87]
    assert [gripway.hardest(flute, highest="E5").pitches[k] for k in (0, -1)] == [65, 76]
    assert gripway.hardest(flute, lowest="A6").pitches[-1] == flute.highest


def test_more_time_makes_less_load_and_a_slower_finger_more() -> None:
    """Load is needs over has; the player's hands count."""
    flute = gripway.flute()
    plain = gripway.hardest_matrix(gripway.hardest(flute, "F6", "G#6"))  # one standard grip each
    slow = gripway.hardest_matrix(gripway.hardest(flute, "F6", "G#6", available_ms=250.0))
    pd.testing.assert_frame_equal(slow * 2, plain, atol=0.002)
    stiff = Player(finger_factors=(("L2", 3.0),))
    assert (
        gripway.hardest_matrix(gripway.hardest(flute, "F6", "G#6", player=stiff)).loc["G6", "G#6"]
        >= plain.loc["G6", "G#6"]
    )


@pytest.mark.parametrize(("asked", "told"), [
    ({"lowest": "A6", "highest": "C6"}, "range is empty"), ({"lowest": "C2"}, "outside the concert flute"),
    ({"lowest": "E6", "highest": "E6"}, "no two pitches"), ({"lowest": "X"}, "is not a pitch"),
    ({"available_ms": -1.0}, "no time"), ({"available_ms": math.nan}, "no time"), ({"pair": "any"}, "any"),
])  # fmt: skip
def test_impossible_requests_are_refused(asked: dict[str, object], told: str) -> None:
    """Empty and foreign ranges, times, pairs, each by name."""
    with pytest.raises(RequestError, match=told):
        gripway.hardest(gripway.flute(), **asked)  # type: ignore[arg-type]


def test_an_unknown_measure_lists_the_known(third: HardChanges) -> None:
    """The measures are named."""
    with pytest.raises(RequestError, match=LOAD):
        gripway.hardest_matrix(third, "size")
