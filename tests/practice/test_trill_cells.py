"""Trills of a part as cells: which, with which grips, and their drills as music."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import music21
from tests.oracles.passages import barred
from tests.oracles.practice import TABLES
from tests.score.w3c_schema import schema_errors

from gripway.cli.text.practise_text import practise_text
from gripway.model.passage import Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.page.sheet.outlook_words import first_words
from gripway.page.sheet.sheet_model import SheetPause
from gripway.page.sheet.trill_words import FROM_ABOVE, as_drilled_words, trills_of
from gripway.practice.plan.easy_cells import is_ordinary_trill
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import MOST_TRILLS, day_page
from gripway.tasks.practise import PracticeTime, practice_part, practise
from gripway.tasks.scores import notes

OTHERS = "(D6 E6 F#6 G#6 A6:1/4)"


def with_trill(line: str, place: int, upper: str, tempo: float = 100, kind: str = "trill") -> Passage:
    """A line of notes, one of which has a trill to an upper note."""
    plain = notes(line, tempo=tempo)
    played = list(plain.notes)
    played[place] = replace(played[place], ornament=Ornament(kind, upper=Pitch.parse(upper)))
    return replace(plain, notes=tuple(played))


def plan_of(passage: Passage, cells: int | None = None) -> Plan:
    """Its plan for 20 minutes on 5 days."""
    return practise(passage, flute(), time=PracticeTime(20, 5, cells=cells))


def test_a_trill_of_the_third_octave_is_a_cell_with_the_grips_of_the_route() -> None:
    """F6 to G6 is among the cells, after those of changes, with the pair the route has for it."""
    plan = plan_of(with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, "G6"))
    *others, planned = plan.cells
    assert planned.cell.title == "F6 G6 trill"
    assert others
    assert not any(other.cell.trill for other in others)
    ornament = plan.route.notes[5].ornament
    assert ornament is not None
    assert [c.grip for c in planned.cell.candidates] == [
        n.candidate.grip for n in ornament.notes if n.candidate
    ]
    assert planned.cell.place == 5


def test_an_easy_trill_is_no_cell() -> None:
    """G4 to A4, one finger in the first octave, is one that every pupil has."""
    plan = plan_of(with_trill(f"{OTHERS} G4:1/2 E4:1/4", 5, "A4"))
    assert plan.cells
    assert not any(planned.cell.trill for planned in plan.cells)


def test_one_cell_alone_is_that_of_a_change() -> None:
    """Where there is time for one cell, it is not the trill."""
    plan = plan_of(with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, "G6"), cells=1)
    assert [bool(planned.cell.trill) for planned in plan.cells] == [False]


def test_a_trill_alone_is_learnt_measured_even_and_led_into_up_to_its_speed() -> None:
    """Slow notes with one trill: only its drills, its two notes in turn, up to the speed of its fingers."""
    plan = plan_of(with_trill("(E6:1/4 F6:1/1) E6:1/1", 1, "G6", tempo=60))
    (planned,) = plan.cells
    assert {drill.kind for drill in planned.drills} == {"learn", "measured", "even", "entry"}
    own = TABLES.figures.trill_quarters_a_minute / planned.cell.load
    assert planned.ladder.target == round(own) < TABLES.figures.trill_quarters_a_minute
    assert max(drill.fastest for drill in planned.drills if drill.kind == "even") >= planned.ladder.target - 1
    for drill in planned.drills:
        names = [note.pitch.name for note in drill.passage.notes]
        assert set(names) - {"F6", "G6"} == ({"E6"} if drill.kind == "entry" else set())
        if drill.kind == "learn":
            continue
        assert all(one != other for one, other in pairwise(names))
        assert drill.changes
    measured = next(drill for drill in planned.drills if drill.kind == "measured")
    lengths = [note.length for note in measured.passage.notes[:-1]]
    assert lengths == sorted(lengths, reverse=True)
    assert {length.denominator for length in lengths} == {8, 12, 16}
    even = next(drill for drill in planned.drills if drill.kind == "even")
    assert len({note.length for note in even.passage.notes[:-1]}) == 1
    assert {item.drill for day in plan.days for item in day.items} == set(range(len(planned.drills)))
    assert all(day.passage and day.passage.share == 1 and day.passage.quarters == 60 for day in plan.days)


def test_the_drills_are_valid_music() -> None:
    """The part keeps the schema, and music21 reads the two pitches in it and the one that leads there."""
    data = practice_part(plan_of(with_trill("(E6:1/4 F6:1/1) E6:1/1", 1, "G6", tempo=60)))
    assert schema_errors(data) == []
    part = music21.converter.parseData(data, format="musicxml").parts[0]
    assert {note.pitch.nameWithOctave for note in part.flatten().notes} == {"E6", "F6", "G6"}


def test_the_same_trill_in_two_bars_is_one_cell_with_both_places() -> None:
    """Two notes with the same trill are one cell; a tremolo on a note is one, too, and named so."""
    passage = with_trill("F6:1/1 E6:1/1 F6:1/1 E6:1/1", 0, "G6", tempo=60)
    played = list(passage.notes)
    played[2] = replace(played[2], ornament=played[0].ornament)
    (planned,) = plan_of(replace(passage, notes=tuple(played))).cells
    assert [place.index for place in planned.cell.places] == [0, 2]
    (tremolo,) = plan_of(with_trill("F6:1/1 E6:1/1", 0, "G6", tempo=60, kind="tremolo")).cells
    assert tremolo.cell.title == "F6 G6 tremolo"


def test_a_trill_wider_than_a_whole_tone_is_asked_about_and_not_drilled() -> None:
    """F6 to G#6 is more often a sign in the wrong place: nothing is drilled until it is settled."""
    for upper, asked in (("G#6", True), ("G6", False)):
        plan = plan_of(with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, upper))
        assert ("check the sign in your part" in first_words(plan, TABLES.figures)) is asked
        assert any(each.cell.trill for each in plan.cells) is not asked


