"""Practice sheets as a browser shows and prints them: a page a day, room as reckoned, accessible."""

import re
import subprocess
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from gripway.asked.wishes import Wishes
from gripway.model.key import Key
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.sheet.fit_choice import fit_for
from gripway.page.sheet.practice_drill import DrillDrawer
from gripway.page.sheet.practice_layout import TITLE_MM, drill_height, height_of
from gripway.page.sheet.practice_sheet import practice_sheet
from gripway.page.sheet.sheet_model import SheetPage
from gripway.practice.plan.log_reading import History, Reached
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.pattern_cell_lists import PatternQuestion, hard_patterns
from gripway.tasks.practice_sheets import day_page, plan_sheet, sheet_drill, technique_sheet
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import read

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
PLANS = {
    "boulanger": (ROOT / "tests/data/boulanger_matin_flute.musicxml", PracticeTime(20, 5)),
    "ladder": (ROOT / "examples/ladder_cell.musicxml", PracticeTime(20, 5)),
    "schubert": (ROOT / "tests/data/schubert_d485_flute.musicxml", PracticeTime(40, 4, "interleaved")),
}
PX_PER_MM = 96 / 25.4
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAPER_MM = {"A4": (186, 273), "Letter": (191.9, 255.4)}
"""Width and height between margins of 12 mm (ISO 216: 210 by 297; ANSI A: 215.9 by 279.4)."""


@pytest.fixture(scope="module", params=PLANS)
def planned(request: pytest.FixtureRequest) -> Plan:
    """A plan of a part, with a log where it is the ladder's."""
    score, time = PLANS[request.param]
    passage = read(score).passage
    plan = practise(passage, flute(), time=time)
    if request.param != "ladder":
        return plan
    reached = [
        Reached(plan.cells[0].cell.key, "", tempo, f"2026-01-0{tempo % 7 + 1}T10:00") for tempo in (60, 66)
    ]
    return practise(passage, flute(), time=time, history=History(tuple(reached)))


@pytest.fixture(scope="module")
def path(planned: Plan, tmp_path_factory: Any) -> Path:
    """Its sheet in a file."""
    found: Path = tmp_path_factory.mktemp("sheet") / "sheet.html"
    found.write_text(plan_sheet(planned, flute()), encoding="utf-8")
    return found


@pytest.mark.parametrize("paper", PAPER_MM)
def test_every_day_is_one_printed_page(planned: Plan, path: Path, browser: Any, paper: str) -> None:
    """The PDF the browser prints has as many pages as the plan has days, on A4 and on Letter."""
    page = browser.new_page()
    page.goto(path.as_uri())
    printed = page.pdf(format=paper, prefer_css_page_size=False)
    page.close()
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == len(planned.days)


def test_a4_is_used_to_its_foot(planned: Plan, path: Path, browser: Any) -> None:
    """On A4 every page ends near its foot; on Letter the same document is no higher than the paper."""
    page = browser.new_page()
    page.goto(path.as_uri())
    found = {}
    for paper in PAPER_MM:
        (path.parent / f"{paper}.pdf").write_bytes(page.pdf(format=paper, prefer_css_page_size=False))
        text = subprocess.run(
            ["pdftotext", "-bbox", path.parent / f"{paper}.pdf", "-"],
            capture_output=True,
            check=True,
            text=True,
        ).stdout.split("<page ")[1:]
        found[paper] = [max(map(float, re.findall(r'yMax="([0-9.]+)"', each))) / 72 * 25.4 for each in text]
    page.close()
    assert len(found["A4"]) == len(planned.days)
    assert all(272 < foot <= 285.5 for foot in found["A4"]), found["A4"]
    assert all(foot <= 267.9 for foot in found["Letter"]), found["Letter"]


def as_printed(browser: Any, path: Path) -> Any:
    """A page with a sheet laid out as on paper."""
    page = browser.new_page(viewport={"width": 900, "height": 1000})
    page.goto(path.as_uri())
    page.emulate_media(media="print")
    return page


def test_pages_are_about_as_high_as_was_reckoned(planned: Plan, path: Path, browser: Any) -> None:
    """Never much more than reckoned, and not far less: the sizes of sheet and layout hold together."""
    page = as_printed(browser, path)
    heights = page.evaluate(
        "[...document.querySelectorAll('.day')].map((day) => {"
        " day.style.width = '184mm'; day.style.minHeight = '0';"
        " day.querySelectorAll('.notes').forEach((notes) => notes.remove());"
        " return day.getBoundingClientRect().height; })"
    )
    page.close()
    drawer = DrillDrawer(GripSymbols(flute()))
    for day, height in zip(planned.days, heights, strict=True):
        reckoned = height_of(day_page(planned, day), drawer, fit_for(day_page(planned, day), drawer))
        assert 0.85 * reckoned < height / PX_PER_MM < reckoned + 3.0


