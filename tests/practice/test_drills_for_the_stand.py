"""What a teacher writes on the board: graces slurred, endings of trills, high notes, rhythms on the beat."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import music21
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES, drills_in
from tests.score.w3c_schema import schema_errors

from gripway.model.passage import Note, Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.practice.cells.cells import CellPlace
from gripway.practice.cells.change_bars import bars_text
from gripway.practice.cells.counted_beat import place_of
from gripway.practice.drills.drill_score import drill_heading, grips_in_turn
from gripway.practice.plan.plan import Day, PlannedCell
from gripway.practice.ways.way_conditions import is_expressive, suits
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practice_part, practise
from gripway.tasks.scores import notes


def trilled(line: str, place: int, upper: str, tempo: float = 60) -> Passage:
    """A line of notes with a trill on one of them."""
    plain = notes(line, tempo=tempo)
    made = list(plain.notes)
    made[place] = replace(made[place], ornament=Ornament("trill", upper=Pitch.parse(upper)))
    return replace(plain, notes=tuple(made))


def trill_of(passage: Passage) -> PlannedCell:
    """The cell of its trill."""
    plan = practise(passage, flute(), time=PracticeTime(20, 5))
    return next(each for each in plan.cells if each.cell.trill)


def test_a_trill_comes_to_rest_before_its_written_ending() -> None:
    """Eight sixteenths, a quarter on the written note, two eighths, the next on the beat; slurred."""
    planned = trill_of(trilled("D#6:1/1 {C#6 D#6} E6:1/1", 0, "E6"))
    drill = next(drill for drill in planned.drills if drill.kind == "ending")
    made = drill.passage.notes
    assert [note.pitch.name for note in made] == ["D#6", "E6"] * 4 + ["D#6", "C#6", "D#6", "E6"]
    sixteenth, eighth, quarter = Fraction(1, 16), Fraction(1, 8), Fraction(1, 4)
    assert [note.length for note in made] == [sixteenth] * 8 + [quarter, eighth, eighth, quarter]
    assert all(note.slurred for note in made[1:-1])
    assert not any(note.grace for note in made)
    assert made[-1].onset == 1
    assert drill.changes


def test_the_note_after_a_trill_has_its_own_grip_and_that_is_told() -> None:
    """The trill takes its pair of grips; E6 after it is as the route has it, and both are named."""
    planned = trill_of(trilled("D#6:1/1 {C#6 D#6} E6:1/1", 0, "E6"))
    drill = next(drill for drill in planned.drills if drill.kind == "ending")
    trill, last = drill.grips[1], drill.grips[-1]
    assert (drill.passage.notes[1].pitch, drill.passage.notes[-1].pitch) == (Pitch.parse("E6"),) * 2
    assert trill != last
    assert grips_in_turn(drill) == {"E6": f"{trill.short}, then {last.short}"}


def test_a_trill_without_a_written_ending_has_no_drill_of_one() -> None:
    """Nor one whose next note comes after a rest."""
    for line in ("D#6:1/1 E6:1/1", "D#6:1/1 r:1/1 {C#6 D#6} E6:1/1"):
        planned = trill_of(trilled(line, 0, "E6"))
        assert "ending" not in {drill.kind for drill in planned.drills}


def test_the_drills_of_a_trill_with_an_ending_are_valid_music() -> None:
    """The schema, and music21 finds the bars full."""
    plan = practise(trilled("D#6:1/1 {C#6 D#6} E6:1/1", 0, "E6"), flute(), time=PracticeTime(20, 5))
    data = practice_part(plan)
    assert schema_errors(data) == []
    part = music21.converter.parseData(data, format="musicxml").parts[0]
    for measure in part.getElementsByClass("Measure"):
        quarters = sum(Fraction(each.duration.quarterLength) for each in measure.notesAndRests)
        assert quarters == Fraction(measure.barDuration.quarterLength)


def test_no_group_of_the_part_begins_with_the_ending_of_a_trill() -> None:
    """The change is in the ending, D#6 to C#6: the trill comes before it, as in the part."""
    line = trilled("B5:1/4 D#6:1/4 {C#6 D#6} E6:1/4 B5:1/4", 1, "E6", tempo=150)
    groups = [drill for _, drill in drills_in(line) if drill.kind == "overlap"]
    assert groups
    for drill in groups:
        made = drill.passage.notes
        for before, note in pairwise(made):
            assert not note.grace or before.grace or before.ornament is not None
        assert not made[0].grace


