"""Long notes are about what the part holds, softly, low and high, and about the notes that enter."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.catalog.tables.practice_figures import PracticeTables, practice_tables
from gripway.model.passage import Note
from gripway.practice.drills.octave_lower import tables_of_flute
from gripway.practice.plan.course import Course
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.day_opening import DayOpening
from gripway.practice.ways.entrances import entering
from gripway.practice.ways.long_notes import Held, beginnings, high_notes, long_notes, openings
from gripway.practice.ways.study_lengths import StudyLengths
from gripway.practice.ways.whole_passage import Stretch
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"


def notes_of(line: str, tempo: float = 100) -> tuple[Note, ...]:
    """Bars of four quarters."""
    return barred(line, tempo).notes


def names(notes: tuple[Note, ...], held: Held) -> str:
    """The names of the notes that are held."""
    return " ".join(notes[place].pitch.name for place in held.places)


def test_they_are_about_the_long_notes_never_about_a_run() -> None:
    """Of running bars with four long notes those are held that are exposed: high, low, or long."""
    notes = notes_of(f"{RUN} E5:1/1 A5:1/1 {RUN} F6:3/4 D5:1/4 {RUN}")
    found = long_notes(notes, FIGURES)
    assert {name for held in found for name in names(notes, held).split()} == {"E5", "A5", "F6"}
    assert all(notes[place].length_ms >= FIGURES.study_long_ms for held in found for place in held.places)


def test_the_soft_ones_come_first_and_one_alone_comes_last() -> None:
    """One day the soft ones, one day those low ones; C5 stands alone, and A6, which tires, is apart."""
    bars = [
        "f C5:3/4 r:1/4",
        RUN,
        RUN,
        RUN,
        RUN,
        "f D4:1/2 E4:1/2",
        RUN,
        RUN,
        RUN,
        "p B5:1/2 A5:1/2",
        RUN,
        RUN,
    ]
    notes = notes_of(" ".join([*bars, RUN, "f A6:1/2 r:1/2"]))
    assert [names(notes, held) for held in long_notes(notes, FIGURES)] == ["B5 A5", "D4 E4", "C5"]
    assert [names(notes, held) for held in high_notes(notes, FIGURES)] == ["A6"]


def test_music_without_long_notes_has_none_to_hold() -> None:
    """Nor are easy quarters in a sequence; a soft one or a high one that lasts is."""
    assert long_notes(notes_of(f"{RUN} {RUN}"), FIGURES) == ()
    assert long_notes(notes_of(f"{RUN} D5:1/4 E5:1/4 F#5:1/4 G5:1/4 {RUN}"), FIGURES) == ()
    assert long_notes(notes_of(f"f {RUN} D5:1/2 r:1/2 {RUN}"), FIGURES) == ()
    for tempo, line in ((100, "f F#6:1/2"), (160, "p E6:1/2")):
        (held,) = long_notes(notes_of(f"{RUN} {line} r:1/2 {RUN}", tempo), FIGURES)
        assert held.places == (16,)
    assert long_notes(notes_of(f"{RUN} f E6:1/2 r:1/2 {RUN}", 160), FIGURES) == ()


def test_what_is_most_exposed_comes_first() -> None:
    """Four notes of a theme before one that is longer; a quarter beside a whole note is left out."""
    theme = "f E5:1/1 A5:1/1 B5:1/1 C6:1/1"
    notes = notes_of(f"f E6:5/4 D5:1/4 r:1/2 {' '.join([RUN] * 6)} {theme} {RUN}")
    assert [names(notes, held) for held in long_notes(notes, FIGURES)] == ["E5 A5 B5 C6", "E6"]


def test_a_loud_high_note_that_passes_is_not_held() -> None:
    """F6 in ff for less than a second; in p it is held."""
    for level, found in (("ff", "C6"), ("p", "F6 C6")):
        notes = notes_of(f"{level} {RUN} F6:3/8 C6:5/8 {RUN}")
        assert [names(notes, held) for held in long_notes(notes, FIGURES)] == [found]


def test_high_notes_are_held_in_turn() -> None:
    """G6 after what is risky to begin and what is long."""
    notes = notes_of(f"p A5:1/2 B5:1/2 f {RUN} G6:1/2 p r:5/2 E6:1/4 {RUN}")
    found = openings(notes, entering(notes), FIGURES)
    told = [(begins, names(notes, held)) for begins, held in found]
    assert told == [(True, "E6"), (False, "A5 B5"), (False, "G6")]


def test_staccato_trills_and_graces_are_not_held() -> None:
    """They are no long notes however long they sound."""
    notes = notes_of("A5:1/2 B5:1/2 C6:1/2 D6:1/2 E6:1/1")
    short = tuple(replace(note, articulations=("staccato",)) if note.bar == "3" else note for note in notes)
    held = {place for each in long_notes(short, FIGURES) for place in each.places}
    assert held == {0, 1, 2, 3}


def test_a_long_rest_parts_what_is_held_together() -> None:
    """Notes before and after twenty seconds of rest are not of one day."""
    notes = notes_of("A5:1/1 r:8/1 B5:1/1 C6:1/1 D6:1/1", 100)
    assert "A5 B5" not in {names(notes, held)[:5] for held in long_notes(notes, FIGURES)}


def test_soft_attacks_on_high_notes_are_out_of_a_rest() -> None:
    """Not those within a phrase; none that is slurred, loud or easy: D6 is none in p, one in pp."""
    line = f"p C6:1/4 D6:1/4 E6:1/2 r:1/4 F6:1/4 r:1/4 C6:1/4 f r:1/4 G6:1/4 {RUN} p r:1/4 D6:1/4"
    notes = notes_of(line)
    assert [names(notes, held) for held in beginnings(notes, [], FIGURES)] == ["F6"]
    notes = notes_of(line.replace("p r:1/4 D6", "pp r:1/4 D6"))
    assert [names(notes, held) for held in beginnings(notes, [], FIGURES)] == ["F6 D6"]


def test_high_staccato_in_p_is_begun_after_what_comes_in() -> None:
    """F#6 and A6 within a phrase, after E4 out of a rest; neither in f nor without the dots."""
    for level, dots, found in (
        ("p", ("staccato",), ["E4", "F#6 A6"]),
        ("p", (), ["E4"]),
        ("f", ("staccato",), ["E4"]),
    ):
        notes = notes_of(f"p {RUN} r:1/1 E4:1/1 {RUN} {RUN} {RUN} {RUN} {level} F#6:1/4 C6:1/4 A6:1/4 C6:1/4")
        short = [
            replace(note, articulations=dots) if note.pitch.name in ("F#6", "A6") else note for note in notes
        ]
        assert [names(tuple(short), held) for held in beginnings(short, [], FIGURES)] == found