def test_nothing_stands_outside_the_page_or_on_something_else(path: Path, browser: Any) -> None:
    """No drill is wider than the sheet, no two drills of a row overlap."""
    page = browser.new_page(viewport={"width": 900, "height": 1000})
    page.goto(path.as_uri())
    days = page.evaluate(
        "[...document.querySelectorAll('.day')].map((day) => ({right: day.getBoundingClientRect().right,"
        " rows: [...day.querySelectorAll('.drills')].map((row) => [...row.children].map((drill) => {"
        "  const one = drill.getBoundingClientRect();"
        "  const music = (drill.querySelector('svg') ?? drill).getBoundingClientRect();"
        "  return [one.left, Math.max(one.right, music.right), one.top]; }))}))"
    )
    page.close()
    for day in days:
        for row in day["rows"]:
            assert all(right <= day["right"] + 1 for _, right, _ in row)
            for (_, right, top), (left, _, other) in pairwise(row):
                assert right <= left + 1 or other > top


@pytest.mark.parametrize("paper", PAPER_MM)
def test_a_long_heading_stays_over_its_own_drill(
    planned: Plan, browser: Any, tmp_path: Path, paper: str
) -> None:
    """Two grips of one note in its heading take more lines, and the room that was reckoned for them."""
    path, kind = tmp_path / "sheet.html", sheet_drill(planned.cells[0], 1, 0, "2′")
    two_grips = "E6 first T 1 2 3 4 | 1 2 Eb, then T 1 2 | 1 2 Eb"
    long = replace(kind, label="3.1", title="The trill as one figure", facts=f"2′ · {two_grips}")
    sheet = SheetPage("day 1", "20 minutes", (long, *[kind] * 5, long))
    path.write_text(practice_sheet("Study", "", [sheet], flute(), paper), encoding="utf-8")
    page = as_printed(browser, path)
    drills = page.evaluate(
        "[...document.querySelectorAll('.drill')].map((drill) => {"
        " const words = document.createRange(); words.selectNodeContents(drill.querySelector('.name'));"
        " const box = drill.getBoundingClientRect(), name = words.getBoundingClientRect();"
        " return [box.right, name.right, name.bottom, drill.querySelector('svg').getBoundingClientRect().top,"
        "  box.height]; })"
    )
    page.close()
    assert len(drills) == 7
    assert all(name <= right + 1 and below <= music + 1 for right, name, below, music, _ in drills)
    drawer = DrillDrawer(GripSymbols(flute()))
    fit = fit_for(replace(sheet, heading="Study · day 1"), drawer)
    high = drills[0][-1] / PX_PER_MM
    assert high - 1 < drill_height(long, drawer.draw(long, fit.size)) < high + TITLE_MM + 1


def test_the_console_stays_silent_offline(path: Path, browser: Any) -> None:
    """Nothing is fetched, nothing is complained about, with the page's own policy in force."""
    page = browser.new_page()
    said: list[str] = []
    fetched: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: fetched.append(request.url))
    page.goto(path.as_uri())
    page.close()
    assert said == []
    assert fetched == [path.as_uri()]


def test_nothing_hinders_access(path: Path, browser: Any) -> None:
    """axe-core finds no breach of WCAG 2.2 A and AA in a practice sheet."""
    assert breaches(browser, path) == []


def test_nothing_hinders_access_to_the_technique_sheet(browser: Any, tmp_path: Path) -> None:
    """Nor in a technique sheet with its heat map; and it prints."""
    question = PatternQuestion(90, 96, (Key.parse("A"),), (), Fraction(1, 16), 120.0)
    found = hard_patterns(flute(), question, Wishes(others=0), most=2)
    path = tmp_path / "technique.html"
    path.write_text(technique_sheet(found, 6), encoding="utf-8")
    assert breaches(browser, path) == []


def breaches(browser: Any, path: Path) -> list[str]:
    """What axe-core finds in a file."""
    page = browser.new_page(bypass_csp=True)
    page.goto(path.as_uri())
    results = Axe().run(page, options={"runOnly": TAGS})
    page.close()
    return [
        violation["id"] + ": " + violation["nodes"][0]["html"][:200]
        for violation in results.response["violations"]
    ]
