"""Drills: playable, correct music, and each with its change."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import music21
import pytest
from hypothesis import given, settings
from tests.oracles.passages import passages, played
from tests.oracles.practice import A_MAJOR, TABLES, drills_in, joined_notes, routed
from tests.score.w3c_schema import schema_errors
from tests.tiers import examples

from gripway.asked.wishes import Pin, Wishes
from gripway.model.passage import Passage
from gripway.practice.cells.cells import fingered
from gripway.practice.drills.drills import OF_TRILLS
from gripway.score.notation import read_notation
from gripway.score.reading.score_reading import load_score
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RANDOM = passages(least=2, most=9, lowest=72, highest=93)


@settings(max_examples=examples(40))
@given(RANDOM)
def test_every_drill_is_playable_and_holds_its_change_between_the_very_grips(passage: Passage) -> None:
    """A route goes through the pinned grips, a grip for every note, and the cell's worst change is there."""
    for cell, drill in drills_in(passage):
        solver, _ = routed(drill.passage)
        pins = tuple(Pin(place, grip) for place, grip in enumerate(drill.grips))
        again = solver.solve(drill.passage, Wishes(pins=pins))
        assert again.status == "optimal"
        assert [note.candidate and note.candidate.grip for note in again.notes] == list(drill.grips)
        before, after = cell.notes[cell.worst - 1], cell.notes[cell.worst]
        wanted = [(n.note.pitch.number, fingered(n).grip) for n in (before, after)]
        has = list(zip((n.pitch.number for n in drill.passage.notes), drill.grips, strict=True))
        assert drill.changes == tuple(k for k, (a, b) in enumerate(pairwise(has), 1) if [a, b] == wanted)
        assert drill.changes


@settings(max_examples=examples(60))
@given(RANDOM)
def test_the_line_of_a_drill_is_read_back_as_it_is(passage: Passage) -> None:
    """score/notation reads the line to the same pitches, lengths, rests and slurs."""
    for _, drill in drills_in(passage):
        again = read_notation(drill.notation).notes
        assert [(n.pitch, n.onset, n.length, n.slurred) for n in again] == [
            (n.pitch, n.onset, n.length, n.slurred) for n in drill.passage.notes
        ]


@settings(max_examples=examples(25))
@given(RANDOM)
def test_music21_reads_full_bars_with_the_key_and_the_pitches(passage: Passage) -> None:
    """Written and read by an independent reader: bars add up, key and every sounding pitch are right."""
    for _, drill in drills_in(passage):
        data = write_score([Section(drill.passage, metre=drill.metre)]).data
        assert schema_errors(data) == []
        part = music21.converter.parseData(data, format="musicxml").parts[0]
        bar_quarters = Fraction(*drill.metre) * 4
        for measure in part.getElementsByClass("Measure"):
            assert Fraction(measure.duration.quarterLength) == bar_quarters
            filled = sum(Fraction(e.duration.quarterLength) for e in measure.notesAndRests)
            assert filled == bar_quarters
        key = part.recurse().getElementsByClass("KeySignature").first()
        assert key.sharps == drill.passage.notes[0].fifths
        assert [(number, Fraction(at)) for number, at in joined_notes(part)] == [
            (note.pitch.number, note.onset * 4) for note in drill.passage.notes
        ]


@pytest.mark.parametrize("unit", ["1/8", "1/12", "1/16", "1/20", "1/24", "1/32", "3/32", "1/28"])
def test_drills_of_any_note_value_can_be_written(unit: str) -> None:
    """Triplets, quintuplets, dots and odd values give drills with full bars."""
    found = drills_in(played("F#6 G#6 A6 B6 A6", 200, unit))
    kinds = {drill.kind for _, drill in found}
    assert kinds >= {"stop", "pair", "after", "rhythm"}
    assert kinds & {"octave", "hold"}
    data = write_score([Section(drill.passage, metre=drill.metre) for _, drill in found]).data
    assert schema_errors(data) == []


def test_the_drills_of_a_major_in_order() -> None:
    """What a teacher would write down for E6 to F#6, note by note, from the table of drills."""
    lines = {
        drill.kind + drill.rhythm: drill.notation
        for cell, drill in drills_in(played(f"({A_MAJOR})", 100))
        if cell.pitches == ("E6", "F#6", "G#6", "A6")
    }
    assert [kind for kind in lines if kind.isalpha() and kind.islower()] == [
        kind for kind in TABLES.drills if kind not in ("octave", "learn", "rhythm", "evened", *OF_TRILLS[2:])
    ]
    assert lines["hold"] == "mp (E6:1/2 F#6:1/2)"
    assert lines["stop"] == "r:3/16 mp (E6 F#6:1/2)"
    assert lines["before"] == "r:1/8 mp (D6 E6 F#6:1/4)"
    assert lines["after"] == "(E6 F#6 G#6:1/8)"
    assert lines["around"] == "(D6 E6 F#6 G#6 A6:1/4)"
    assert lines["rhythmLS"] == "(D6:3/16 E6 F#6:3/16 G#6 A6:1/4)"
    assert lines["overlap"].startswith("r:1/4 (E6 F#6 G#6 A6 G#6:1/4) r:1/4 (A5 ")