def test_beginnings_are_soft_and_of_a_level_that_is_told() -> None:
    """Low and high ones, what comes in cold first; none while it grows, nor where the level is in doubt."""
    notes = notes_of(f"p A5:1/1 r:1/1 B4:1/4 {RUN} r:9/1 D6:1/4 {RUN} r:1/1 f E6:1/4")
    assert [names(notes, held) for held in beginnings(notes, entering(notes), FIGURES)] == ["D6", "B4"]
    doubt = [replace(note, dynamic_sure=False, dynamic_mark="") for note in notes]
    assert beginnings(doubt, entering(doubt), FIGURES) == ()
    said = [replace(notes[0], words=("cresc.",)), *notes[1:]]
    assert beginnings(said, entering(said), FIGURES) == ()


def test_low_and_high_ones_come_first_and_no_note_twice() -> None:
    """Of five groups as long as each other the low one, the high one, then the middle; G5 and F5 are easy."""
    groups = ("A5:1/2 B5:1/2", "G5:1/2 F5:1/2", "C5:1/2 D5:1/2", "E4:1/2 G4:1/2", "E6:1/2 D6:1/2")
    notes = notes_of("mf " + "".join(f" {group} {' '.join([RUN] * 5)}" for group in groups), 80)
    found = [names(notes, held) for held in long_notes(notes, FIGURES)]
    assert found == ["E4 G4", "E6 D6", "C5 D5", "A5 B5"]


