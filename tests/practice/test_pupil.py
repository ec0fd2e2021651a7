"""What a pupil reads: excerpts of the part, words instead of notes, grips named, a goal reached early."""

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES

from gripway.asked.wishes import Pin, Wishes
from gripway.cli.text.practise_text import practise_text
from gripway.model.grip import Grip
from gripway.model.passage import BarMetre, Note, Passage, Upbeat
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.sheet_xml import sheet_xml
from gripway.page.sheet.fit_choice import ROOM_MM, fit_for
from gripway.page.sheet.heading_words import heading_of
from gripway.page.sheet.outlook_words import (
    SPARE_LIPS,
    at_tempo_words,
    day_at_tempo,
    early_words,
    first_words,
    music_words,
    other_grips_words,
)
from gripway.page.sheet.practice_drill import DrillDrawer
from gripway.page.sheet.practice_fit import AND_THE_PART, FITS, excerpts_of, is_told, told_of, words_of
from gripway.page.sheet.practice_layout import height_of
from gripway.page.sheet.sheet_model import SheetDrill, SheetPause
from gripway.page.sheet.trill_words import trills_of
from gripway.practice.drills.excerpts import excerpts
from gripway.practice.ways.whole_passage import Stretch, Working
from gripway.practice.ways.whole_passage import played as played_through
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page, plan_sheet
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes, read

DATA = Path(__file__).parents[1] / "data"
LINE = "E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6 F#6 G#6 A6 G#6 F#6 E6 D6"


def bars_of_line(count: int, metre: tuple[int, int] = (4, 4)) -> tuple[Note, ...]:
    """So many bars of sixteenths in one metre."""
    return tuple(replace(note, metre=metre) for note in barred(" ".join([LINE] * count), 160).notes)


def test_excerpts_go_from_all_bars_to_that_of_the_note() -> None:
    """Each has fewer bars than the one before, whole ones, and the note itself."""
    notes = bars_of_line(5)
    found = [each for (each,) in excerpts(notes, 0, len(notes) - 1, 35)]
    assert found[0].bars == ("1", "5")
    assert found[-1].bars == ("3", "3")
    sizes = [len(each.passage.notes) for each in found]
    assert sizes == sorted(set(sizes), reverse=True)
    assert all(each.first <= 35 < each.first + len(each.passage.notes) for each in found)
    assert all(each.passage.notes[0].onset == 0 for each in found)


def bars_in(notes: tuple[Note, ...]) -> list[list[tuple[str, str]]]:
    """First and last bar of each excerpt around note 3, from the most to the fewest."""
    return [[each.bars for each in found] for found in excerpts(notes, 0, len(notes) - 1, 3)]


def test_excerpts_are_cut_at_another_metre_and_not_at_rests() -> None:
    """Bars of 2/4 after 4/4 stand by themselves; bars after empty ones, one or three, go on."""
    notes = bars_of_line(2)
    cut = [[("1", "1"), ("2", "2")], [("1", "1")]]
    assert bars_in((*notes[:16], *(replace(note, metre=(2, 4)) for note in notes[16:24]))) == cut
    for empty in (1, 3):
        apart = (
            *notes[:16],
            *(replace(note, bar=str(2 + empty), onset=note.onset + empty) for note in notes[16:]),
        )
        assert bars_in(apart) == [[("1", str(2 + empty))], [("1", "1")]]
    assert not bars_in(tuple(replace(note, metre=None) for note in notes))


def test_bars_that_are_repeated_are_printed_once() -> None:
    """Two bars twice through: one excerpt of them."""
    once = bars_of_line(2)
    again = [replace(note, onset=note.onset + 2, time_through=2) for note in once]
    assert bars_in((*once, *again)) == [[("1", "2")], [("1", "2")], [("1", "1")]]


def excerpt_of(text: str, *lengths: tuple[str, str], place: int = 0) -> list[list[tuple[str, str]]]:
    """The excerpts of a line whose notes stand in these bars of 4/4, at these places."""
    notes = played(text).notes
    marked = [
        replace(note, bar=number, at=Fraction(at), metre=(4, 4), id=f"P1-{note.id}")
        for note, (number, at) in zip(notes, lengths, strict=True)
    ]
    return [[each.bars for each in found] for found in excerpts(marked, 0, len(marked) - 1, place)]


