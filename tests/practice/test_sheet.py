"""The drills as a part: headings, grips, tempo; valid, and read the same by another reader."""

import music21
from tests.oracles.passages import played
from tests.oracles.practice import A_MAJOR, TABLES, joined_notes
from tests.score.w3c_schema import schema_errors

from gripway.practice.drills.drill_score import practice_score, printed_grips
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def test_the_part_has_every_drill_with_heading_grips_and_tempo() -> None:
    """One line of music a drill, in its metre, under the schema; the grips stand at their first notes."""
    plan = practise(played(A_MAJOR, 100, fifths=3), flute(), time=PracticeTime(cells=2))
    data = practice_score(plan, TABLES).data
    assert schema_errors(data) == []
    text = data.decode()
    drills = [drill for planned in plan.cells for drill in planned.drills]
    assert text.count('font-weight="bold"') == len(drills)
    assert text.count('<print new-system="yes"/>') == len(drills) - 1
    assert text.count("<per-minute>") == len(plan.cells)
    assert text.count("<fingering") == sum(len(printed_grips(drill)) for drill in drills)
    part = music21.converter.parseData(text, format="musicxml").parts[0]
    assert part.recurse().getElementsByClass("KeySignature").first().sharps == 3
    assert [number for number, _ in joined_notes(part)] == [
        note.pitch.number for drill in drills for note in drill.passage.notes
    ]


def test_a_grip_is_printed_where_it_is_new() -> None:
    """To and fro between two notes prints two grips."""
    plan = practise(played("E6 F#6 E6", 120), flute())
    (pair,) = [drill for drill in plan.cells[0].drills if drill.kind == "pair"]
    assert list(printed_grips(pair)) == [0, 1]
    assert printed_grips(pair)[1] == pair.grips[1].short