def test_a_grace_is_slurred_into_its_note_wherever_it_is_written_out() -> None:
    """The part has no slur; a grace before a note is slurred to it all the same (common practice)."""
    found = drills_in(played("F#6:1/8 {A6} G6:1/8 E6:1/8 F#6:1/8 {A6} G6:1/8 E6:1/8", 120))
    graced = [drill for _, drill in found if drill.kind in ("before", "after", "around", "rhythm")]
    met = 0
    for drill in graced:
        for one, other in pairwise(drill.passage.notes):
            if (one.pitch.name, other.pitch.name) == ("A6", "G6"):
                assert other.slurred
                met += 1
            elif not other.grace:
                assert not other.slurred
    assert met
    for _, drill in found:
        if drill.kind == "overlap":
            assert not any(note.slurred for note in drill.passage.notes)


def test_high_notes_begin_an_octave_lower_at_mf_and_at_few_tempos() -> None:
    """A6 to B6 in pp: an octave lower long, then as written, short; nothing held high, all mf."""
    plan = practise(played("pp (A6 B6 A6 B6 A6 B6)", 150), flute(), time=PracticeTime(30, 3))
    planned = plan.cells[0]
    kinds = [drill.kind for drill in planned.drills]
    assert kinds[0] == "octave"
    assert "hold" not in kinds
    made = planned.drills[0].passage.notes
    low, high = made[:2], made[2:]
    assert [one.pitch.number - 12 for one in high] == [one.pitch.number for one in low]
    assert min(note.length for note in low) > max(note.length for note in high)
    for drill in planned.drills:
        marks = {note.dynamic for note in drill.passage.notes}
        assert marks == ({"pp"} if drill.kind == "overlap" else {"mf"})
    for day in plan.days:
        for item in day.items:
            assert len(item.steps) <= FIGURES.high_tempos
    first = plan.days[0].items[0]
    assert planned.drills[first.drill].kind == "octave"


def test_high_notes_of_the_piccolo_are_no_louder_than_mp() -> None:
    """Hearing comes first there."""
    plan = practise(played("ff (A6 B6 A6 B6 A6 B6)", 150), flute("piccolo"), time=PracticeTime(30, 3))
    drills = [drill for planned in plan.cells for drill in planned.drills]
    assert any(drill.high for drill in drills)
    assert {note.dynamic for drill in drills for note in drill.passage.notes} == {"mp"}


def test_a_change_with_a_lower_note_is_held_as_it_is() -> None:
    """F#6 to G#6 is below the edge: a hold, and no octave."""
    found = drills_in(played("(F#6 G#6 F#6 G#6)", 150))
    kinds = {drill.kind for _, drill in found}
    assert "hold" in kinds
    assert "octave" not in kinds