def test_bars_that_hold_a_tied_note_are_no_empty_bars() -> None:
    """E6 from the half of bar 2 through 3, 4 and the half of 5: no excerpt cuts it, all of it is tied."""
    line = "C6:1/1 D6:1/2 E6:3/1 F#6:1/2 G6:1/1"
    places = (("1", "0"), ("2", "0"), ("2", "1/2"), ("5", "1/2"), ("6", "0"))
    assert excerpt_of(line, *places) == [[("1", "6")], [("1", "5")], [("1", "1")]]
    assert excerpt_of(line, *places, place=3)[-1] == [("2", "5")]


def test_the_last_note_of_an_excerpt_is_printed_whole() -> None:
    """G5 held through two more bars ends in bar 3: these are printed, tied, and named."""
    notes = [replace(note, bar="1", metre=(4, 4)) for note in played("G5:3/1").notes]
    ((found,),) = list(excerpts(notes, 0, 0, 0))
    assert found.bars == ("1", "3")
    text = write_score([Section(found.passage, metre=found.metre)]).data.decode()
    assert text.count("<measure ") == 3
    assert (text.count('<tied type="start"/>'), text.count('<tied type="stop"/>')) == (2, 2)
    assert "<rest" not in text


def test_long_rests_of_an_excerpt_are_engraved_with_their_number() -> None:
    """Five empty bars between two of music are one sign with a 5 (common practice)."""
    notes = bars_of_line(2)
    apart = [*notes[:16], *(replace(note, bar="7", onset=note.onset + 5) for note in notes[16:])]
    ((found,), *_) = excerpts(apart, 0, 31, 3)
    assert found.bars == ("1", "7")
    written = write_score([Section(found.passage, metre=found.metre, first_bar=1)])
    assert "<multiple-rest>5</multiple-rest>" in sheet_xml(read_score(written.data, "excerpt")).text


def test_a_page_with_room_has_bars_of_the_passage() -> None:
    """As many as there is room for, and no more than that."""
    plan = practise(replace(played(LINE, 160), notes=bars_of_line(3)), flute(), time=PracticeTime(10, 3))
    drawer = DrillDrawer(GripSymbols(flute()))
    fits = []
    for day in plan.days:
        page = day_page(plan, day)
        fits.append(fit_for(page, drawer))
        assert height_of(page, drawer, fits[-1]) <= ROOM_MM
    assert any(fit.bars for fit in fits)
    assert "bars 1 to 3:" in plan_sheet(plan, flute())


PLAINEST = ("Look-ahead hold", "Move and stop")
"""What a new cell is met with."""


def test_a_hold_has_its_music_on_its_first_day_and_is_the_first_to_be_told_in_words_later() -> None:
    """A page that is not full has every drill as music; of one that is, what is plainest goes first."""
    plan = practise(played("(E6 F#6 G#6 A6) r:1/1 (D6 C#6 D6 C#6)", 160), flute(), time=PracticeTime(20, 3))
    drawer = DrillDrawer(GripSymbols(flute()))
    holds = []
    for day in plan.days:
        page = day_page(plan, day)
        assert not fit_for(page, drawer).words
        drills = [each for each in page.blocks if isinstance(each, SheetDrill)]
        holds += [(each, drills) for each in drills if each.title == "Look-ahead hold" and not each.shown]
    assert holds
    assert not any(each.words for each, _ in holds)
    assert any(len(drills) > len(PLAINEST) for _, drills in holds)
    for each, drills in holds:
        others = [other.rank for other in drills if other.title not in PLAINEST]
        assert not others or each.rank < max(others)


@pytest.mark.whole
def test_bars_of_the_day_are_printed_before_those_of_the_passage() -> None:
    """Hard bars and sections with their own bars, in their order; the passage from its beginning."""
    passage = read_part("boulanger_matin_flute.musicxml")
    plan = practise(passage, flute(), time=PracticeTime(20, 5))
    drawer = DrillDrawer(GripSymbols(flute()))
    own = 0
    for day in plan.days:
        page = day_page(plan, day)
        fit = fit_for(page, drawer)
        lines = [each for each in page.blocks if isinstance(each, SheetPause) and each.music]
        printed = [line for line in lines if excerpts_of(line, fit)]
        own += sum(not line.is_passage for line in printed)
        if any(line.is_passage for line in printed):
            assert len(printed) == len(lines) or fit.bars[0] == (printed[-1].number, 0)
        for line in printed:
            work = day.works[line.number]
            assert isinstance(work, Stretch)
            assert excerpts_of(line, fit)[0].passage.notes[0].bar == work.bars[0]
    assert own >= 3