def test_a_trill_of_few_fingers_has_two_drills_on_two_days_up_to_its_goal() -> None:
    """E6 to F6, the right middle finger alone: measured, then even; F6 to G6 with a new grip has more."""
    for line, place, upper, ordinary in (
        ("D5:1/1 B5:1/4 E6:1/1 D5:1/1", 2, "F6", True),
        ("D5:1/1 B5:1/4 F6:1/1 D5:1/1", 2, "G6", False),
    ):
        plan = plan_of(with_trill(line, place, upper, tempo=80))
        (number,) = (at for at, each in enumerate(plan.cells) if each.cell.trill)
        planned = plan.cells[number]
        assert is_ordinary_trill(planned, TABLES.figures) is ordinary
        assert (len(planned.drills) <= 2) is ordinary
        items = [[item for item in day.items if item.cell == number] for day in plan.days]
        assert (sum(map(bool, items)) <= TABLES.figures.least_cell_days) is ordinary
        assert max(item.end for day in items for item in day) == planned.ladder.goal


def test_a_trill_of_one_finger_that_no_drill_is_for_is_no_hard_bar() -> None:
    """Beside a hard run there is time for one cell: the trill is played with its bars."""
    plan = plan_of(with_trill(f"{OTHERS} E6:1/2 E4:1/4", 5, "F6"), cells=1)
    assert not plan.cells[0].cell.trill
    assert not any(cell.trill for cell in plan.left)


def test_a_trill_wider_than_a_whole_tone_is_asked_about_at_the_top_and_then_settled() -> None:
    """The question stands on the first sheet whatever room there is, on later ones that it is settled."""
    plan = plan_of(with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, "G#6"))
    first, *later = [day_page(plan, day).asked for day in plan.days]
    assert "check the sign in your part" in first
    assert later
    assert {each.rpartition(": ")[2] for each in later} == {"trill as settled."}
    trilled = with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, "G#6")
    barred = plan_of(replace(trilled, notes=tuple(replace(note, bar="7") for note in trilled.notes)))
    assert all(day_page(barred, day).asked.endswith(" Bar 7: F6 to _____.") for day in barred.days)
    plain = plan_of(with_trill(f"{OTHERS} F6:1/2 E6:1/4", 5, "G6"))
    assert {day_page(plain, day).asked for day in plain.days} == {""}


def figure_of(line: str, tempo: float) -> list[str]:
    """The notes with their values of the figure that a trill of F6 in a line is drilled as; empty without."""
    for planned in plan_of(with_trill(line, 5, "G6", tempo=tempo)).cells:
        for drill in planned.drills:
            if planned.cell.trill and drill.kind == "figure":
                return [f"{note.pitch.name}:{note.length}" for note in drill.passage.notes]
    return []


