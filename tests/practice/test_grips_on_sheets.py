"""Fingerings on a sheet: high notes with their plain grip, every key explained, the thumb off its lever."""

from dataclasses import replace

from tests.oracles.passages import barred, played

from gripway.asked.wishes import Pin, Wishes
from gripway.cli.text.practise_text import practise_text
from gripway.model.grip import Grip
from gripway.page.sheet.lever_words import BY_THE_INDEX, lever_words
from gripway.page.sheet.sheet_model import SheetPause
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

LEVER = Wishes(pins=tuple(Pin(place, Grip.parse("Tb L2 | R1 Eb")) for place in (0, 2)))
LINE = "f A6:1/2 G5:1/4 A6:1/2 B6:1/2 F5:1/4 G5:1/4 E5:1/4 F5:1/4 G5:1/4 E5:1/2"


def _plan(wishes: Wishes = LEVER) -> Plan:
    return practise(barred(LINE, 80), flute(), wishes, PracticeTime(20, 3))


def _grips_of(plan: Plan, way: str, about: str = "(A6 B6)") -> dict[str, str]:
    """The grips that a row about the first notes has on the first page, played in a way."""
    passage = plan.days[0].passage
    assert passage is not None
    row = replace(passage, first=0, last=3, way=way, about=about, around=None)
    day = replace(plan.days[0], studies=(row,), items=())
    line = next(each for each in day_page(plan, day).blocks if isinstance(each, SheetPause) and each.trills)
    return {name: grip.short for trill in line.trills for name, grip in trill.hands}


def test_long_notes_show_the_plain_thumb_and_hard_bars_what_the_passage_has() -> None:
    """A6 is held with the lever in the passage: one by one it is T 2 | 1 Eb (grips/concert-flute.csv)."""
    plan = _plan()
    assert plan.route.notes[0].candidate is not None
    assert plan.route.notes[0].candidate.grip.short == "Tb 2 | 1 Eb"
    for way in ("high", "tone", "soft", "starts"):
        assert _grips_of(plan, way).keys() == {"A6", "B6"}
        assert _grips_of(plan, way)["A6"] == "T 2 | 1 Eb"
    assert _grips_of(plan, "place")["A6"] == "Tb 2 | 1 Eb"
    for about in ("(A6 B6, pp)", "(A6 B6, pp; A6 B6 first an octave lower)"):
        assert _grips_of(plan, "starts", about).keys() == {"A6", "B6"}


def test_every_key_that_a_page_names_is_explained_on_it() -> None:
    """B6 has the D-sharp trill key: a page with it in a row says what Kds is, as the text does."""
    plan = _plan()
    passage = plan.days[0].passage
    assert passage is not None
    row = replace(passage, first=3, last=3, way="high", about="(B6)", around=None)
    page = day_page(plan, replace(plan.days[0], studies=(row,), items=()))
    texts = [trill.words for each in page.blocks if isinstance(each, SheetPause) for trill in each.trills]
    assert any("Kds" in text for text in texts)
    assert "Kds D-sharp trill key" in page.key
    assert "Kds" not in day_page(plan, replace(plan.days[0], studies=(), items=())).key


def test_the_thumb_is_told_to_leave_the_lever_before_b_natural_and_high_f_sharp() -> None:
    """Once after each B flat, and after A# that has the lever or B natural next; with the reason."""
    lever = practise(
        played("key:F Bb5 A5 Bb5 C6 D6 C6 D6 Bb5 A5 G5 F5 E5 F5 G5 E5 C5 B4 C5 B4 A#5 B5 Bb5 F#6", 100),
        flute(),
    )
    told = lever_words(lever.route.notes, [(0, len(lever.route.notes) - 1)])
    off = "Thumb off the Bb lever, if it is there, before B4, B5 or F#6: notes 17, 21, 23."
    assert told == off + BY_THE_INDEX
    assert told in " ".join(practise_text(lever, flute()).split())
    assert told in day_page(lever, lever.days[0]).hints
    assert lever_words(lever.route.notes, [(0, 5)]) == ""
    assert lever_words(lever.route.notes, [(0, 5), (16, 18)]).endswith("B4: note 17.")
    plain = practise(played("E5 B5 F#6 B5", 150), flute())
    assert lever_words(plain.route.notes, [(0, 3)]) == ""
    sharp = practise(played("A#5 B5 A#5 C#6 B5 A#5 r B5", 150), flute())
    assert lever_words(sharp.route.notes, [(0, 6)]).endswith(f"before B5: note 2.{BY_THE_INDEX}")
    flat = practise(played("key:Gb Bb5 Cb6 Bb5 Db6 Cb6 r A#5 B5", 150), flute())
    assert lever_words(flat.route.notes, [(0, 6)]).endswith(f"before Cb6 or B5: notes 2, 5, 7.{BY_THE_INDEX}")
    late = practise(played("key:Bb Eb5 Bb5 Eb6 Db6 Gb5 Cb6 Bb5", 150), flute())
    assert not any("Tb" in note.candidate.grip.touches for note in late.route.notes if note.candidate)
    assert lever_words(late.route.notes, [(0, 6)]).endswith(f"before Cb6: note 6.{BY_THE_INDEX}")
    assert lever_words(late.route.notes, [(0, 5)]).endswith("before Cb6: note 6.")


def test_a_sheet_says_once_why_a_drill_stays_below_the_tempo_of_its_bar() -> None:
    """On the first day that has the drill; nothing is said where all go up to it."""
    plan = practise(played("(D6:1/16 C#6 D6 C#6 D6:1/4)", 160), flute(), time=PracticeTime(20, 4))
    late = {
        (at, place)
        for at, planned in enumerate(plan.cells)
        for place, drill in enumerate(planned.drills)
        if not drill.free and drill.fastest < planned.ladder.goal
    }
    assert late
    told = [" ".join(hint for hint in day_page(plan, day).hints if "come late" in hint) for day in plan.days]
    for at, place in late:
        days = [each.day for each in plan.days if (at, place) in {(i.cell, i.drill) for i in each.items}]
        named = [
            each.day for each, hint in zip(plan.days, told, strict=True) if f"{at + 1}.{place + 1}" in hint
        ]
        assert named == days[:1]
    slow = practise(played("(D6:1/16 C#6 D6 C#6 D6:1/4)", 60), flute(), time=PracticeTime(20, 4))
    assert not any("come late" in hint for day in slow.days for hint in day_page(slow, day).hints)