def test_every_trill_that_is_worked_on_names_its_grips_and_the_finger_that_moves() -> None:
    """Once on each day whose bars have one, with both grips to be drawn."""
    plan = practise(read_part("boulanger_matin_flute.musicxml"), flute(), time=PracticeTime(20, 5))
    met = 0
    for day in plan.days:
        lines = [each for each in day_page(plan, day).blocks if isinstance(each, SheetPause)]
        told = [trill.words for line in lines for trill in line.trills if len(trill.hands) > 1]
        assert len(told) == len(set(told))
        works = [study for study in day.studies if study not in day.opening]
        within = [study for study in works if any(trills_of(plan.route, study.first, study.last))]
        assert bool(told) >= bool(within)
        for line in lines:
            for trill in (each for each in line.trills if len(each.hands) > 1):
                met += 1
                assert re.search(r"(trills|move together)\.$", trill.words)
                assert [name for name, _ in trill.hands] == re.findall(
                    r"([A-G][#b]*\d) (?:T|\d|\|)", trill.words
                )
    assert met


def read_part(name: str) -> Passage:
    """The passage of a part in the tests' data."""
    return read(DATA / name).passage


def test_a_goal_reached_early_is_told_with_what_to_do() -> None:
    """A line at its tempo before the last day: the first sentences and that day's page say so."""
    plan = practise(played("(D6 E6 F6 D6)", 120), flute(), time=PracticeTime(20, 7))
    day = day_at_tempo(plan)
    assert day is not None
    assert day < 7
    assert f"at its tempo from day {day} on" in first_words(plan, FIGURES)
    assert "tone and line" in early_words(plan, plan.days[day - 1])
    assert early_words(plan, plan.days[-1]) == ""
    short = practise(played(LINE, 200), flute(), time=PracticeTime(10, 2))
    assert day_at_tempo(short) is None
    assert "from day" not in first_words(short, FIGURES)


def test_music_without_hard_changes_says_what_its_days_are_for() -> None:
    """Sound and line always; rhythm, tonguing and dynamics where the days have rows for them."""
    plan = practise(notes("mf G5:1/4 A5:1/4 B5:1/4 A5:1/4 " * 8, tempo=60), flute(), time=PracticeTime(20, 2))
    assert not plan.cells
    assert "so work on sound and line, and end" in first_words(plan, FIGURES)
    study = replace(plan.days[0].passage, way="rhythm")
    louder = replace(plan.days[0].passage, way="contrasts")
    day = replace(plan.days[0], studies=(study, louder))
    assert music_words([day]) == "rhythm, dynamics, sound and line"
    assert "rhythm, dynamics, sound and line, and end" in first_words(replace(plan, days=(day,)), FIGURES)


def test_a_passage_at_its_tempo_on_the_first_day_is_told_so() -> None:
    """Hope is for later days: on the first one it is played so, and slower where it is not clean."""
    plan = practise(played("(D6 E6 F6 D6)", 120), flute(), time=PracticeTime(20, 7))
    at_goal = next(day for day in plan.days if day.passage and day.passage.share >= 1)
    early = replace(plan, days=(replace(at_goal, day=1), *plan.days[-1:]))
    told = at_tempo_words(early)
    assert "from the first day on" in told
    assert "If all goes well" not in told


def test_a_cell_names_the_unusual_grip_that_only_a_drill_has() -> None:
    """D6 pinned to another grip before a cell of standard ones: which drill has which grip is said."""
    pinned = Wishes(pins=(Pin(0, Grip.parse("L1 | Kd Eb")),))
    plan = practise(played("D6:1/8 (E6 F#6) G6:1/4", 120), flute(), pinned, PracticeTime(20, 3))
    (planned,) = plan.cells
    assert all(candidate.usual for candidate in planned.cell.candidates)
    told = other_grips_words(plan, 0, range(len(planned.drills)))
    assert told.startswith("But in 1.4")
    assert told.endswith("D6 is 1 | Kd Eb, not its standard grip.")
    assert "D6 is 1 | Kd Eb, not its standard grip." in " ".join(practise_text(plan, flute()).split())
    assert other_grips_words(plan, 0, ()) == ""


