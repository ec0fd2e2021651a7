"""A cell has few drills, and what every pupil has never leads."""

from tests.oracles.passages import barred, played, with_ornament
from tests.oracles.practice import FIGURES

from gripway.page.sheet.outlook_words import ornament_words, trill_words
from gripway.page.sheet.practice_fit import HARDEST_RANK
from gripway.page.sheet.sheet_model import SheetDrill, SheetPause
from gripway.practice.drills.few_drills import FAMILIES
from gripway.practice.drills.last_stages import without_last_stages
from gripway.practice.plan.plan import is_familiar_cell
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

RUN = "E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6 F#6 G#6 A6 G#6 F#6 E6 D6"


def test_a_cell_has_few_drills_and_one_of_each_family() -> None:
    """A run at 160: no drill with the note before beside one with both, the bar in the part kept."""
    plan = practise(played(RUN, 160), flute(), time=PracticeTime(30, 7))
    for planned in plan.cells:
        kinds = [drill.kind for drill in planned.drills]
        assert len(kinds) <= FIGURES.most_cell_drills
        assert all(sum(kind in family for kind in kinds) <= most for family, most in FAMILIES)
        assert planned.cell.trill or "overlap" in kinds


def test_a_plain_scale_never_leads() -> None:
    """E6 down to B5 in time, and one fork of the third octave: that comes first, though it is rarer."""
    scale = "(E6 D6 C6 B5) r:1/4"
    plan = practise(played(f"{scale} {scale} {scale} {scale} (F#6 G#6) r:1/4 {scale}", 140), flute())
    familiar = [is_familiar_cell(planned.cell, FIGURES) for planned in plan.cells]
    assert plan.cells[0].cell.pitches[-2:] == ("F#6", "G#6")
    assert familiar == sorted(familiar)


def test_the_music_of_the_hardest_cell_goes_last() -> None:
    """One drill a day keeps its music as long as anything else can go."""
    plan = practise(played(RUN, 160), flute(), time=PracticeTime(30, 5))
    for day in (each for each in plan.days if each.items):
        ranks = [block.rank for block in day_page(plan, day).blocks if isinstance(block, SheetDrill)]
        assert ranks.count(HARDEST_RANK) == 1


def test_a_wide_trill_is_told_as_the_key_has_it_once() -> None:
    """D6 to E#6 in C major: D6 to E6 is likelier, with its grips; on the first day only."""
    passage = with_ornament(played("C6:1/2 D6:1/2 C6:1/2", 60), 1, "trill", "E#6")
    plan = practise(passage, flute())
    assert "D6 to E6 in bar" in ornament_words(plan)
    assert "check the sign" not in trill_words(plan, first=False)


def test_high_notes_of_a_hard_bar_without_drills_have_their_grips() -> None:
    """A bar of G#6, A6 and B6 between forks that are drilled: its grips are told there."""
    forks = " ".join(["F#6 E6 F#6 D6"] * 4)
    passage = barred(f"{forks} {' '.join(['A6 B6 A6 G#6'] * 4)} {forks}", 150)
    plan = practise(passage, flute(), time=PracticeTime(20, 4, cells=1))
    lines = [
        block
        for day in plan.days
        for block in day_page(plan, day).blocks
        if isinstance(block, SheetPause) and block.is_hard
    ]
    told = {name for line in lines for trill in line.trills for name, _ in trill.hands}
    assert told
    assert told <= {"B6", "A6", "G#6"}


def test_a_run_is_not_built_up_to_what_its_bar_has() -> None:
    """The last group of "add a note", six notes, is in the bar that comes back the same day: there alone."""
    line = "B5:1/1 G5:1/2 r:3/16 (C6 D6 E6 F#6 D6) G6:1/2 r:1/2 G5:1/2"
    (planned, *_) = practise(barred(line, 110), flute(), time=PracticeTime(20, 5)).cells
    added, own = (
        next(drill for drill in planned.drills if drill.kind == kind) for kind in ("added", "overlap")
    )
    groups = ["D6", "G6", "F#6", "D6", "G6", "D6", "E6", "F#6", "D6", "G6"]
    assert [note.pitch.name for note in added.passage.notes] == groups
    assert [note.pitch.name for note in own.passage.notes][-6:] == ["C6", "D6", "E6", "F#6", "D6", "G6"]
    assert len(added.grips) == len(groups)
    assert all(groups[to - 1 : to + 1] == ["E6", "F#6"] for to in added.changes)
    assert [*without_last_stages([added, own])] == [added, own]  # its last group is in no bar now
