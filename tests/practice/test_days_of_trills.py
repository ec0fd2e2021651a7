"""When the drills of a trill come, and what is played of its bar before them."""

from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import TABLES
from tests.practice.test_trill_cells import OTHERS, with_trill

from gripway.cli.text.practise_text import practise_text
from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.page.sheet.sheet_model import SheetPause
from gripway.page.sheet.trill_words import untrilled_words
from gripway.practice.plan.course import NO_BARS
from gripway.practice.plan.easy_cells import is_ordinary_trill
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise


def test_a_hard_trill_has_all_its_drills_before_the_last_day_begun_further_down() -> None:
    """What would be new on the last day of five comes on the third, below where the day before ended."""
    passage = with_trill(f"{OTHERS} E6:1/4 C#5:1/4 F6:1/1 E6:1/4", 7, "G6", tempo=130)
    plan = practise(passage, flute(), time=PracticeTime(30, 5))
    (cell,) = [place for place, each in enumerate(plan.cells) if each.cell.trill]
    items = [[item for item in day.items if item.cell == cell] for day in plan.days]
    met = {item.drill for day in items[:-1] for item in day}
    assert met == {*range(len(plan.cells[cell].drills))}
    first = {drill: next(item for day in items for item in day if item.drill == drill) for drill in met}
    ended = max(item.end for item in items[1])
    assert items[2]
    assert all(first[item.drill] is item and item.start < ended for item in items[2])


def test_a_row_before_the_drills_of_a_trill_leaves_it_out() -> None:
    """Bars with a trill apart are worked on without it, on the sheet too, until the last of its drills."""
    line = barred(
        f"{OTHERS} " * 4 + "E6:1/4 F#6 G6 F#6 E6 F6:1/2 r:1/2 " + "(D6 E6 F#6 G#6 A6:1/4) E6:1/4 " * 8, 120
    )
    at = next(at for at, note in enumerate(line.notes) if note.pitch.name == "F6")
    trill = Ornament("trill", upper=Pitch.parse("G6"))
    played = [replace(note, ornament=trill) if at == place else note for place, note in enumerate(line.notes)]
    plan = practise(replace(line, notes=tuple(played)), flute(), time=PracticeTime(30, 5))
    (cell,) = [place for place, each in enumerate(plan.cells) if each.cell.trill]
    assert [note.index for note in plan.trills_apart] == [at]
    first_days: dict[int, int] = {}
    for day in plan.days:
        for item in day.items:
            if item.cell == cell:
                first_days.setdefault(item.drill, day.day)
    assert min(first_days.values()) < max(first_days.values())
    told = 0
    for day in plan.days:
        for work in day.studies:
            words = untrilled_words(plan, day, work)
            has = work.way not in NO_BARS and work.first <= at <= work.last
            assert bool(words) is (has and day.day < max(first_days.values()))
            told += bool(words)
            if words:
                lines = [each for each in day_page(plan, day).blocks if isinstance(each, SheetPause)]
                assert not any(each.trills for each in lines if words in each.words)
                sheet = " ".join(
                    each.words for each in day_page(plan, day).blocks if isinstance(each, SheetPause)
                )
                assert words in sheet
                assert words in " ".join(practise_text(plan, flute()).split())
    assert told


def test_two_drills_to_and_fro_of_an_ordinary_trill_come_on_two_days() -> None:
    """A trill of two fingers with known grips: measured on one day, even on the next, never both on one."""
    plan = practise(
        with_trill("E5:1/4 G5 r:1/2 Ab5:1/1 r:1/4 E5", 2, "Bb5"), flute(), time=PracticeTime(30, 5)
    )
    (cell,) = [place for place, each in enumerate(plan.cells) if each.cell.trill]
    assert is_ordinary_trill(plan.cells[cell], TABLES.figures)
    kinds = [drill.kind for drill in plan.cells[cell].drills]
    days = [[kinds[item.drill] for item in day.items if item.cell == cell] for day in plan.days]
    assert [each for each in days if each] == [["measured"], ["even"]]
    assert not days[-1]
