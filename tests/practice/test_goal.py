"""A goal far from the printed tempo is asked about at the top of the plan."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES

from gripway.cli.text.practise_text import practise_text
from gripway.model.passage import BarMetre, Passage, tempo_bar
from gripway.page.sheet.goal_words import above_of_day
from gripway.page.sheet.heading_words import goal_of, metre_words
from gripway.page.sheet.outlook_words import first_words
from gripway.page.sheet.pace_words import pace_words, settled_words, stretch_tempo
from gripway.page.sheet.sheet_model import SheetPause
from gripway.practice.plan.goal import doubtful_goal, offered_above, untold_changes
from gripway.practice.ways.whole_passage import Stretch
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import clock, day_page
from gripway.tasks.practise import PracticeTime, practise


def _asked(quarters: float, printed: tuple[float, str], metre: tuple[int, int] = (2, 2)) -> Passage:
    line = played("E5 F5 G5 A5 G5 F5 E5 D5", quarters)
    notes = tuple(replace(note, metre=metre) for note in line.notes)
    return replace(line, notes=notes, tempo_from=("asked", ""), printed=printed)


@pytest.mark.parametrize(("quarters", "asks"), [(158, True), (159, False), (422, False), (423, True)])
def test_a_goal_within_its_bounds_is_taken(quarters: float, asks: bool) -> None:
    """Of 264 printed, 0.6 are 158.4 and 1.6 are 422.4."""
    assert bool(doubtful_goal(_asked(quarters, (264.0, "half = 132")), FIGURES)) is asks


def test_a_quarter_meant_as_a_half_is_asked_about() -> None:
    """144 where half = 132 is printed; both beats are told, and no command is named."""
    told = first_words(practise(_asked(144, (264.0, "half = 132")), flute()), FIGURES)
    assert told.startswith(
        "Your goal of quarter = 144 (half = 72) is about half of the file's mark, half = 132: "
        "did you mean half = 144 (quarter = 288)?"
    )
    assert "--" not in told


def test_a_word_is_told_with_what_it_stands_for() -> None:
    """Half the tempo of a word in quarters: no other beat could be meant."""
    told = first_words(practise(_asked(40, (132.0, "Allegro"), (4, 4)), flute()), FIGURES)
    assert told.startswith(
        "Your goal of quarter = 40 is 30% of what Allegro stands for, about quarter = 132: if"
    )


def test_nothing_printed_is_nothing_to_ask() -> None:
    """Nor is a tempo that was not asked for."""
    assert doubtful_goal(_asked(60, (0.0, "")), FIGURES) is None
    printed = replace(_asked(60, (264.0, "half = 132")), tempo_from=("printed", "half = 132"))
    assert doubtful_goal(printed, FIGURES) is None


def test_the_sheet_says_that_a_goal_is_far_from_the_mark() -> None:
    """A goal near the mark says what that is; one that is the mark, or far beyond it, does not."""
    far, near = (practise(_asked(tempo, (264.0, "half = 132")), flute()) for tempo in (144, 264))
    other = practise(_asked(240, (264.0, "half = 132")), flute())
    beyond = practise(_asked(300, (168.0, "half = 84")), flute())
    assert goal_of(beyond).endswith("; 179% of the file's mark, half = 84: ask)")
    beyond = practise(_asked(240, (168.0, "half = 84")), flute())
    assert goal_of(beyond) == "goal: half = 120 (as you asked)"
    assert goal_of(other).endswith("(as you asked; the file has half = 132)")
    assert goal_of(practise(_asked(240, (264.0, "Allegro")), flute())).endswith("(as you asked)")
    in_quarters = practise(_asked(120, (132.0, "half = 66"), (2, 4)), flute())
    assert goal_of(in_quarters).endswith("(as you asked; the file has half = 66 (quarter = 132))")
    assert goal_of(far).endswith("(as you asked; about half of the file's mark, half = 132: ask)")
    assert goal_of(near).endswith("(as you asked)")


def test_a_slip_is_named_in_the_beat_of_the_mark() -> None:
    """66 in 2/4, where a half = 66 is printed: the metre counts quarters, the number was that of halves."""
    told = first_words(practise(_asked(66, (132.0, "half = 66"), (2, 4)), flute()), FIGURES)
    assert told.startswith(
        "Your goal of quarter = 66 is about half of the file's mark, half = 66: "
        "did you mean half = 66 (quarter = 132)? Then make the plan anew; if not, ask"
    )


def _changing(*metres: tuple[int, int], bars: int = 9) -> Passage:
    """Bars of one quarter's tempo, so many in each metre."""
    line = played(
        " ".join(f"{'EF'[place % 2]}5:1/4" for place in range(sum(bars * each[0] for each in metres))), 120
    )
    placed = [(metre, bar) for metre in metres for bar in range(bars) for _ in range(metre[0])]
    firsts = [bars * metres.index(metre) for metre in metres]
    notes = tuple(
        replace(note, metre=metre, bar=str(1 + firsts[metres.index(metre)] + bar))
        for note, (metre, bar) in zip(line.notes, placed, strict=True)
    )
    return replace(line, notes=notes)


