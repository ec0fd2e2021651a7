"""A goal far from the printed tempo is asked about at the top of the plan."""

from dataclasses import replace

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES

from gripway.model.passage import Passage
from gripway.page.sheet.heading_words import goal_of
from gripway.page.sheet.outlook_words import first_words
from gripway.practice.plan.goal import doubtful_goal
from gripway.tasks.flutes import flute
from gripway.tasks.practise import practise


def _asked(quarters: float, printed: tuple[float, str], metre: tuple[int, int] = (2, 2)) -> Passage:
    line = played("E5 F5 G5 A5 G5 F5 E5 D5", quarters)
    notes = tuple(replace(note, metre=metre) for note in line.notes)
    return replace(line, notes=notes, tempo_from=("asked", ""), printed=printed)


@pytest.mark.parametrize(("quarters", "asks"), [(158, True), (159, False), (343, False), (344, True)])
def test_a_goal_within_its_bounds_is_taken(quarters: float, asks: bool) -> None:
    """Of 264 printed, 0.6 are 158.4 and 1.3 are 343.2."""
    assert bool(doubtful_goal(_asked(quarters, (264.0, "half = 132")), FIGURES)) is asks


def test_a_quarter_meant_as_a_half_is_asked_about() -> None:
    """144 where half = 132 is printed; both beats are told, and no command is named."""
    told = first_words(practise(_asked(144, (264.0, "half = 132")), flute()), FIGURES)
    assert told.startswith(
        "Your goal of quarter = 144 (half = 72) is about half of the edition's mark, half = 132: "
        "did you mean half = 144?"
    )
    assert "--" not in told


def test_a_word_is_told_with_what_it_stands_for() -> None:
    """Half the tempo of a word in quarters: no other beat could be meant."""
    told = first_words(practise(_asked(40, (132.0, "Allegro"), (4, 4)), flute()), FIGURES)
    assert told.startswith(
        "Your goal of quarter = 40 is 30% of what Allegro stands for, about quarter = 132: if"
    )


def test_nothing_printed_is_nothing_to_ask() -> None:
    """Nor is a tempo that was not asked for."""
    assert doubtful_goal(_asked(60, (0.0, "")), FIGURES) is None
    printed = replace(_asked(60, (264.0, "half = 132")), tempo_from=("printed", "half = 132"))
    assert doubtful_goal(printed, FIGURES) is None


def test_the_sheet_says_that_a_goal_is_far_from_the_mark() -> None:
    """The mark is the edition's; a goal near it says nothing."""
    far, near = (practise(_asked(tempo, (264.0, "half = 132")), flute()) for tempo in (144, 264))
    assert goal_of(far).endswith("(as you asked; about half of the edition's mark, half = 132: ask)")
    assert goal_of(near).endswith("(as you asked)")