def test_a_plan_holds_notes_of_a_cell_only_to_learn_a_grip() -> None:
    """A hard run with long low notes at its end: those are held, of the run the highest note alone."""
    hard = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5 G#5 F#5 E5 D5"
    line = f"{hard} {hard} E4:1/1 G4:1/1 B4:1/1 D5:1/1"
    plan: Plan = practise(barred(line, 120), flute(), time=PracticeTime(20, 5))
    held = [study for day in plan.days for study in day.studies if not study.quarters and "(" in study.about]
    assert plan.cells
    assert held
    long = [study for study in held if study.way == "tone"]
    assert {name for study in long for name in study.about.strip("()").split()} == {"E4", "G4", "B4", "D5"}
    assert {study.about for study in held if study not in long} <= {"(D6)", "(A6)"}  # the first, the highest


def told(line: str) -> list[tuple[bool, str]]:
    """What days open with, in their order."""
    notes = notes_of(line)
    return [(begins, names(notes, held)) for begins, held in openings(notes, entering(notes, 8), FIGURES)]


def test_what_is_feared_comes_first() -> None:
    """The top note, which comes again; the soft low opening, what is beside it is held on another day."""
    line = f"p E4:1/2 G4:1/2 {RUN} f A6:1/1 {RUN} p r:1/1 F6:1/4 {RUN}"
    assert told(line) == [(False, "A6"), (True, "E4"), (False, "G4"), (True, "F6"), (False, "A6")]
    assert told(f"p E4:1/1 {RUN}") == [(True, "E4")]


def test_a_course_opens_with_no_soft_note_of_the_highest() -> None:
    """A6 in pp is begun after the low notes were held; nor is it held on another day."""
    line = f"f E4:1/1 {RUN} {RUN} {RUN} {RUN} r:1/1 pp A6:1/4 r:3/4 {RUN}"
    assert told(line) == [(False, "E4"), (True, "A6")]
    assert told(line.replace("A6", "F6")) == [(True, "F6"), (False, "E4")]


def test_the_highest_note_is_held_however_short() -> None:
    """B6 and A6 in staccato quarters, in one row; below them only what lasts and is near."""
    notes = tuple(
        replace(note, articulations=("staccato",)) if note.pitch.name in ("B6", "A6") else note
        for note in notes_of(f"f {RUN} B6:1/4 C6:3/4 {RUN} {RUN} {RUN} {RUN} A6:1/4 C6:3/4 G6:1/1")
    )
    assert [names(notes, held) for held in high_notes(notes, FIGURES)] == ["B6 A6 G6"]


def test_what_passes_is_no_high_note() -> None:
    """G6 as a sixteenth of a run; as an eighth it is one, and as a sixteenth after a rest."""
    for bar, found in (
        ("f E6 F6 G6 F6 E6:3/4", []),
        ("f E6:1/8 G6:1/8 E6:3/4", ["G6"]),
        ("f E6:1/8 r:1/16 G6 E6:3/4", ["G6"]),
    ):
        notes = notes_of(f"{RUN} {bar} {RUN}")
        assert [names(notes, held) for held in high_notes(notes, FIGURES)] == found


def test_the_highest_notes_are_in_one_row_wherever_they_stand() -> None:
    """A6 in pp and B6 in f; where A6 is also held in f that one."""
    line = f"pp (F#6:3/8 A6:1/8) r:1/2 f {RUN} {RUN} {RUN} {RUN} B6:1/2 r:1/2 {RUN} {RUN} {RUN} {RUN}"
    for more, found in (("", ["A6 B6"]), (" A6:1/1", ["B6 A6"])):
        notes = notes_of(line + more)
        assert [names(notes, held) for held in high_notes(notes, FIGURES)] == found


def test_a_short_rest_within_a_phrase_makes_no_low_beginning() -> None:
    """B4 in p after a quarter's rest at 100 begins, after an eighth's it does not; F6 after either."""
    for rest, found in ((Fraction(1, 4), ["B4", "F6"]), (Fraction(1, 8), ["F6"])):
        for name in ("B4", "F6"):
            notes = notes_of(f"p {RUN} r:{rest} {name}:1/2 r:{1 - rest - Fraction(1, 2)} {RUN}")
            told = [names(notes, held) for held in beginnings(notes, [], FIGURES)]
            assert told == ([name] if name in found else [])


