"""Words that change the tempo without a number are told once, with their bars."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES
from tests.score.small_scores import bar, note, read, score

from gripway.cli.text.practise_text import practise_text
from gripway.model.passage import Passage
from gripway.model.tempo import QUARTER, tempo_words
from gripway.page.sheet.pace_words import pace_words, stretch_tempo
from gripway.page.sheet.sheet_model import SheetPause
from gripway.practice.plan.goal import GradualBars, gradual_bars
from gripway.score.reading.read_notes import FERMATA
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

LINE = "E6 F#6 G#6 A6 " * 4
TOLD = "Bar 1 rit., before bar 2 più lento, bar 3 calando: no number is printed, follow the conductor."


def test_words_of_pace_are_told_in_the_text_and_on_each_sheet() -> None:
    """At a note, over the rests before it, under a held one; character, dynamics and a tempo are none."""
    passage = barred(LINE * 3, 120)
    words = {1: ("dolce", "rit."), 16: ("[più lento.]",), 18: ("a tempo", "grazioso", "cresc.")}
    notes = [replace(note, words=words.get(at, ())) for at, note in enumerate(passage.notes)]
    notes[32] = replace(notes[32], during=((Fraction(1, 16), "calando"), (Fraction(1, 16), "ff")))
    passage = replace(passage, notes=tuple(notes))
    assert pace_words(passage, [(0, 47)]) == TOLD
    assert pace_words(passage, [(2, 15), (17, 31)]) == ""
    plan = practise(passage, flute(), time=PracticeTime(20, 2))
    assert TOLD in " ".join(practise_text(plan, flute()).split())
    assert all(TOLD in day_page(plan, day).asked for day in plan.days)


def test_a_fermata_is_named_where_its_note_is_played() -> None:
    """The click does not go through it; bars without it say nothing."""
    notes = list(barred(LINE * 2, 120).notes)
    notes[20] = replace(notes[20], articulations=(FERMATA,))
    passage = replace(barred(LINE * 2, 120), notes=tuple(notes))
    assert pace_words(passage, [(0, 31)]).startswith("Bar 2: fermata")
    assert pace_words(passage, [(0, 15)]) == ""


def test_a_fermata_on_a_rest_is_named_like_one_on_a_note() -> None:
    """As bars are read from a score; work that ends before the rest says nothing."""
    held = note("r", 16, after="<notations><fermata/></notations>")
    bars = (note("D6", 16), held, note("D6", 16))
    passage = read(score(*(bar(music, str(number)) for number, music in enumerate(bars, 1)))).passage
    assert passage.held_rests == ("2",)
    assert pace_words(passage, [(0, 1)]) == "Bar 2: fermata, hold it and begin again without the click."
    assert pace_words(passage, [(0, 0)]) == pace_words(passage, [(1, 1)]) == ""


def test_a_fermata_on_a_tied_note_is_named_in_the_bar_it_stands_in() -> None:
    """The note is written in bars 1 and 2, its fermata in the second."""
    ends = {"start": "", "stop": "<fermata/>"}
    held = [
        note("G6", 16, after=f'<tie type="{end}"/><notations><tied type="{end}"/>{sign}</notations>')
        for end, sign in ends.items()
    ]
    four = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    bars = (bar(held[0], "1", attributes=four), bar(held[1], "2"), bar(note("D6", 16), "3"))
    passage = read(score(*bars)).passage
    assert pace_words(passage, [(0, 1)]) == "Bar 2: fermata, hold it and begin again without the click."


def test_another_tempo_that_a_mark_makes_a_number_is_not_told() -> None:
    """From bar 2 on the notes are faster: più mosso has its number; a rit. never has one."""
    notes = barred(LINE * 2, 120).notes
    faster = [replace(note, length_ms=note.length_ms / 2) for note in notes[16:]]
    faster[0] = replace(faster[0], words=("più mosso",))
    passage = replace(barred(LINE * 2, 120), notes=(*notes[:16], *faster))
    assert pace_words(passage, [(0, 31)]) == ""
    faster[0] = replace(faster[0], words=("rit.",))
    passage = replace(passage, notes=(*notes[:16], *faster))
    assert pace_words(passage, [(0, 31)]).startswith("Bar 2 rit.:")


def _with_words(words: dict[int, tuple[str, ...]], *tempo_bars: str) -> Passage:
    """Eight bars of sixteen notes at quarter = 120, with words at some of the notes."""
    passage = barred(LINE * 8, 120)
    notes = tuple(replace(note, words=words.get(at, ())) for at, note in enumerate(passage.notes))
    return replace(passage, notes=notes, tempo_bars=tempo_bars)


def test_what_goes_faster_or_slower_on_the_way_lasts_to_the_next_mark_or_word_of_tempo() -> None:
    """A mark ends it, a word too; slower ends by itself, faster never; sans presser and dolce are neither."""
    assert gradual_bars(_with_words({16: ("string.",)}, "5"), FIGURES) == (GradualBars(2, 4, faster=True),)
    assert gradual_bars(_with_words({16: ("[poco rit.]",), 48: ("a tempo",)}), FIGURES) == (
        GradualBars(2, 3),
    )
    assert gradual_bars(_with_words({16: ("rit.",)}), FIGURES) == (
        GradualBars(2, 1 + FIGURES.gradual_most_bars),
    )
    assert gradual_bars(_with_words({16: ("poco a poco accel.",)}), FIGURES) == (
        GradualBars(2, 8, faster=True),
    )
    assert gradual_bars(_with_words({16: ("sans presser", "dolce")}), FIGURES) == ()


def test_no_number_is_told_for_bars_that_go_faster_on_the_way() -> None:
    """Rows up to there have their number, across it both and where the click stops, within it none."""
    plan = practise(_with_words({16: ("string.",)}, "5"), flute(), time=PracticeTime(20, 2))
    whole = plan.days[-1].passage
    assert whole is not None
    number = tempo_words(QUARTER, whole.quarters)
    assert stretch_tempo(plan, whole) == f"{number}, bars 2-4 no click, from bar 5 {number}"
    assert stretch_tempo(plan, replace(whole, first=16, last=63)) == "no click"
    assert stretch_tempo(plan, replace(whole, first=0, last=31)) == f"{number}, bar 2 no click"
    assert stretch_tempo(plan, replace(whole, first=64)) == number
    text = practise_text(plan, flute())
    assert "bars 2-4 no click" in text
    lines = [each.words for each in day_page(plan, plan.days[-1]).blocks if isinstance(each, SheetPause)]
    assert any("bars 2-4 no click" in line for line in lines)


def test_bars_that_go_faster_on_the_way_are_pushed_evenly() -> None:
    """Where a day plays some of them; a rit. is not."""
    line = _with_words({16: ("string.",)}, "5")
    assert pace_words(line, [(0, 31)]).endswith(
        "conductor. Bars 2-4: first steadily with the click, then push on evenly without it."
    )
    assert (
        pace_words(line, [(48, 63)])
        == "Bars 2-4: first steadily with the click, then push on evenly without it."
    )
    assert "push" not in pace_words(line, [(64, 80)])
    assert "push" not in pace_words(_with_words({16: ("rit.",)}), [(0, 31)])