def test_a_short_trill_is_drilled_as_the_figure_there_is_time_for() -> None:
    """At ten notes a second (figures.csv) a quarter at 200 has time for three: F G F, on to the next note."""
    assert figure_of(f"{OTHERS} F6:1/4 E6:1/4", 200) == ["F6:1/12", "G6:1/12", "F6:1/12", "E6:1/4"]
    five = ["F6:1/10", "G6:1/10", "F6:1/10", "G6:1/10", "F6:1/10"]
    assert figure_of(f"{OTHERS} F6:1/2 E6:1/4", 200) == [*five, "E6:1/4"]


ENDING = ("E6:1/16", "F6:1/16")
ENDED = f"{OTHERS} (F6:3/8 E6:1/16 F6) A6:1/4"
"""A short trill with a written ending."""


def test_shake_and_quick_ending_are_even_notes_over_the_time_of_both() -> None:
    """Five in a half at 288 (common practice, no source); where there is time the ending is as written."""
    even = ["F6:1/10", "G6:1/10", "F6:1/10", "E6:1/10", "F6:1/10"]
    assert figure_of(ENDED, 288) == [*even, "A6:1/4"]
    assert figure_of(ENDED, 180) == [*(f"{name}:1/8" for name in ("F6", "G6", "F6")), *ENDING, "A6:1/4"]


def test_a_drill_in_the_part_with_a_short_trill_names_its_figure() -> None:
    """On every day that has it, in the text and on the sheet; a cell without the trill says nothing."""
    plan = plan_of(with_trill(ENDED, 5, "G6", tempo=200))
    (trill,) = [at for at, planned in enumerate(plan.cells) if planned.cell.trill]
    figure = next(at for at, drill in enumerate(plan.cells[trill].drills, start=1) if drill.kind == "figure")
    met = 0
    for day in plan.days:
        for item in day.items:
            drill = plan.cells[item.cell].drills[item.drill]
            if item.cell != trill and any(note.ornament for note in drill.passage.notes):
                told = f"trill as in {trill + 1}.{figure}"
                assert as_drilled_words(plan, item.cell, [day]) == told
                assert any(told in getattr(block, "facts", "") for block in day_page(plan, day).blocks)
                met += 1
        assert as_drilled_words(plan, trill, [day]) == ""
    assert met


def test_a_trill_whose_figure_comes_on_a_later_day_is_left_out_of_drills_by_then() -> None:
    """The drill in the part on day 1, the figure of its trill on day 2."""
    plan = plan_of(with_trill(ENDED, 5, "G6", tempo=200))
    (trill,) = [at for at, planned in enumerate(plan.cells) if planned.cell.trill]
    (day,) = [day for day in plan.days if any(item.cell == trill for item in day.items)][:1]
    (item,) = [
        item
        for each in plan.days
        for item in each.items
        if item.cell != trill
        and any(note.ornament for note in plan.cells[item.cell].drills[item.drill].passage.notes)
    ][:1]
    figures = tuple(each for each in day.items if each.cell == trill)
    days = (replace(day, day=1, items=(item,)), replace(day, day=2, items=(*figures, item)))
    told = [as_drilled_words(replace(plan, days=days), item.cell, [each]) for each in days]
    assert told[0].startswith(f"without the trill until {trill + 1}.")
    assert told[1].startswith(f"trill as in {trill + 1}.")


def test_no_figure_is_faster_than_a_shake_can_be() -> None:
    """What has no time for five notes at 13 a second (figures.csv) has one shake alone."""
    assert figure_of(ENDED, 330) == ["F6:1/6", "G6:1/6", "F6:1/6", "A6:1/4"]
    for tempo in range(160, 400, 20):
        *shaken, _ = [Fraction(each.partition(":")[2]) for each in figure_of(ENDED, tempo)]
        assert min(shaken) * 4 * 60 / tempo >= 1 / TABLES.figures.trill_most_notes_a_second