def test_a_new_metre_without_a_mark_is_asked_about() -> None:
    """Nine bars of 4/4, then nine of 3/4: not where a mark stands there, nor for a few bars."""
    (found,) = untold_changes(changing := _changing((4, 4), (3, 4)), FIGURES)
    assert (found.bar, found.metre, found.stays) == ("10", (3, 4), 1)
    assert not untold_changes(replace(changing, tempo_bars=("10",)), FIGURES)
    assert not untold_changes(_changing((4, 4), (3, 4), bars=7), FIGURES)
    asked = (
        "Bar 10 changes to 3/4; nothing tells whether its tempo is another: your teacher or conductor "
        "decides; here the quarter stays."
    )
    plan = practise(changing, flute())
    assert metre_words(plan) == asked
    first, *later = [day_page(plan, day).asked for day in plan.days]
    assert first == asked  # at the top, whatever room there is
    assert {*later} == {"Bar 10: tempo as settled."}


def test_a_section_in_another_key_and_metre_without_a_mark_has_a_number_until_it_is_settled() -> None:
    """From bar 10 on 3/4 and two flats: rows there have a number too, and a share of the settled tempo.

    Up to 100%, which is as settled; others have no share.
    """
    changing = _changing((4, 4), (3, 4))
    notes = [replace(note, fifths=-2) if note.metre == (3, 4) else note for note in changing.notes]
    plan = practise(replace(changing, notes=tuple(notes)), flute(), time=PracticeTime(20, 3))
    assert metre_words(plan).endswith("decides; until then the quarter stays below.")
    first, *later = [day_page(plan, day).asked for day in plan.days]
    assert first == f"{metre_words(plan)} Bar 10: _____ = _____."
    assert {*later} == {"Bar 10: tempo as settled. Bar 10: _____ = _____."}
    begin = 36
    seen = set()
    text = " ".join(practise_text(plan, flute()).split())
    for day in plan.days:
        works = [work for work in day.works if isinstance(work, Stretch) and work.quarters]
        lines = [each.words for each in day_page(plan, day).blocks if isinstance(each, SheetPause)]
        for work in works:
            settled = settled_words(plan, work)
            where = "after" if work.first >= begin else "across" if work.last >= begin else "before"
            share = "as settled" if work.share >= 1 else f"{work.share:.0%} of the settled tempo"
            wanted = {"after": share, "across": f"from bar 10 {share}", "before": ""}
            assert settled == wanted[where]
            seen.add(where)
            named = f"{work.bars[0]} to {work.bars[1]}"
            told = [line for line in lines if named in line and clock(work.minutes) in line]
            assert all("= " in line for line in told)
            assert all(settled in line for line in told)
    assert "from bar 10 as settled" in text
    assert "across" in seen
    assert "as settled" not in practise_text(practise(changing, flute()), flute())