def test_bars_left_out_are_named_in_text_and_sheet() -> None:
    """Bar 2 of two that were asked for has no note."""
    plan = practise(replace(played(LINE, 160), silent_bars=("2",)), flute(), time=PracticeTime(10, 2))
    assert "Bar 2 is left out: no note begins there." in practise_text(plan, flute())
    assert "Bar 2 is left out: no note begins there" in plan_sheet(plan, flute())


def test_an_upbeat_that_was_not_asked_for_is_told_with_the_passage() -> None:
    """In the text, and on the sheet wherever the passage comes."""
    line = played(LINE, 160)
    upbeat = Upbeat((replace(line.notes[0], bar="2", metre=(4, 4)),), Fraction(1, 16))
    plan = practise(replace(line, upbeat=upbeat), flute(), time=PracticeTime(10, 2))
    told = "Its upbeat is in bar 2: take it along."
    assert told in practise_text(plan, flute())
    assert plan_sheet(plan, flute()).count(told) == 2


def test_the_days_come_before_the_drills() -> None:
    """What to do today is read first."""
    text = practise_text(practise(played(LINE, 160), flute(), time=PracticeTime(10, 2)), flute())
    assert text.index("Day 1:") < text.index("Cell 1:")


def test_what_is_new_has_its_words_on_the_fullest_page() -> None:
    """However a page is printed: how to tick, each new kind, what to do in a new row; at least in short.

    Of new drills only one that stands in the part may lose its music, as one of the last.
    """
    plan = practise(read_part("boulanger_matin_flute.musicxml"), flute(), time=PracticeTime(25, 4))
    rows = 0
    met: set[str] = set()
    for day in plan.days:
        page = day_page(plan, day)
        assert ("Boxes" in dict(page.told)) == (day is plan.days[0])
        lines = [each for each in page.blocks if isinstance(each, SheetPause) and each.how]
        rows += len(lines)
        there = [each for each in page.blocks if isinstance(each, SheetDrill)]
        new = [each for each in there if "from your" in each.words and each.label not in met]
        met |= {each.label for each in there}
        for fit in FITS:
            told = told_of(page, fit)
            assert [title for title, _ in told] == [title for title, _ in page.told]
            assert all(
                how.startswith(short[:-1]) for (_, how), (_, short) in zip(page.told, told, strict=True)
            )
            assert all(each.how.partition(";")[0] in words_of(each, fit) for each in lines)
            assert not any(is_told(each, fit) for each in new) or fit.words == AND_THE_PART
    assert rows > 2


def test_loud_high_drills_are_told_to_spare_the_lips_once() -> None:
    """On the first day that has one, and in the text; not where the bar is soft."""
    for level, count in (("f", 1), ("p", 0)):
        line = f"{level} (E6:1/16 F#6 G#6 A6) E6:1/4 D6:1/2 " + "G5:1/4 A5:1/4 B5:1/4 A5:1/4 " * 6
        plan = practise(barred(line, 140), flute(), time=PracticeTime(20, 4))
        pages = [dict(day_page(plan, day).told).get("Loudness", "") for day in plan.days]
        assert sum(told == SPARE_LIPS for told in pages) == count
        assert " ".join(practise_text(plan, flute()).split()).count(SPARE_LIPS) == count


def test_the_heading_names_the_bar_in_which_the_last_note_ends() -> None:
    """G5 from bar 119 through 120, E5 within 118: 118 to 120, as is printed; without a metre to 119."""
    first, last = played("E5:1/2 G5:1/1").notes
    metre = (2, 4)
    marked = [replace(first, bar="118", metre=metre), replace(last, bar="119", metre=metre)]
    assert heading_of(Passage(tuple(marked)))[2] == "bars 118 to 120"
    plain = Passage(tuple(replace(note, metre=None) for note in marked))
    assert heading_of(plain)[2] == "bars 118 to 119"
    (only,) = marked[1:]
    assert heading_of(Passage((only,)))[2] == "bars 119 to 120"
    assert played_bars(marked) == ("118", "120")


def played_bars(notes: list[Note]) -> tuple[str, str]:
    """The bars of the passage itself, once through."""
    return played_through(Working(0, len(notes) - 1, 1.0, 96, 5.0), 1, notes).bars


