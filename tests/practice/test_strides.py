"""A change has one ladder of every tempo a day: the other long ones go in strides."""

from tests.oracles.passages import played
from tests.oracles.practice import FIGURES

from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def test_one_long_ladder_a_day_for_one_change() -> None:
    """On a long day with one cell no two of its drills go through six tempos or more, one after another."""
    plan = practise(played("E6 F#6 E6 F#6 A5 B5 A5 G5", 150), flute(), time=PracticeTime(40, 4))
    long = [
        [item for item in day.items if len(item.steps) >= FIGURES.stride_from_tempos] for day in plan.days
    ]
    assert any(long)
    assert all(len({item.cell for item in items}) == len(items) for items in long)
