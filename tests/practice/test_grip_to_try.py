"""One other grip is named to try where standard grips come late, with what it costs in tuning."""

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, routed

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.effort.load import LATE
from gripway.model.grip import Grip
from gripway.page.sheet.sheet_model import SheetCell
from gripway.practice.cells.cells import find_cells
from gripway.practice.cells.grip_to_try import GripToTry, grip_to_try, to_try_briefly, to_try_words
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

STANDARD = Wishes(choose=STANDARD_ONLY)
UP = "(D6 E6 F#6 E6 D6 C#6 B5 A5)"
TO_AND_FRO = "(C#6 D6 C#6 D6 C#6 D6 C#6)"


def to_try(text: str, tempo: float) -> tuple[float, GripToTry | None]:
    """The load of the hardest cell of a line with its standard grips, and what there is to try."""
    solver, route = routed(played(text, tempo), STANDARD)
    cell = find_cells(route, FIGURES)[0]
    return cell.load, grip_to_try(cell, route, STANDARD, solver, FIGURES)


@pytest.mark.parametrize(
    ("text", "pitch", "grip"),
    [
        # common practice, no source: F#6 with the right middle finger, quick D6 with the first trill key
        (UP, "F#6", "T L1 L3 | R2 Eb"),
        (TO_AND_FRO, "D6", "| Kd Eb"),
    ],
)
def test_the_grip_that_is_quicker_is_named(text: str, pitch: str, grip: str) -> None:
    """The one players take in quick figures, near in tune, clearly under what the standard grips take."""
    load, found = to_try(text, 170.0)
    assert found
    assert (found.pitch, found.candidate.row_grip) == (pitch, Grip.parse(grip))
    assert abs(found.candidate.tendency.cents or 0.0) <= FIGURES.try_most_cents
    assert found.load <= load - FIGURES.try_less_load


def test_where_there_is_time_nothing_is_to_be_tried() -> None:
    """The same line slower: its change is hard, but not late."""
    load, found = to_try(UP, 120.0)
    assert FIGURES.hard_load <= load <= LATE
    assert found is None
    assert to_try_words(None) == ""


def test_it_is_said_with_its_cents() -> None:
    """Sharp or flat, and how much of the time it takes."""
    _, found = to_try(UP, 170.0)
    assert found
    words = to_try_words(found)
    assert words.startswith("To try, if it stays uneven: F#6 ")
    assert f"{round(found.candidate.tendency.cents or 0)} cents sharp" in words
    assert f"{round(100 * found.load)} % of the time" in words


def test_it_stands_on_each_sheet_that_has_its_drills() -> None:
    """Beside the cell, where no page drops it: with its cents on the first day, later the grip alone."""
    line = "A5:1/8 B5 A5 G5 " * 4 + "(D6:1/16 E6 F#6 E6) D6:1/4"
    plan = practise(played(line, 180), flute(), time=PracticeTime(20, 5))
    told = [to_try_briefly(planned.worth.to_try) for planned in plan.cells if planned.worth.to_try]
    blocks = [[*day_page(plan, day).blocks] for day in plan.days]
    pages = [" ".join(each.facts for each in page if isinstance(each, SheetCell)) for page in blocks]
    assert told
    for words in told:
        assert sum(words in page for page in pages) == 1
    for number, planned in enumerate(plan.cells):
        short = to_try_briefly(planned.worth.to_try, again=True)
        drilled = [any(item.cell == number for item in day.items) for day in plan.days]
        assert sum(drilled) > 1
        assert not short or [short in page for page in pages] == drilled
