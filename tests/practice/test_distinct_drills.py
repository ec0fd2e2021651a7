"""Drills of several cells: each once."""

from tests.oracles.passages import played

from gripway.practice.drills.distinct_drills import distinct
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def test_no_drill_comes_in_two_cells() -> None:
    """What the first cell has, the second has not; the drills of a cell itself stay."""
    plan = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 5))
    drills = plan.cells[0].drills
    first, second = distinct([drills, drills])
    assert (first, second) == (drills, ())