def test_a_tempo_begins_in_the_bar_of_its_mark() -> None:
    """Bar 9 is held into bar 10, where the mark stands; the next note is in bar 11."""
    changing = _changing((4, 4), (3, 4))
    line = replace(
        changing, notes=tuple(note for note in changing.notes if note.bar != "10"), tempo_bars=("10",)
    )
    at = next(at for at, note in enumerate(line.notes) if note.bar == "11")
    assert tempo_bar(line, at) == "10"
    assert tempo_bar(line, at + 1) == "11"
    assert not untold_changes(line, FIGURES)
    assert untold_changes(replace(line, tempo_bars=("3",)), FIGURES)
    slower = [replace(note, length_ms=2 * note.length_ms) for note in line.notes[at:]]
    plan = practise(replace(line, notes=(*line.notes[:at], *slower)), flute())
    assert "from bar 10 " in goal_of(plan)


def test_a_metre_that_returns_after_a_bar_is_not_asked_about() -> None:
    """One bar of 4/4 among bars of 3/4 is no section of its own; nine are."""
    line = _changing((3, 4), (4, 4))
    threes, fours = ([note for note in line.notes if note.metre == metre] for metre in ((3, 4), (4, 4)))

    def asked(between: int) -> list[str]:
        """The bars asked about with so many bars of 4/4 between those of 3/4."""
        after = [replace(note, bar=str(int(note.bar) + 9 + between)) for note in threes]
        return [
            each.bar
            for each in untold_changes(replace(line, notes=(*threes, *fours[: 4 * between], *after)), FIGURES)
        ]

    assert asked(between=1) == []
    assert asked(between=9) == ["10", "19"]


def test_where_metre_and_key_are_back_is_asked_and_has_the_tempo_of_before() -> None:
    """3/4 in two flats from bar 10 on, 4/4 again from bar 19 on, in which bars 19 to 26 are silent."""
    line = _changing((4, 4), (3, 4))
    fours, threes = ([note for note in line.notes if note.metre == metre] for metre in ((4, 4), (3, 4)))
    flat = [replace(note, fifths=-2) for note in threes]
    after = [replace(note, bar=str(int(note.bar) + 26)) for note in fours]
    whole = tuple(BarMetre(bar, metre, Fraction(*metre)) for bar, metre in (("1", (4, 4)), ("10", (3, 4))))
    metres = (*whole, BarMetre("19", (4, 4), Fraction(1)))
    passage = replace(line, notes=(*fours, *flat, *after), metres=metres)
    first, back = untold_changes(passage, FIGURES)
    assert (first.bar, first.another_key, first.back) == ("10", True, False)
    assert (back.bar, back.another_key, back.back) == ("19", False, True)
    assert (first.last, back.first) == (len(fours) + len(flat) - 1, len(fours) + len(flat))
    plan = practise(passage, flute(), time=PracticeTime(20, 2))
    assert metre_words(plan).endswith(
        "the quarter stays below. Bar 19 is back in 4/4: ask there too; here it has the tempo of before."
    )
    whole = Stretch(0, len(passage.notes) - 1, ("1", "35"), 1.0, 100, 1, 1.0)
    assert settled_words(plan, whole) == "from bar 10 as settled, from bar 19 as before"
    assert settled_words(plan, replace(whole, last=back.first - 1)) == "from bar 10 as settled"