def test_a_quintuplet_of_a_trill_is_valid_music() -> None:
    """Five in the time of four eighths, as music21 reads it, and by the schema."""
    data = practice_part(plan_of(with_trill(ENDED, 5, "G6", tempo=288)))
    assert not schema_errors(data)
    score = music21.converter.parseData(data, format="musicxml")
    fives = [note for note in score.recurse().notes if note.quarterLength == Fraction(2, 5)]
    assert fives
    assert {note.duration.tuplets[0].numberNotesActual for note in fives} == {5}
    assert {note.duration.type for note in fives} == {"eighth"}
    beams = [note.beams.getTypeByNumber(1) for note in fives[:5]]
    assert beams == ["start", *["continue"] * 3, "stop"]  # one beam, past the beat


def test_a_short_trill_has_no_drills_of_a_long_one_nor_the_other_way() -> None:
    """A short one goes up to the tempo of the part; a long one at a speed of its own."""
    for length, kinds in (("1/4", {"figure"}), ("1/1", {"measured", "even"})):
        plan = plan_of(with_trill(f"{OTHERS} F6:{length} E6:1/4", 5, "G6", tempo=200))
        (planned,) = [each for each in plan.cells if each.cell.trill]
        found = {drill.kind for drill in planned.drills}
        assert kinds <= found
        assert not found & ({"figure", "measured", "groups", "even"} - kinds - {"groups"})
        assert (planned.ladder.target == 200) is (length == "1/4")
        assert planned.cell.has_own_tempo is (length == "1/1")


def test_ornaments_never_outnumber_plain_changes() -> None:
    """Three hard trills beside one hard change: one of them has a cell; where the player says so, all."""
    plain = notes("(E6 F#6) r:1/1 F6:1/1 r:1/1 A6:1/1 r:1/1 D#6:1/1", tempo=160)
    played = list(plain.notes)
    for place, upper in ((2, "G6"), (3, "B6"), (4, "F6")):
        played[place] = replace(played[place], ornament=Ornament("trill", upper=Pitch.parse(upper)))
    passage = replace(plain, notes=tuple(played))
    made = practise(passage, flute(), time=PracticeTime(40, 7))
    assert [bool(each.cell.trill) for each in made.cells] == [False, True]
    many = practise(passage, flute(), time=PracticeTime(60, 7, cells=4))
    assert sum(bool(each.cell.trill) for each in many.cells) > 1


def test_a_plan_with_trills_says_how_they_begin() -> None:
    """Once, in the text and beside the trill on the first page; not where the part begins it above."""
    line = barred("E6 F#6 G#6 A6 " * 12, 160)
    trill = Ornament("trill", upper=Pitch.parse("B6"))
    for ornament, count in ((trill, 1), (replace(trill, from_upper=True), 0), (None, 0)):
        notes = [replace(note, ornament=ornament) if at == 3 else note for at, note in enumerate(line.notes)]
        plan = practise(replace(line, notes=tuple(notes)), flute(), time=PracticeTime(20, 3))
        text = " ".join(practise_text(plan, flute()).split())
        assert text.count(FROM_ABOVE) == text.count("begins with its written note, in music before") == count
        for day in plan.days:
            lines = [block for block in day_page(plan, day).blocks if isinstance(block, SheetPause)]
            told = [[trill.words for trill in line.trills] for line in lines]
            begun = [words for words in told if FROM_ABOVE in words]
            assert len(begun) == count * (day is plan.days[0])
            assert all(words[0].startswith("Trill, bar") for words in begun)


def test_every_trill_of_the_whole_is_told_on_the_first_day() -> None:
    """Seven trills and no work on their bars but the whole: more than one line tells of, and none is lost."""
    plain = barred("E6 F#6 G#6 A6 " * 8, 160)
    trilled = {3: "B6", 6: "A6", 8: "F#6", 13: "G#6", 19: "A#6", 22: "G#6", 24: "F6"}
    played = [
        replace(note, ornament=Ornament("trill", upper=Pitch.parse(trilled[at]))) if at in trilled else note
        for at, note in enumerate(plain.notes)
    ]
    plan = practise(replace(plain, notes=tuple(played)), flute(), time=PracticeTime(20, 3))
    lines = [block for block in day_page(plan, plan.days[0]).blocks if isinstance(block, SheetPause)]
    told = " ".join(trill.words for line in lines for trill in line.trills)
    known = [each.words for each in trills_of(plan.route, 0, len(plan.route.notes) - 1)]
    assert len(known) > MOST_TRILLS
    assert all(words in told for words in known)
    assert all(len(line.trills) <= MOST_TRILLS + 1 for line in lines)
