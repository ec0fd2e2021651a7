"""No drill is met without its music: its first day prints it, and later days point to that day."""

import re
from pathlib import Path

import pytest
from tests.tiers import thinned

from gripway.model.passage import Passage
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.sheet.fit_choice import ROOM_MM, fit_for
from gripway.page.sheet.practice_drill import DrillDrawer
from gripway.page.sheet.practice_fit import AND_THE_PART, Fit, is_told
from gripway.page.sheet.practice_layout import height_of
from gripway.page.sheet.sheet_model import SheetDrill, SheetPage
from gripway.score.reading.score_reading import ReadOptions, load_score
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes

DATA, EXAMPLES = Path(__file__).parents[1] / "data", Path(__file__).parents[2] / "examples"
LONG_BAR = "(F#6 G6 A6 B6 A6 G6 F#6 E6 D6 E6 F#6 G#6 A6 G#6 F#6 E6) " * 3
"""Bars whose drills in the part take more than a line each."""

BUDGETS = ((20, 5), (30, 5), (60, 3), (10, 3))
"""Minutes a day, and days."""


def read(name: str, bars: str, tempo: float) -> Passage:
    """Bars of a score at a tempo."""
    folder = DATA if (DATA / name).exists() else EXAMPLES
    return load_score(folder / name, ReadOptions(bars=bars, tempo=tempo)).passage


def passages() -> dict[str, Passage]:
    """Music with runs, trills and long bars."""
    return {
        "boulanger": read("boulanger_matin_flute.musicxml", "1-60", 126),
        "schubert": read("schubert_d485_flute.musicxml", "181-202", 184),
        "trills": read("kettle_trills.musicxml", "1-8", 120),
        "long bars": notes(LONG_BAR, tempo=116),
        "short": notes("(E6 F#6 G#6 A6)", tempo=160),
    }


def drills(page: SheetPage) -> list[SheetDrill]:
    """The drills of a page."""
    return [block for block in page.blocks if isinstance(block, SheetDrill)]


@pytest.mark.parametrize(("minutes", "days"), thinned(BUDGETS, 2))
@pytest.mark.parametrize("name", ["boulanger", "schubert", "trills", "long bars", "short"])
def test_every_drill_has_its_music_on_its_first_day(name: str, minutes: int, days: int) -> None:
    """And one told in words names a day on which it is printed; each day is one page."""
    plan = practise(passages()[name], flute(), time=PracticeTime(minutes, days))
    drawer = DrillDrawer(GripSymbols(flute()))
    printed: dict[str, set[int]] = {}
    met: set[str] = set()
    for day in plan.days:
        page = day_page(plan, day)
        fit: Fit = fit_for(page, drawer)
        assert height_of(page, drawer, fit) <= ROOM_MM
        for drill in drills(page):
            known = drill.label in met
            met.add(drill.label)
            if not is_told(drill, fit):
                printed.setdefault(drill.label, set()).add(day.day)
                continue
            if drill.words.startswith("play it from your part: "):
                assert known or fit.words == AND_THE_PART  # no other way is left
                continue
            (there, begun) = re.findall(r"^as on day (\d+): (\S+)", drill.words)[0]
            assert begun == drill.passage.notes[0].pitch.name
            assert int(there) in printed[drill.label]
    assert printed


def test_to_and_fro_is_told_with_its_values_on_later_days() -> None:
    """`E6 and F6 to and fro, eighths, triplets, sixteenths`: what is printed on the first day."""
    plan = practise(passages()["trills"], flute(), time=PracticeTime(30, 7))
    told = {
        drill.words.partition(": ")[2]
        for day in plan.days
        for drill in drills(day_page(plan, day))
        if drill.words and "measured" in drill.title
    }
    assert told
    assert all(
        re.fullmatch(r"\S+ and \S+ to and fro, eighths, (triplets, )?sixteenths", each) for each in told
    )