def test_easy_notes_that_enter_are_not_begun() -> None:
    """A5 after two bars is left out, and loud ones; E6 and B4 in p are not."""
    notes = notes_of(f"p {RUN} r:2/1 A5:1/4 {RUN} r:2/1 E6:1/4 {RUN} r:2/1 B4:1/4 {RUN} f r:2/1 G6:1/4 {RUN}")
    found = {names(notes, held) for held in beginnings(notes, entering(notes), FIGURES)}
    assert found == {"E6 B4"}


def test_soft_notes_of_the_highest_are_begun_an_octave_lower_first() -> None:
    """G6 in p is named so, E6 beside it is not; E6 alone has no such word."""
    for line, found in (
        ("p r:2/1 E6:1/4 r:3/4 G6:1/4 r:3/4", "(E6 G6, p; G6 first an octave lower)"),
        ("p r:2/1 E6:1/4 r:3/4", "(E6, p)"),
    ):
        notes = notes_of(f"f {RUN} {line} {RUN}")
        lengths = StudyLengths(notes, 20, FIGURES)
        opens = openings(notes, entering(notes), FIGURES)
        study = DayOpening(notes, opens, 1, Course(), practice_tables(), lengths, 1).held(5.0)
        assert study
        assert (study.way, study.about) == ("starts", found)


def test_the_level_is_told_as_printed() -> None:
    """ppp, which is read as pp, until the next mark."""
    notes = notes_of(f"pp r:1/4 E4:1/4 r:1/2 {RUN} E4:1/4")
    for mark, level in (("ppp", "ppp"), ("pp", "pp"), ("", "pp")):
        marked = (replace(notes[0], dynamic_mark=mark), *notes[1:])
        lengths = StudyLengths(marked, 20, FIGURES)
        opens = openings(marked, (0,), FIGURES)
        study = DayOpening(marked, opens, 1, Course(), practice_tables(), lengths, 1).held(5.0)
        assert study
        assert (study.way, study.about) == ("starts", f"(E4, {level})")


def test_the_highest_above_g6_is_held_however_short() -> None:
    """B6 of a run in f on the first day, before all else; a staccato G6 never."""
    line = f"p C6:1/2 D6:1/2 {RUN} r:2/1 E4:1/4 {RUN} G6:1/2 {RUN} p B4:1/2 A4:1/2 {RUN} {{}} {RUN}"
    notes = notes_of(line.format("f B6:1/16"), 120)
    found = [names(notes, held) for _, held in openings(notes, entering(notes), FIGURES)]
    assert found == ["B6", "E4", "B4 A4", "C6 D6", "G6", "B6"]
    notes = notes_of(f"f {RUN} G6:1/8 {RUN}")
    assert [names(notes, held) for held in high_notes(notes, FIGURES)] == ["G6"]
    short = tuple(replace(note, articulations=("staccato",)) for note in notes)
    assert high_notes(short, FIGURES) == ()


def test_easy_notes_are_held_only_where_there_is_little_else() -> None:
    """G5 in f for two seconds beside two groups is left out; beside one group, or in p, it is held."""
    other = f"f D4:1/1 {' '.join([RUN] * 6)}"
    line = f"f {RUN} E6:1/1 {' '.join([RUN] * 6)} {other} G5:1/1 {RUN}"
    for text, found in (
        (line, ["E6", "D4"]),
        (line.replace(other, ""), ["E6", "G5"]),
        (line.replace("G5:1/1 G", "p G5:1/1 G"), ["G5", "E6", "D4"]),
    ):
        notes = notes_of(text, 120)
        assert {names(notes, held) for held in long_notes(notes, FIGURES)} == {*found}


def test_a_soft_line_waits_before_it_goes_on() -> None:
    """Low notes far away come before the second half of a descending line in p."""
    line = "p Eb6:1/2 D6:1/2 C#6:1/2 C6:1/2 Bb5:1/2 A5:1/2 G5:1/2 F5:1/2"
    notes = notes_of(f"{line} f {' '.join([RUN] * 6)} D4:3/4 E4:3/4 r:1/2 {RUN}")
    found = [names(notes, held) for held in long_notes(notes, FIGURES)]
    assert found == ["Eb6 D6 C#6 C6", "D4 E4", "Bb5 A5 G5 F5"]


