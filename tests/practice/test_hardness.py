"""From which load on a change is a cell: fingers, their ways, and the notes around it."""

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, cells_in, routed

from gripway.practice.cells.cells import fingered
from gripway.practice.cells.hardness import hard_from, is_alone
from gripway.practice.plan.nearly_hard import nearly_hard


def needed(text: str, to: int = 1, tempo: float = 120.0) -> float:
    """From which load on the change to a note of a line is worth practising."""
    _, route = routed(played(text, tempo))
    change = next(each for each in route.changes if each.to == to)
    before, after = (fingered(note) for note in route.notes[to - 1 : to + 1])
    return hard_from(change, before, after, FIGURES, alone=is_alone(route.notes, to, FIGURES))


@pytest.mark.parametrize(
    ("text", "load"),
    [
        ("(C5 D5)", FIGURES.hard_load),  # both hands cross: eight fingers
        ("(E6 F#6)", FIGURES.hard_load),
        ("(C#6 D#6)", FIGURES.hard_load),  # one way, but up in the third octave
        ("F#5 A4", FIGURES.early_load),  # two fingers lift
        ("C5 A5", FIGURES.early_load),
        ("F#6 B5", FIGURES.early_load),
        ("C#5 F#5", FIGURES.hard_load * FIGURES.one_way_share),  # five fingers come down, none lifts
        ("A5 B6", FIGURES.hard_load),  # few fingers, but high
    ],
)
def test_few_fingers_one_way_are_hard_later(text: str, load: float) -> None:
    """What only lifts, or only comes down, is worth practising from more load on than what crosses."""
    assert needed(text) == pytest.approx(load)


def test_a_change_between_longer_notes_is_hard_later() -> None:
    """D5 to B4 (a sixteenth) between notes twice as long stands alone; in a run, or with one side, not."""
    alone = FIGURES.alone_share * FIGURES.hard_load
    assert needed("B4:1/8 D5:1/16 B4:1/8 A4", 2) == pytest.approx(alone)
    for text in ("B4:1/16 D5 B4 A4", "B4:1/8 D5:1/16 B4:1/16 A4", "B4:1/16 D5 B4:1/8 A4"):
        assert needed(text, 2) == pytest.approx(FIGURES.hard_load), text
    assert needed("D6:1/8 G6:1/16 D6:1/8 A5", 2) == pytest.approx(FIGURES.hard_load)  # the third octave


def test_repeated_notes_are_one_for_what_stands_alone() -> None:
    """The hands wait where a note is played again, however short each of them is."""
    text = "B4:1/16 B4 B4 D5 B4 B4 B4 A4"
    assert needed(text, 4) == pytest.approx(FIGURES.alone_share * FIGURES.hard_load)


def test_what_players_have_at_sight_is_no_cell() -> None:
    """Two lifting fingers at 65 % of the time there is are no cell; eight that cross at as much are one."""
    assert not cells_in(played("F#5:1/16 A4 G4 A4", 130))
    assert [cell.pitches[:2] for cell in cells_in(played("B4:1/16 C5 D5 E5", 110))] == [("C5", "D5")]


def test_the_next_hardest_bars_take_much_of_the_time() -> None:
    """Several fingers at 65 % of it, not at 53 %; none of two lifting fingers, nor of repeated notes."""
    for text, tempo, some in (
        ("(C6:1/16 D6 E6 D6 C6 B5)", 110, True),
        ("(C6:1/16 D6 E6 D6 C6 B5)", 90, False),
        ("F#5:1/16 A4 F#5 A4 F#5 A4", 125, False),
        ("(C6:1/16 D6) D6:1/16 D6 (D6 E6) E6 E6 (E6 D6) D6 D6", 115, False),
    ):
        _, route = routed(played(text, tempo))
        assert not cells_in(played(text, tempo))
        assert bool(nearly_hard(route, (), 30, FIGURES)) is some, text


def test_a_quick_run_of_easy_changes_is_the_hardest_bar_where_there_is_no_other() -> None:
    """Few fingers that go one way, in a scale at 114 ms a note: not where it only goes to and fro."""
    run = "r:1/8 (E6:1/8 D6:1/8 C#6:1/8 B5:1/8 A5:1/8 B5:1/8 C#6:1/4)"
    for text, tempo, some in (
        (run, 264, True),
        (run, 200, False),
        ("(F#5:1/16 A4 F#5 A4 F#5 A4)", 125, False),
    ):
        _, route = routed(played(text, tempo))
        assert bool(nearly_hard(route, (), 30, FIGURES)) is some, text


def test_a_tongued_change_between_rests_is_no_cell() -> None:
    """Of high notes as well; in a run, slurred, or with one rest alone it is one."""
    for text, some in (
        ("A6:1/8 r:1/8 G#6:1/16 A6:3/16 r:1/8 A6:1/8 G6", False),
        ("A6:1/8 r:1/8 (G#6:1/16 A6:3/16) r:1/8 A6:1/8 G6", True),
        ("A6:1/8 E6:1/8 G#6:1/16 A6:3/16 r:1/8 A6:1/8 G6", True),
    ):
        found = [cell for cell in cells_in(played(text, 150)) if cell.pitches == ("G#6", "A6")]
        assert bool(found) is some, text
