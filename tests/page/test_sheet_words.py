"""Words of the sheet that depend on the music: slurred bars, a lifted little finger, the piccolo."""

from dataclasses import replace

from tests.oracles.passages import played
from tests.oracles.practice import TABLES

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.page.sheet.outlook_words import AS_PRINTED, EACH_TEMPO, FIVES, SLURRED, how_of, lifted_words
from gripway.practice.ways.whole_passage import Stretch
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import practise


def test_a_bar_that_is_slurred_is_not_slurred_first() -> None:
    """It is clean at each tempo; a tongued one is slurred first, as the table of ways has it."""
    written = TABLES.ways["place"].instruction
    assert SLURRED in written
    assert AS_PRINTED in written
    for text, begins in (("(E6 F#6 G#6 A6)", EACH_TEMPO), ("E6 F#6 G#6 A6", SLURRED)):
        notes = played(text, 120).notes
        bar = Stretch(0, 3, ("1", "1"), 1.0, 120, 3, 2.0, way="place")
        told = how_of(bar, notes)
        assert told.startswith(begins)
        assert (AS_PRINTED in told) is (begins == SLURRED)
        assert how_of(replace(bar, way="sections"), notes) == TABLES.ways["sections"].instruction


def test_a_standard_grip_without_the_usual_little_finger_is_named() -> None:
    """E6 has two standard rows (grips/concert-flute.csv): the one for held notes lifts the little finger."""
    for grip, told in (("T 1 2 | 1 2", True), ("T 1 2 | 1 2 Eb", False)):
        wishes = Wishes(pins=(Pin(1, Grip.parse(grip)),))
        plan = practise(played("D#6 E6 F#6 E6", 150), flute(), wishes)
        words = " ".join(lifted_words(planned.cell) for planned in plan.cells)
        assert ("E6 is here without the little finger" in words) is told
        days = [day for day in plan.days if day.items]
        assert all(("E6, held, without Eb" in str(day_page(plan, day))) is told for day in days)


def test_tone_and_attacks_stay_on_the_piccolo() -> None:
    """Only finger drills go to the concert flute, on days that have some."""
    plan = practise(played("E5 F#5 G#5 A5", 200), flute("piccolo"))
    drilled, plain = plan.days[0], replace(plan.days[0], items=())
    assert drilled.items
    for day, told in ((drilled, True), (plain, False)):
        facts = day_page(plan, day).facts
        assert ("; finger drills on the concert flute;" in facts) is told
        assert "; tone and attacks on the piccolo, earplugs in" in facts


def test_fives_in_a_rhythm_are_told_how_to_be_said() -> None:
    """Beside the words for any rhythm; not where there are none."""
    for beat, told in (("A5:1/20 B5:1/20 C6:1/20 D6:1/20 C6:1/20 ", True), ("A5:3/16 B5:1/16 ", False)):
        notes = played(beat * 3, 60).notes
        study = Stretch(0, len(notes) - 1, ("1", "1"), 1.0, 60, 3, 2.0, way="rhythm")
        assert how_of(study, notes).endswith(FIVES) is told