def test_long_notes_from_f6_on_come_with_the_highest() -> None:
    """G#6 and F#6 in f beside A6; none more than a phrase away; not G6 that is held longer in p."""
    line = f"f G6:1/2 G#6:1/2 F#6:1/1 {RUN} A6:1/1 p G6:1/1 f {{}} F6:1/1"
    for more, found in (("", "G#6 F#6 A6 F6"), (" ".join([RUN] * 20), "G#6 F#6 A6")):
        notes = notes_of(line.format(more))
        assert names(notes, high_notes(notes, FIGURES)[0]) == found
    assert "F#6" not in " ".join(names(notes, held) for held in long_notes(notes, FIGURES, high=[90]))


def test_a_high_note_that_is_repeated_lasts() -> None:
    """Four halves on F6 in ff at 176, as one that is held; not four on F6 and D6 in turn."""
    for line, found in (("F6:1/2 F6:1/2 F6:1/2 F6:1/2", ["F6"]), ("F6:1/2 D6:1/2 F6:1/2 D6:1/2", [])):
        notes = notes_of(f"ff {RUN} {line} {RUN}", 176)
        assert [names(notes, held) for held in long_notes(notes, FIGURES)] == found


def test_what_is_begun_shortly_is_held_where_it_lasts() -> None:
    """E6 in staccato pp, and beside C6 in p, long."""
    for length, found in (("1/8 r:3/8", "C6 E6"), ("1/2", "C6")):
        notes = notes_of(f"p C6:1/1 E6:1/1 f {' '.join([RUN] * 6)} r:2/1 pp E6:{length} r:1/2 {RUN}")
        held = [
            names(notes, each) for begins, each in openings(notes, entering(notes), FIGURES) if not begins
        ]
        assert held[0] == found


def test_where_few_notes_are_exposed_others_that_last_are_held() -> None:
    """D5 in f after one high note, no more than that; none beside two groups."""
    line = f"f {RUN} D5:1/2 r:1/2 {' '.join([RUN] * 6)} E5:1/2 r:1/2 {RUN} A6:1/4 {RUN}"
    for text, found in ((line, ["A6", "D5", "A6"]), (f"{line} D4:1/1 {RUN}", ["A6", "D4", "A6"])):
        notes = notes_of(text)
        assert [names(notes, held) for _, held in openings(notes, (), FIGURES)] == found


def opened_on(days: int, notes: tuple[Note, ...], tables: PracticeTables, minutes: float = 20) -> list[str]:
    """The way and the notes that each day opens with."""
    course, found = Course(), []
    opens = openings(notes, entering(notes), tables.figures)
    for day in range(1, days + 1):
        lengths = StudyLengths(notes, minutes, tables.figures)
        study = DayOpening(notes, opens, day, course, tables, lengths, days - day + 1).held(5.0)
        course = course.after(day, [study] if study else [])
        found.append(f"{study.way} {study.about}" if study else "")
    return found


def test_on_the_piccolo_long_notes_come_again() -> None:
    """One that is begun is held long, not two days running; two groups in turn; on the flute none again."""
    piccolo, flute_tables = tables_of_flute("piccolo", practice_tables()), practice_tables()
    one = notes_of(f"f {RUN} p r:2/1 B4:1/2 f {RUN}")
    assert opened_on(4, one, flute_tables) == ["starts (B4, p)", "", "", ""]
    assert opened_on(6, one, piccolo) == ["starts (B4, p)", "", "soft (B4, p)", "", "", ""]
    two = notes_of(f"f {RUN} p r:2/1 B4:1/2 f {' '.join([RUN] * 6)} E5:1/1 {RUN}")
    found = opened_on(4, two, piccolo)
    assert found == ["starts (B4, p)", "tone (E5)", "soft (B4, p)", "tone (E5)"]


def test_a_high_note_is_held_on_the_first_day_long_or_short() -> None:
    """G6 of two seconds, and a quarter."""
    for length in ("1/1", "1/4"):
        notes = notes_of(f"f {RUN} G6:{length} {RUN}")
        assert opened_on(2, notes, practice_tables()) == ["high (G6)", ""]