def test_slurs_and_dynamics_are_those_of_the_part_or_the_other_ones() -> None:
    """Only the hard change is slurred in the part: in the drills too; the other way it alone is tongued."""
    passage = played("p D6 (E6 F#6) G#6 A6", 160)
    for other in (False, True):
        (planned,) = practise(passage, flute(), time=PracticeTime(cells=1), other=other).cells
        found = {drill.kind: drill for drill in planned.drills}
        assert found["overlap"].notation.startswith("p D6 (E6 F#6) G" if not other else "p (D6 E6) (F#6 G#6")
        assert found["hold"].notation.startswith("p E6" if other else "p (E6")
        assert {note.dynamic for drill in planned.drills for note in drill.passage.notes} == {"p"}
        joined = {note.slurred for note in found["stop"].passage.notes[1:]}
        assert joined == {not other}


def test_what_is_for_the_fingers_alone_is_slurred_where_the_part_is_tongued() -> None:
    """Hold and stop, which the other articulation tongues; what stands in the part is as written."""
    passage = played(A_MAJOR, 170)
    for other in (False, True):
        (planned,) = practise(passage, flute(), time=PracticeTime(cells=1), other=other).cells
        found = {drill.kind: drill.passage.notes for drill in planned.drills}
        for kind in ("hold", "stop"):
            assert {note.slurred for note in found[kind][1:]} == {not other}
        assert any(note.slurred for note in found["overlap"]) == other


def test_the_short_step_falls_on_the_worst_change() -> None:
    """In every rhythm the note before the change is as short as in the part, and the last is on a beat."""
    found = [
        drill
        for text in (A_MAJOR, "(D6 E6 F6 D6)")
        for _, drill in drills_in(played(text, 110))
        if drill.rhythm
    ]
    assert {drill.rhythm for drill in found} <= {rhythm.name for rhythm in TABLES.rhythms}
    assert len(found) > 3
    for drill in found:
        assert any(drill.passage.notes[to - 1].length == Fraction(1, 16) for to in drill.changes)
        last = drill.passage.notes[-1]
        assert (last.onset % Fraction(1, 4), last.length) == (0, Fraction(1, 4))
        assert max(note.length for note in drill.passage.notes[:-1]) in (Fraction(1, 8), Fraction(3, 16))
        for note in drill.passage.notes[:-1]:
            left = -note.onset % Fraction(1, 4)
            assert left in (0, Fraction(1, 4)) or note.length <= left


def test_rests_and_grace_notes_give_drills() -> None:
    """A long rest ends a group; a cell beside it keeps to its own notes."""
    found = drills_in(played("D6 E6 F#6 G#6 A6 G#6 r:1/1 A5 r:1/1 E6 F#6", 120))
    overlaps = [drill.notation for cell, drill in found if drill.kind == "overlap" and "G#6" in cell.pitches]
    assert overlaps
    assert all("A5" not in overlap for overlap in overlaps)


def test_to_and_fro_is_in_notes_twice_as_long_where_it_would_come_late() -> None:
    """Again and again is slower than once in a line: at 170 A6 to B6 goes in eighths, at 100 as written."""
    for tempo, step in ((100, Fraction(1, 16)), (170, Fraction(1, 8))):
        found = drills_in(played("(A6 B6 A6 B6)", tempo))
        (pair,) = [d for cell, d in found if cell.pitches[-2:] == ("A6", "B6") and d.kind == "pair"]
        assert {note.length for note in pair.passage.notes[:-1]} == {step}


def test_drills_of_a_tremolo_have_the_change_at_its_own_speed() -> None:
    """Quarter notes as written would have no hard change: the drills keep to the time it has."""
    score = Path(__file__).parents[2] / "examples" / "kettle_trills.musicxml"
    plan = practise(load_score(score).passage, flute())
    (planned,) = [each for each in plan.cells if each.cell.pitches == ("C6", "E6")]
    assert planned.cell.change.available_ms == 100
    assert "tremolo" in planned.why
    for drill in planned.drills:
        if drill.kind != "hold":
            step = min(note.length_ms for note in drill.passage.notes)
            assert step == pytest.approx(100, rel=0.5)


