"""Tempos as they are told: the beat a metronome has, and whose goal a tempo is."""

from dataclasses import replace

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES

from gripway.cli.text.practise_text import practise_text
from gripway.model.tempo import DOTTED, EIGHTH, HALF, QUARTER
from gripway.page.sheet.heading_words import goal_of
from gripway.practice.cells.counted_beat import counted_beat
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import plan_sheet
from gripway.tasks.practise import PracticeTime, practise


@pytest.mark.parametrize(
    ("metre", "quarters", "beat"),
    [
        ((3, 8), 132, DOTTED),
        ((6, 8), 156, DOTTED),
        ((2, 2), 160, HALF),
        ((2, 2), 159, HALF),
        ((2, 2), 80, HALF),
        ((2, 2), 79, QUARTER),
        ((4, 4), 80, QUARTER),
        ((4, 4), 79, EIGHTH),
        ((6, 8), 59, EIGHTH),
        ((6, 8), 60, DOTTED),
        (None, 96, QUARTER),
    ],
)
def test_a_beat_is_one_that_a_metronome_has(
    metre: tuple[int, int] | None, quarters: float, beat: object
) -> None:
    """From 40 halves or dotted quarters on, quarters from 40 at half the tempo; else in parts up to 208.

    That a metronome's wheel goes from 40 to 208 is common practice.
    """
    assert counted_beat(metre, quarters, FIGURES) == beat


def test_a_tempo_of_the_file_alone_is_no_goal() -> None:
    """It is called the file's tempo, and the player is asked for an own one; a printed mark is a goal."""
    line = replace(played("(E6 F#6 G#6 A6)", 160), tempo_from=("playback", "Presto"))
    plan = practise(line, flute(), time=PracticeTime(20, 6))
    told = "the file plays quarter = 160 (Presto is printed): set your own goal"
    pages = plan_sheet(plan, flute())
    assert "--tempo" not in pages
    for text in (practise_text(plan, flute()), pages):
        words = " ".join(str(text).split())
        assert told in words
        assert "file's tempo" in words.replace("&#39;", "'")
        assert "its tempo from day" not in words
        assert "goal: " not in words.replace("own goal: ", "")
    printed = practise(replace(line, tempo_from=("printed", "half = 80")), flute(), time=PracticeTime(20, 6))
    assert goal_of(printed) == "goal: quarter = 160 (printed: half = 80)"
    assert goal_of(replace_mark(printed, "quarter = 160")) == "goal: quarter = 160 (as printed)"


def replace_mark(plan: Plan, mark: str) -> Plan:
    """The plan of a part with another printed mark."""
    passage = replace(plan.route.passage, tempo_from=("printed", mark))
    return replace(plan, route=replace(plan.route, passage=passage))