def test_one_pulse_is_told_once() -> None:
    """Quarter = 63 in 3/4 counts eighths, in 3/2 quarters: it is the same tempo."""
    line = played(" ".join(["E5:1/4 F5:1/4 G5:1/4"] * 6), 63)
    notes = tuple(
        replace(note, metre=(3, 4) if at < 9 else (3, 2), bar=str(1 + at // 3))
        for at, note in enumerate(line.notes)
    )
    plan = practise(replace(line, notes=notes), flute())
    assert goal_of(plan).startswith("goal: quarter = 63 throughout")


def test_a_tempo_that_no_number_tells_is_about() -> None:
    """Bar 2 has a tempo of its own only in the file: the goal, the passage's row and the sheet say so."""
    line = barred("E6 F#6 G#6 A6 " * 12, 120)
    slower = [replace(note, length_ms=note.length_ms * 2) if note.bar == "2" else note for note in line.notes]
    known = replace(line, notes=tuple(slower), tempo_from=("asked", ""), tempo_bars=("1", "2", "3"))
    plan = practise(replace(known, about_bars=("2",)), flute(), time=PracticeTime(20, 2))
    assert goal_of(plan) == (
        "goal: quarter = 120, from bar 2 about eighth = 120, from bar 3 quarter = 120 "
        "(as you asked; the other tempos in proportion; "
        "about: the part has no number there, follow the conductor)"
    )
    assert goal_of(plan, on_paper=True).endswith("quarter = 120 (about: follow the conductor)")
    assert "from bar 2 about eighth = " in practise_text(plan, flute()).partition("The passage itself")[2]
    assert "about" not in goal_of(practise(known, flute(), time=PracticeTime(20, 2)))


@pytest.mark.parametrize(
    ("word", "told"), [("Più Allegro", "faster, as settled"), ("Più lento", "about quarter = 160")]
)
def test_a_faster_word_gives_no_number(word: str, told: str) -> None:
    """From bar 3 on about a third faster, as no number tells: a share of what is settled, not of a guess."""
    line = barred("E6 F#6 G#6 A6 " * 12, 120)
    notes = [
        replace(note, length_ms=note.length_ms * 3 / 4, onset_ms=note.onset_ms * 3 / 4 + 2000.0)
        if int(note.bar) >= 3
        else note
        for note in line.notes
    ]
    at = next(place for place, note in enumerate(notes) if note.bar == "3")
    notes[at] = replace(notes[at], words=(word,))
    known = replace(
        line, notes=tuple(notes), tempo_from=("asked", ""), tempo_bars=("1", "3"), about_bars=("3",)
    )
    plan = practise(known, flute(), time=PracticeTime(20, 2))
    assert f"goal: quarter = 120, from bar 3 {told} (as you asked" in goal_of(plan)
    row = Stretch(at + 4, at + 8, ("4", "4"), 0.8, 128, 3, 2.0, tempos=2)
    settled = told.startswith("faster")
    assert stretch_tempo(plan, row) == (
        "75% 80% of the settled tempo" if settled else "about quarter = 121 128"
    )
    one = stretch_tempo(plan, replace(row, first=0, tempos=1))
    assert one.endswith(
        "from bar 3 80% of the settled tempo" if settled else "from bar 3 about quarter = 128"
    )
    named = f"Bar 3 {word}: no number is printed, follow the conductor."
    assert pace_words(known, [(0, len(notes) - 1)]) == named * settled


def test_above_a_goal_far_under_the_mark_days_offer_more() -> None:
    """72 where half = 132 (quarter = 264) is printed: from day 3 of 4 on two steps more a day."""
    line = _asked(72, (264.0, "half = 132"), (4, 4))
    # 22.3 steps of 6 % from 72 to 264: 23 of 5.81 %, or 12 of 11.4 % where nothing is hard
    assert offered_above(line, 72, 1, None, FIGURES) == (76, 81)
    assert offered_above(line, 72, 2, None, FIGURES) == (76, 81, 85, 90)
    assert offered_above(line, 72, 9, None, FIGURES) == (76, 81, 85, 90, 95, 101)
    assert offered_above(line, 72, 2, 0.2, FIGURES) == (80, 89, 100, 111)
    assert offered_above(_asked(72, (73.0, "half = 36")), 72, 4, None, FIGURES) == ()
    assert offered_above(_asked(72, (66.0, "half = 33")), 72, 4, None, FIGURES) == ()
    plan = practise(line, flute(), time=PracticeTime(20, 4))
    text = " ".join(practise_text(plan, flute()).split())
    told = [day for day in plan.days if above_of_day(plan, day, FIGURES)]
    assert [day.day for day in told] == [3, 4]
    assert "Once it is clean, go on above the goal if you like: days 3 and 4 have the steps." in text
    assert "144 (160 178)" in text  # in eighths
    for day in plan.days:
        lines = [each.words for each in day_page(plan, day).blocks if isinstance(each, SheetPause)]
        assert any("Clean? Then, if you like, on to eighth = " in line for line in lines) is (day in told)


def test_above_a_goal_near_the_mark_days_with_time_left_offer_more() -> None:
    """120 where quarter = 144 is printed: up to it in the second half of free days, on full ones none."""
    line = _asked(120, (144.0, "quarter = 144"), (4, 4))
    free, full = (practise(line, flute(), time=PracticeTime(minutes, 4)) for minutes in (60, 20))
    assert [above_of_day(free, day, FIGURES) for day in free.days[2:]] == [(126, 131), (126, 131, 138, 144)]
    for plan in (free, full):
        lasts = (day for day in plan.days if above_of_day(plan, day, FIGURES))
        assert all(day.minutes < (1 - FIGURES.free_share) * plan.minutes for day in lasts)
    word = practise(_asked(120, (144.0, "Allegro"), (4, 4)), flute(), time=PracticeTime(60, 4))
    assert not any(above_of_day(word, day, FIGURES) for day in word.days)


def test_a_goal_near_the_mark_ends_at_it() -> None:
    """120 of 132 has two steps whether cells are hard or nothing is; the mark is the last of them."""
    line = _asked(120, (132.0, "half = 66"), (4, 4))
    assert offered_above(line, 120, 1, None, FIGURES) == (126, 132)
    assert offered_above(line, 120, 2, 0.7, FIGURES) == (126, 132)
    assert offered_above(_asked(126, (132.0, "half = 66"), (4, 4)), 126, 2, None, FIGURES) == ()


def test_a_quicker_word_without_a_number_offers_more_where_nothing_is_hard() -> None:
    """Più Allegro at 92: 6 % six times is 131; not with cells, nor where the fingers have no time for it."""
    line = _asked(92, (132.0, "Più Allegro"), (4, 4))
    quicker = replace(line, notes=(replace(line.notes[0], words=("Più Allegro",)), *line.notes[1:]))
    assert offered_above(quicker, 92, 1, 0.15, FIGURES) == (103, 116)
    assert offered_above(quicker, 92, 2, 0.15, FIGURES) == (103, 116, 131)
    assert offered_above(quicker, 92, 2, None, FIGURES) == offered_above(quicker, 92, 2, 0.9, FIGURES) == ()
    assert offered_above(line, 92, 2, 0.15, FIGURES) == ()


def test_with_cells_the_first_day_at_the_goal_offers_nothing_above_it() -> None:
    """The cells are at their limit there: the day after has the steps."""
    line = replace(_asked(144, (200.0, "half = 100")), notes=barred("E6 F#6 G#6 A6 " * 8, 144).notes)
    plan = practise(line, flute(), time=PracticeTime(40, 4))
    at_goal = [day for day in plan.days if day.passage and day.passage.share >= 1]
    assert plan.cells
    assert 2 * at_goal[0].day > 4
    assert [bool(above_of_day(plan, day, FIGURES)) for day in at_goal[:2]] == [False, True]


@pytest.mark.parametrize(("mark", "told"), [(240.0, True), (80.0, False)])
def test_breaths_are_so_far_apart_at_a_goal_far_under_the_mark_only(mark: float, told: bool) -> None:
    """Whole notes at 72 last 3.3 s each, a line of them longer than a breath; text and sheet say when."""
    line = barred("E5:1 F5:1 G5:1 A5:1 " * 4, 72)
    asked = replace(line, tempo_from=("asked", ""), printed=(mark, f"quarter = {mark:.0f}"))
    plan = practise(asked, flute(), time=PracticeTime(20, 3))
    sheet = " ".join(
        each.words for each in day_page(plan, plan.days[0]).blocks if isinstance(each, SheetPause)
    )
    for text in (" ".join(practise_text(plan, flute()).split()), sheet):
        assert "no rest for a breath in 53 s" in text
        assert ("no rest for a breath in 53 s at this tempo" in text) is told


def test_of_many_tempos_the_goal_is_one_that_a_number_tells() -> None:
    """Bars 2, 4 and 6 are only about so fast and have most of the notes: the goal is that of the others."""
    line = barred("E6 F#6 G#6 A6 " * 24, 120)
    slow = [
        replace(note, length_ms=note.length_ms * (1 + int(note.bar) / 8)) if note.bar in "246" else note
        for note in line.notes
        if note.bar in "246" or note.at == 0
    ]
    known = replace(
        line, notes=tuple(slow), tempo_from=("asked", ""), tempo_bars=("1", "2", "3", "4", "5", "6")
    )
    told = goal_of(practise(replace(known, about_bars=("2", "4", "6")), flute(), time=PracticeTime(20, 2)))
    assert told.startswith("goal: quarter = 120, other tempos of the part in proportion")