def test_new_drills_are_told_in_a_line_and_printed_as_music() -> None:
    """Each new kind once, on its first day; of new drills only holds, stops, the part's own are words."""
    plan = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 3))
    pages = [day_page(plan, day) for day in plan.days]
    titles = [title for page in pages for title, _ in page.told]
    assert titles
    assert len(titles) == len(set(titles))
    met: set[str] = set()
    for page in pages:
        drills = [block for block in page.blocks if hasattr(block, "passage")]
        new = [drill for drill in drills if drill.label not in met]
        plain = ("Look-ahead hold", "Move and stop")
        told = [drill for drill in new if drill.words and drill.title not in plain]
        assert all("from your part" in drill.words for drill in told)
        met |= {drill.label for drill in drills}


def test_empty_bars_between_two_metres_are_engraved() -> None:
    """Bar 3/4, two empty 3/4, then 2/4: one line of music, the empty bars with their metre, all numbered."""
    (one, *_) = played("E6:3/4").notes
    (other, *_) = played("F#6:1/2").notes
    for own, empty in ((2, 0), (0, 2), (1, 1)):
        onset = Fraction(3, 4) * (1 + own) + Fraction(1, 2) * empty
        notes = [
            replace(one, id="P1-n1", bar="7", metre=(3, 4)),
            replace(other, id="P1-n2", bar="10", metre=(2, 4), onset=onset),
        ]
        metres = (
            BarMetre("7", (3, 4), Fraction(3, 4)),
            BarMetre(str(8 + own), (2, 4), Fraction(1, 2)),
        )
        (first, second), *_ = excerpts(notes, 0, 1, 0, metres)
        assert second.follows
        assert (first.rests_after, second.rests_before) == (own, empty)
        sections = [
            Section(each.passage, metre=each.metre, first_bar=number, rests_after=each.rests_after)
            for each, number in ((first, 7), (second, 10 - empty))
        ]
        text = write_score(sections).data.decode()
        assert re.findall(r'<measure number="(\d+)">', text) == ["7", "8", "9", "10"]
        assert text.count('<rest measure="yes"/>') == 2
    unknown = [notes[0], replace(notes[1], onset=notes[1].onset + Fraction(1, 8))]
    (_, apart), *_ = excerpts(unknown, 0, 1, 0, metres)
    assert not apart.follows


@pytest.mark.whole
def test_hard_bars_are_printed_whole_and_no_bar_twice() -> None:
    """Each hard bar of a day has its notes on the page, to the end of the last bar; no note twice."""
    passage = read_part("boulanger_matin_flute.musicxml")
    plan = practise(passage, flute(), time=PracticeTime(15, 5))
    drawer = DrillDrawer(GripSymbols(flute()))
    hard = printed_hard = 0
    for day in plan.days:
        page = day_page(plan, day)
        fit = fit_for(page, drawer)
        lines = [each for each in page.blocks if isinstance(each, SheetPause)]
        music = [each for line in lines for each in excerpts_of(line, fit)]
        printed = [note for each in music for part in each.parts for note in part.passage.notes]
        ids = [note.id for note in printed]
        assert len(ids) == len(set(ids))
        shown = set(ids)
        begun = {note.id for note in printed if not note.held_over}  # what is left of a tied note is no bar
        for bar in {note.bar for note in passage.notes if note.id in begun}:
            assert all(note.id in shown for note in passage.notes if note.bar == bar)
        for work in day.studies:
            if work.way == "place":
                hard += 1
                printed_hard += all(n.id in shown for n in passage.notes[work.first : work.last + 1])
    assert hard > 2
    assert printed_hard == hard


def test_a_new_grip_is_learnt_against_the_standard_one_of_its_pitch() -> None:
    """F6 with the D-sharp trill key, then its standard grip, which is drawn beside it, then the trill."""
    passage = read(DATA / "boulanger_matin_flute.musicxml", bars="1-60", tempo=126).passage
    plan = practise(passage, flute(), time=PracticeTime(30, 5))
    taught = 0
    for day in plan.days:
        for drill in (each for each in day_page(plan, day).blocks if isinstance(each, SheetDrill)):
            if drill.title != "Learn the grip":
                assert not drill.hands
                continue
            taught += 1
            assert [note.pitch.name for note in drill.passage.notes] == ["F6", "F6", "F6", "F6", "G6"]
            new, standard = drill.grips[:2]
            assert drill.grips[2:4] == (new, new)
            assert list(drill.hands) == [("F6 standard", standard)]
            # Standard F6: common practice, no source.
            assert (new.short, standard.short) == ("T 1 3 | 1 Kds Eb", "T 1 3 | 1 Eb")
    assert taught