def test_a_tremolo_is_drilled_as_a_trill_is_slurred() -> None:
    """To and fro between its two notes alone, in whole beats, under one slur; no neighbour at its speed."""
    score = Path(__file__).parents[2] / "examples" / "kettle_trills.musicxml"
    plan = practise(load_score(score).passage, flute())
    (planned,) = [each for each in plan.cells if each.cell.pitches == ("D6", "F6")]
    assert {drill.kind for drill in planned.drills} == {"hold", "measured", "groups", "even"}
    for drill in planned.drills:
        played_notes = drill.passage.notes
        assert all(one.pitch != other.pitch for one, other in pairwise(played_notes))
        assert {note.pitch.name for note in played_notes} == {"D6", "F6"}
        assert all(note.slurred for note in played_notes[1:])
        assert played_notes[-1].onset % Fraction(1, 4) == 0


def test_a_cell_with_a_new_grip_begins_with_learning_it() -> None:
    """Long alone, beside its neighbour in the cell, then the change; cells of standard grips have none."""
    plan = practise(played("(A6 B6 C7 B6 A6 B6)", 200), flute(), time=PracticeTime(20, 5))
    taught = [each for each in plan.cells if each.worth.learn]
    assert taught
    for planned in taught:
        drill = next(drill for drill in planned.drills if drill.kind != "octave")
        new = set(drill.grips) & {c.grip for c in planned.cell.candidates if not c.usual}
        assert (drill.kind, len(new)) == ("learn", 1)
        assert drill.grips[0] == drill.grips[2] != drill.grips[1]
        assert drill.grips[0] in new
        assert drill.passage.notes[0].length == 1
    first = plan.days[0].items[0]
    assert plan.cells[first.cell].drills[first.drill].kind in ("octave", "learn")
    plain = practise(played(A_MAJOR, 100), flute())
    assert all(drill.kind != "learn" for planned in plain.cells for drill in planned.drills)


def test_to_and_fro_has_one_dynamic_and_no_dots_on_what_is_slurred_or_held() -> None:
    """Holds and stops have the dynamic of their first note; a bar as written keeps its own, and its dots."""
    loud = played("(D6 E6 F#6 G#6 A6)", 150)
    marks = [
        replace(note, dynamic="ff" if place % 2 else "f", articulations=("staccato",))
        for place, note in enumerate(loud.notes)
    ]
    plan = practise(replace(loud, notes=tuple(marks)), flute(), time=PracticeTime(20, 1, cells=1))
    drills = {drill.kind: drill.passage.notes for drill in plan.cells[0].drills}
    for kind in ("hold", "stop"):
        assert len({note.dynamic for note in drills[kind]}) == 1
    assert not any(note.articulations for kind in ("hold", "stop") for note in drills[kind])
    assert {note.dynamic for note in drills["overlap"]} == {"f", "ff"}
    assert all(note.articulations for note in drills["overlap"])


def test_drills_are_no_louder_than_the_sheet_says() -> None:
    """Mp at most while the change is new; then as loud as in the part, with a note from F6 up only there."""
    found = 0
    for line in ("ff (E6 F#6 G#6 A6)", "ff (B5 C#6 D6 E6)"):
        plan = practise(played(line, 220), flute(), time=PracticeTime(20, 3))
        for drill in (each for planned in plan.cells for each in planned.drills):
            found += 1
            loud = {note.dynamic for note in drill.passage.notes}
            known = drill.kind in ("after", "around", "rhythm", "overlap")
            high = (
                max(note.pitch.number for note in drill.passage.notes) >= TABLES.figures.loud_most_note_number
            )
            as_known = "mf" if high and drill.kind != "overlap" else "ff"
            assert loud == ({as_known} if known else {"mp"}), drill.kind
    assert found >= 10


def test_a_run_is_built_up_from_where_it_arrives() -> None:
    """The last two notes, three, five, then all, each group on to the same beat; none of a short line."""
    run = played("(A5 B5 C#6 D6 E6 F#6 G#6 A6) B6:1/4", 150)
    drill = next(drill for _, drill in drills_in(run) if drill.kind == "added")
    groups: list[list[str]] = []
    before = Fraction(-1)
    for note in drill.passage.notes:
        groups += [[]] if note.onset != before else []
        groups[-1].append(note.pitch.name)
        before = note.onset + note.length
    assert [len(group) for group in groups] == [2, 3, 5, 9]
    assert {group[-1] for group in groups} == {"B6"}
    ends = [note for note in drill.passage.notes if note.pitch.name == "B6"]
    assert all(note.onset % Fraction(1, 4) == 0 for note in ends)
    assert not [drill for _, drill in drills_in(played("(E6 F#6 G#6) A6:1/4", 150)) if drill.kind == "added"]