def test_no_note_of_a_rhythm_goes_over_a_beat_it_does_not_begin_on() -> None:
    """In 4/4 and in 6/8 (there over an eighth), but for the last, which is long."""
    for metre, pulse in (((4, 4), Fraction(1, 4)), ((6, 8), Fraction(1, 8))):
        line = played("(D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 E6 F#6 G#6)", 110)
        bar = Fraction(*metre)
        marked = [
            replace(note, bar=str(note.onset // bar + 1), at=note.onset % bar, metre=metre)
            for note in line.notes
        ]
        found = [drill for _, drill in drills_in(Passage(tuple(marked))) if drill.rhythm]
        assert found
        for drill in found:
            for note in drill.passage.notes[:-1]:
                assert note.onset % pulse == 0 or note.onset % pulse + note.length <= pulse


def test_a_drill_says_from_which_bar_and_beat_it_is() -> None:
    """The place of its change, in the heading of its cell."""
    line = barred("A5 A5 A5 A5 " * 4 + "A5 A5 A5 A5 E6 F#6 G#6 A6 " * 2, 160)
    metred = replace(line, notes=tuple(replace(note, metre=(4, 4)) for note in line.notes))
    (bare,) = practise(line, flute(), time=PracticeTime(cells=1)).cells
    assert place_of(bare.cell) == "bar 2"
    planned = practise(metred, flute(), time=PracticeTime(cells=1)).cells[0]
    written = planned.cell.written
    assert written is not None
    there = f"bar {written.bar}, beat {int(written.at * 4) + 1}"
    assert place_of(planned.cell) == there
    assert drill_heading(1, planned, 0, TABLES).startswith(f"Cell 1: {planned.cell.title}, {there} / 1.1 ")
    notes = planned.cell.notes
    over = [
        replace(note, note=replace(note.note, bar="9", at=Fraction(0)))
        for note in notes[planned.cell.worst :]
    ]
    cell = replace(planned.cell, notes=(*notes[: planned.cell.worst], *over))
    assert place_of(cell) == f"bars {notes[planned.cell.worst - 1].note.bar}-9, into beat 1"


def test_a_change_over_a_bar_line_is_named_by_both_bars() -> None:
    """Heading and place of the drills say the same bars; without bars notes are counted."""
    line = barred("A5 A5 A5 A5 " * 3 + "A5 A5 A5 E6 F#6 A5 A5 A5", 160)
    marked = [replace(note, bar="1" if at < 16 else "2") for at, note in enumerate(line.notes)]
    cell = practise(replace(line, notes=tuple(marked)), flute(), time=PracticeTime(cells=1)).cells[0].cell
    plain = replace(cell, worst=1, places=(CellPlace("1", 15),))
    assert bars_text(plain, marked) == "bars 1-2"
    assert bars_text(replace(plain, places=(CellPlace("1", 13),)), marked) == "bar 1"
    assert bars_text(replace(plain, worst=2, places=(CellPlace("1", 14),)), marked) == "bars 1-2"
    assert bars_text(replace(plain, worst=2, places=(CellPlace("1", 15, whole=False),)), marked) == "bars 1-2"
    assert bars_text(replace(plain, places=(CellPlace("", 15),)), marked) == "note 16"


def bars_of(line: str, tempo: float = 120) -> tuple[Note, ...]:
    """Notes in bars of a whole note."""
    return barred(line, tempo).notes


def test_long_notes_ties_and_rests_are_no_place_for_finger_and_tongue() -> None:
    """A bar that is mostly one long note, or rests, gets none of these ways; one that runs gets them."""
    running = bars_of("A5 B5 C6 D6 E6 D6 C6 B5 A5 B5 C6 D6 E6 D6 C6 B5")
    long = bars_of("A5:7/8 B5 C6 D6:1/1 E6 D6 C6 B5")
    rests = bars_of("A5 B5 C6 D6 r:3/4 E6 D6 C6 B5 r:3/4 A5 B5 C6 D6")
    for way in ("single", "double"):
        assert suits(TABLES.ways[way], running, FIGURES), way
        assert not suits(TABLES.ways[way], long, FIGURES), way
        assert not suits(TABLES.ways[way], rests, FIGURES), way


def test_the_way_of_high_notes_names_them_alone_and_not_in_a_soft_solo() -> None:
    """A5 beside B6 is not named; in p, or under dolce, there are long notes in place of it."""
    line = "A5:1/2 B6:1/2 A5:1/4 G#5:1/4 F#5:1/4 E5:1/4"
    loud = barred(f"f {line}", 60)
    named = [study for day in _days(loud) for study in day.studies if study.way == "high"]
    assert named
    assert {study.about for study in named} == {"(B6)"}
    around = barred("f D6:1/4 E6:1/4 F#6:1/4 G6:1/4", 60)
    ways = {study.about: study.way for day in _days(around, 10) for study in day.studies if study.about}
    assert ways == {"(F#6 G6)": "high", "(D6 E6)": "tone", "on D6": "entry"}
    soft = barred(f"p {line}", 60)
    sung = replace(loud, notes=tuple(replace(note, manner=("dolce",)) for note in loud.notes))
    for quiet in (soft, sung):
        assert is_expressive(quiet.notes)
        assert not any(study.way == "high" for day in _days(quiet) for study in day.studies)
    assert not is_expressive(loud.notes)


def _days(passage: Passage, days: int = 3) -> tuple[Day, ...]:
    return practise(passage, flute(), time=PracticeTime(20, days)).days
