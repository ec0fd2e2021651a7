"""What a strict teacher asked of a plan: tempos of each section, ways that fit the music, a sure drone."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES, drills_in

from gripway.model.passage import Note, Passage
from gripway.page.sheet.outlook_words import is_tongued
from gripway.page.sheet.pace_words import tempos_words
from gripway.page.sheet.sheet_model import SheetDrill
from gripway.practice.plan.filled_day import long_rests_after
from gripway.practice.plan.plan import tempos_of_stretch
from gripway.practice.ways.drone import drone_of
from gripway.practice.ways.way_conditions import suits
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

LINE = "E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6 F#6 G#6 A6 G#6 F#6 E6 D6"


def notes_of(line: str, tempo: float) -> tuple[Note, ...]:
    """Notes in bars of a whole note."""
    return barred(line, tempo).notes


def suited(way: str, notes: tuple[Note, ...]) -> bool:
    """Whether a way is for notes."""
    return suits(TABLES.ways[way], notes, FIGURES)


def two_tempos() -> Passage:
    """A bar at quarter = 200, then two in 6/8 at dotted quarter = 100."""
    notes = notes_of(" ".join([LINE] * 3), 200)
    late = [replace(note, metre=(6, 8), length_ms=note.length_ms * 4 / 3) for note in notes[16:]]
    first = [replace(note, metre=(4, 4)) for note in notes[:16]]
    moved = [replace(n, onset_ms=1200 + (n.onset_ms - 1200) * 4 / 3) for n in late]
    return replace(played(LINE, 120), notes=(*first, *moved))


def test_each_section_has_its_share_of_its_own_tempo_in_its_own_beat() -> None:
    """Quarter = 200, then 6/8 at quarter = 150: at a share both are told, each in its beat."""
    plan = practise(two_tempos(), flute(), time=PracticeTime(20, 3))
    passage = plan.days[0].passage
    assert passage is not None
    first, second = tempos_of_stretch(plan, passage, FIGURES)
    assert (first.quarters, second.quarters) == (round(200 * passage.share), round(150 * passage.share))
    assert (first.beat, second.beat, second.bar) == (1, Fraction(3, 2), "2")
    told = tempos_words((first, second))
    assert told.startswith("quarter = ")
    assert ", from bar 2 dotted quarter = " in told


def test_triplets_have_tonguing_of_three() -> None:
    """For them t k t, k t k; plain notes have t k."""
    triplets = notes_of(
        " ".join(
            f"{name}:1/24"
            for name in ["A5", "B5", "C6", "D6", "E6", "D6", "C6", "B5", "A5", "B5", "C6", "D6"]
        ),
        120,
    )
    plain = notes_of("A5 B5 C6 D6 E6 D6 C6 B5 A5 B5 C6 D6", 120)
    assert suited("triple", triplets)
    assert not suited("triple", plain)
    assert suited("double", plain)
    assert not suited("double", triplets)


def test_a_quiet_line_is_no_study_in_speed() -> None:
    """Slurred eighths, p, at quarter = 140: no cells, at its tempo at once."""
    line = " ".join(f"{name}:1/8" for name in ["G5", "A5", "B5", "C6", "D6", "C6", "B5", "A5"])
    quiet = notes_of(f"p ({line})", 140)
    plan = practise(replace(played(line, 140), notes=quiet), flute(), time=PracticeTime(10, 3))
    assert not plan.cells
    assert all(day.passage and day.passage.share == 1 for day in plan.days)


def test_no_drone_where_the_tonic_is_not_sure() -> None:
    """Not on the fourth degree, not on the relative minor of a major key, not without a tonic at an end."""
    tonic = "C5:1/4 E5:1/4 G5:1/4 E5:1/4 C5:1/4 D5:1/8 E5:1/8 G5:1/2"
    assert drone_of(notes_of(tonic, 60), FIGURES)
    fourth = "F5:1/4 A5:1/4 C6:1/4 A5:1/4 F5:1/4 G5:1/8 A5:1/8 C6:1/2"
    assert drone_of(notes_of(fourth, 60), FIGURES) is None
    either = "C5:1/4 A5:1/4 E5:1/4 A5:1/4 C5:1/4 E5:1/4 C6:1/4 E5:1/4"
    assert drone_of(notes_of(either, 60), FIGURES) is None
    hanging = "E5:1/4 C5:1/4 G5:1/4 E5:1/4 G5:1/4 C5:1/8 E5:1/8 G5:1/2"
    assert drone_of(notes_of(hanging, 60), FIGURES) is None
    minor = "A5:1/4 C6:1/4 E6:1/4 C6:1/4 A5:1/4 B5:1/8 C6:1/8 E6:1/2"
    assert drone_of(notes_of(minor, 60), FIGURES) is None
    led = drone_of(notes_of(f"{minor} G#5:1/4 B5:1/4 E6:1/2", 60), FIGURES)
    assert led is not None
    assert led.name == "A"


def test_no_long_rest_just_before_the_last_item() -> None:
    """Of three items of 10, 10 and 10 minutes the rest comes after the first."""
    assert long_rests_after((10, 10, 10), FIGURES) == (0,)
    assert long_rests_after((10, 10, 10, 10), FIGURES) == (1,)
    plan = practise(played(" ".join([LINE] * 4), 160), flute(), time=PracticeTime(30, 5))
    for day in plan.days:
        assert not day.long_rests or day.long_rests[-1] < len(day.lasting) - 2


def test_every_cell_that_is_begun_is_met_on_the_last_day() -> None:
    """What there is no time to meet again has no drills: its bar is worked on."""
    passage = barred(" ".join([LINE, "D6 F#6 D6 A5 C#6 D6 A6 B6"] * 2), 160)
    for minutes, days in ((10, 3), (15, 3), (20, 4)):
        plan = practise(passage, flute(), time=PracticeTime(minutes, days))
        last = {item.cell for item in plan.days[-1].items}
        assert last == set(range(len(plan.cells)))
    few = practise(passage, flute(), time=PracticeTime(15, 3, cells=6))
    assert len(few.cells) < 6
    assert few.left


def test_slur_everything_first_is_said_where_something_is_tongued() -> None:
    """A drill that is slurred throughout has nothing to slur."""
    slurred, tongued = (drills_in(played(line, 160)) for line in (f"({LINE})", LINE))
    assert any(is_tongued(drill) for _, drill in tongued)
    assert not any(is_tongued(drill) for _, drill in slurred if drill.kind == "pair")


def test_an_unusual_grip_of_a_drill_is_told_in_words() -> None:
    """F#6 around a cell of standard grips: where it is first drawn it is told, and nowhere twice."""
    plan = practise(played("(D6 E6 F#6 A6) D6 E6 F#6 G#6 A6", 220), flute(), time=PracticeTime(20, 3))
    drawn = [block for day in plan.days for block in day_page(plan, day).blocks]
    assert any(block.shown for block in drawn if isinstance(block, SheetDrill))
    for day in plan.days:
        told = [block for block in day_page(plan, day).blocks if isinstance(block, SheetDrill)]
        for drill in told:
            assert ("not the standard grip" in drill.facts) is bool(drill.shown)
            for place in drill.shown:
                assert drill.grips[place].short in drill.facts