def test_the_highest_notes_come_once_more() -> None:
    """Not the day after; on the last day instead of others; not where A6 is begun softly."""
    tables, low = practice_tables(), f"{RUN} {RUN} {RUN} {RUN} {RUN}"
    notes = notes_of(f"f A6:1/2 r:1/2 {RUN}")
    assert opened_on(4, notes, tables) == ["high (A6)", "", "high (A6)", ""]
    held = f" {low} ".join(("f E4:1/1", "F#6:1/1", "Eb6:1/1", "Bb4:1/1"))
    for days in (4, 5):
        found = opened_on(days, notes_of(f"f A6:1/2 r:1/2 {low} {held}"), tables)
        assert found[0] == found[-1] == "high (A6)"
        assert len({*found}) == days - 1
    notes = notes_of(f"f A6:1/2 r:1/2 {low} p r:2/1 A6:1/4 r:3/4 {RUN}")
    assert opened_on(4, notes, tables) == ["high (A6)", "starts (A6, p; A6 first an octave lower)", "", ""]


def test_what_a_drill_has_an_octave_lower_is_held_on_another_day() -> None:
    """A6 B6 while a cell of these two begins so; nor do they come again while they are drilled."""
    notes = notes_of(f"f (A6:1/2 B6:1/2) {RUN}")
    lengths, opens = StudyLengths(notes, 20, FIGURES), openings(notes, (), FIGURES)
    had = Course().after(1, [Stretch(0, 1, ("1", "1"), 0.0, 0, 1, 1.5, "high")])
    pair = frozenset(note.pitch.number for note in notes[:2])
    for day, course, drilled, lower, held in (
        (1, Course(), pair, frozenset(), True),
        (1, Course(), pair, pair, False),
        (3, had, frozenset(), frozenset(), True),
        (3, had, pair, frozenset(), False),
    ):
        opening = DayOpening(notes, opens, day, course, practice_tables(), lengths, 4 - day, drilled, lower)
        assert (opening.held(5.0) is not None) is held


def test_a_short_day_holds_no_more_than_two_notes() -> None:
    """Of four soft ones the day of fifteen minutes has two, high ones are all there."""
    notes = notes_of(f"p C6:1/1 D6:1/1 E6:1/2 B5:1/2 f {RUN}")
    assert opened_on(1, notes, practice_tables(), 20) == ["soft (C6 D6 E6 B5, p)"]
    assert opened_on(1, notes, practice_tables(), 15) == ["soft (C6 D6, p)"]
    notes = notes_of(f"f G6:1/1 A6:1/1 B6:1/1 {RUN}")
    assert opened_on(1, notes, practice_tables(), 15) == ["high (G6 A6 B6)"]


def test_what_grows_while_it_lasts_is_not_held_softly() -> None:
    """Under cresc. E6 in p is held from soft to loud; without it softly."""
    notes = notes_of(f"p E6:1/1 f {RUN}")
    growing = (replace(notes[0], words=("cresc.",)), *notes[1:])
    assert opened_on(1, notes, practice_tables()) == ["soft (E6, p)"]
    assert opened_on(1, growing, practice_tables()) == ["tone (E6)"]
    for at, found in ((Fraction(1, 2), "tone (E6)"), (Fraction(7, 8), "soft (E6, p)")):
        late = (replace(notes[0], during=((at, "cresc."),)), *notes[1:])
        assert opened_on(1, late, practice_tables()) == [found]


def test_on_the_piccolo_a_staccato_note_is_not_held_with_the_high_ones() -> None:
    """D6 beside E6, with a dot and without."""
    piccolo = tables_of_flute("piccolo", practice_tables())
    notes = notes_of(f"p E6:1/1 D6:1/4 r:3/4 f {RUN}")
    short = tuple(
        replace(note, articulations=("staccato",)) if note.pitch.name == "D6" and place < 2 else note
        for place, note in enumerate(notes)
    )
    assert opened_on(1, notes, piccolo) == ["soft (E6 D6, p)"]
    assert opened_on(1, short, piccolo) == ["soft (E6, p)"]
