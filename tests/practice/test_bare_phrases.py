"""Every phrase has a row of its own before a day ends early."""

from tests.oracles.passages import barred
from tests.oracles.practice import TABLES

from gripway.practice.plan.course import NO_BARS, Course
from gripway.practice.plan.plan import Plan
from gripway.practice.studies.bare_phrases import BarePhrases
from gripway.practice.ways.sections import phrases, pieces
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

LINE = "A5:1/2 B5:1/4 C6:1/4 D6:1/2 C6:1/4 B5:1/4 A5:1/2 G5:1/2 F5:3/4 r:1/4 "
FAST = "(G5 A5 B5 C6) (D6 C6 B5 A5) (G5 A5 B5 C6) (D6 C6 B5 A5) " * 2 + "G5:1/2 r:1/2 "
LONE = "A5:1/8 r:3/8 r:1/4 A5:1/8 r:1/8 " * 8


def bare_of(plan: Plan) -> list[str]:
    """The bars in which phrases begin of which no row has half of the notes."""
    notes = plan.route.passage.notes
    rows = [study for day in plan.days for study in day.studies if study.way not in NO_BARS]
    worked = {at for row in rows for at in range(row.first, row.last + 1)}
    bars = pieces(notes)
    ends = ((bars[each[0]][0], bars[each[-1]][1]) for each in phrases(bars, notes))
    return [
        notes[first].bar
        for first, last in ends
        if last - first >= 6 and 2 * len(worked & {*range(first, last + 1)}) < last - first + 1
    ]


def test_no_phrase_is_left_without_a_row_where_days_have_time() -> None:
    """Slow lines and fast ones, whatever else the days are for."""
    plan = practise(barred((LINE + FAST + LINE + LONE) * 2, 132), flute(), time=PracticeTime(20, 5))
    assert not bare_of(plan)


def test_a_phrase_is_worked_on_in_the_way_it_asks_for() -> None:
    """Single notes are counted, quick ones go in sections, the others are a line."""
    for text, way in ((LINE * 2, "phrase"), (FAST * 2, "sections"), (LONE * 2, "upbeats")):
        notes = barred(text, 132).notes
        day = BarePhrases(notes, (), 1.0, 1, Course(), TABLES, 20)
        assert {next(day._ways_for(*each)) for each in day._bare_phrases(())} == {way}, text
