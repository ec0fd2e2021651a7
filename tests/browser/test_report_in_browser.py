"""Reports as a browser shows them: no errors, every mark under its note, accessible, printable."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from gripway.page.report.note_signs import signs
from gripway.route.result import Route
from gripway.tasks.flutes import flute
from gripway.tasks.reports import report
from gripway.tasks.routes import finger
from gripway.tasks.scores import read

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
SCORES = {
    "boulanger-flute": (ROOT / "tests/data/boulanger_matin_flute.musicxml", "concert-flute"),
    "boulanger-piccolo": (ROOT / "tests/data/boulanger_matin_piccolo.musicxml", "piccolo"),
    "schubert": (ROOT / "tests/data/schubert_d485_flute.musicxml", "concert-flute"),
    "rooftop": (ROOT / "examples/rooftop_study.musicxml", "concert-flute"),
}
TOLERANCE_PX = 1.0

BOXES = """() => {
  const box = (element) => { const b = element.getBoundingClientRect();
    return {left: b.left, right: b.right, top: b.top, bottom: b.bottom}; };
  return [...document.querySelectorAll('.system')].map((system) => ({
    staff: Math.max(...[...system.querySelectorAll('.engraved path[stroke-width="13"]')]
      .filter((line) => /^M[-\\d.]+ ([-\\d.]+) L[-\\d.]+ \\1$/.test(line.getAttribute('d')))
      .map((line) => line.getBoundingClientRect().bottom)),
    whole: box(system.querySelector('svg')),
    heads: Object.fromEntries([...system.querySelectorAll('[data-head]')]
      .map((note) => [note.dataset.head, box(note.querySelector('use'))])),
    marks: [...system.querySelectorAll('.mark')].map((mark) => ({note: mark.dataset.note, ...box(mark)})),
  }));
}"""


@dataclass
class Shown:
    """A report on a page, its route, and what the console said."""

    name: str
    path: Path
    route: Route
    page: Any
    said: list[str]


@pytest.fixture(scope="module", params=SCORES)
def shown(request: pytest.FixtureRequest, browser: Any, tmp_path_factory: Any) -> Iterator[Shown]:
    """The report of a score on a desktop."""
    score, instrument = SCORES[request.param]
    reading = read(score)
    route = finger(reading.passage, flute(instrument))
    path = tmp_path_factory.mktemp("report") / "report.html"
    path.write_text(report(reading, route, flute(instrument)), encoding="utf-8")
    page = browser.new_page(viewport={"width": 1280, "height": 900}, bypass_csp=True)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(path.as_uri())
    yield Shown(request.param, path, route, page, said)
    page.close()


def test_the_console_stays_silent(shown: Shown, browser: Any) -> None:
    """Neither errors nor warnings, with the page's own policy in force."""
    strict = browser.new_page()
    strict.on("console", lambda message: shown.said.append(message.text))
    strict.on("pageerror", lambda error: shown.said.append(str(error)))
    strict.goto(shown.path.as_uri())
    strict.keyboard.press("Escape")
    strict.close()
    assert shown.said == []


def test_every_mark_sits_under_its_note(shown: Shown) -> None:
    """Centred under the head it belongs to, below the staff, inside its line, none on another."""
    systems = shown.page.evaluate(BOXES)
    found = 0
    for system in systems:
        for mark in system["marks"]:
            head = system["heads"][mark["note"]]
            middle = (head["left"] + head["right"]) / 2
            assert (mark["left"] + mark["right"]) / 2 == pytest.approx(middle, abs=TOLERANCE_PX), mark
            assert mark["top"] > system["staff"], mark
            assert mark["bottom"] < system["whole"]["bottom"] + TOLERANCE_PX
            found += 1
        assert overlapping(system["marks"]) == []
    assert found == len(signs(shown.route))


def overlapping(marks: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """The pairs of marks whose boxes lie on one another by more than the tolerance."""
    return [
        (one["note"], other["note"])
        for place, one in enumerate(marks)
        for other in marks[:place]
        if min(one["right"], other["right"]) - max(one["left"], other["left"]) > TOLERANCE_PX
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > TOLERANCE_PX
    ]


def test_overlaps_are_seen() -> None:
    """The check itself: two boxes on one another are told."""
    box = {"left": 0, "right": 10, "top": 0, "bottom": 10}
    assert overlapping([{"note": "a", **box}, {"note": "b", **box, "left": 8}]) == [("b", "a")]
    assert overlapping([{"note": "a", **box}, {"note": "b", **box, "left": 9.5}]) == []


FEWER = """() => {
  document.querySelectorAll('.system:nth-of-type(n+6)').forEach((system) => system.remove());
  document.querySelectorAll('.card:nth-of-type(n+40)').forEach((card) => card.remove());
  document.querySelectorAll('tbody tr:nth-of-type(n+8)').forEach((row) => row.remove());
  location.hash = document.querySelector('.hit').getAttribute('href');
}"""
"""A long part said over and over would keep axe-core busy for a minute: its first lines have every kind."""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_hinders_access(shown: Shown, browser: Any, scheme: str) -> None:
    """axe-core finds no breach of WCAG 2.2 A and AA, with a card open, in light and dark colours."""
    page = browser.new_page(bypass_csp=True, color_scheme=scheme)
    page.goto(shown.path.as_uri())
    page.evaluate(FEWER)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    results = Axe().run(page, options={"runOnly": tags})
    page.close()
    found = [violation["id"] for violation in results.response["violations"]]
    assert found == [], results.generate_report()


def test_a_note_opens_its_card_and_leads_back(shown: Shown) -> None:
    """By mouse and by keyboard; Escape closes the card and the focus returns to the note."""
    page = shown.page
    name = page.locator(".hit").nth(3).get_attribute("id").removeprefix("at-")
    page.locator(".hit").nth(3).click()
    assert page.locator(f"[id='note-{name}']").is_visible()
    assert page.locator(f"[id='note-{name}'] tbody tr").count() >= 1
    page.keyboard.press("Escape")
    assert not page.locator(f"[id='note-{name}']").is_visible()
    assert page.evaluate("document.activeElement.id") == f"at-{name}"
    page.keyboard.press("Enter")
    assert page.locator(f"[id='note-{name}']").is_visible()
    page.keyboard.press("Escape")


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_only_the_music_and_tables_scroll_sideways(shown: Shown, width: int) -> None:
    """The page itself is never wider than the window (WCAG 2.2, 1.4.10; music is two-dimensional)."""
    shown.page.set_viewport_size({"width": width, "height": 900})
    wide = shown.page.evaluate("document.documentElement.scrollWidth")
    shown.page.set_viewport_size({"width": 1280, "height": 900})
    assert wide <= width


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_line_of_music_is_cut_by_a_page(shown: Shown, paper: str) -> None:
    """On paper every line of music asks not to be broken, is lower than a page, and cards are left out."""
    page = shown.page
    page.emulate_media(media="print")
    width, height = {"A4": (180, 267), "Letter": (185.9, 249.4)}[paper]
    page.set_viewport_size({"width": round(width / 25.4 * 96), "height": 900})
    breaks = page.evaluate(
        "[...document.querySelectorAll('.system')]"
        ".map((system) => [getComputedStyle(system).breakInside, system.offsetHeight])"
    )
    wide = page.evaluate("document.documentElement.scrollWidth")
    hidden = page.evaluate("getComputedStyle(document.querySelector('.card')).display")
    page.emulate_media(media="screen")
    page.set_viewport_size({"width": 1280, "height": 900})
    assert {inside for inside, _ in breaks} == {"avoid"}
    assert max(high for _, high in breaks) < height / 25.4 * 96
    assert wide <= round(width / 25.4 * 96)
    assert hidden == "none"


def test_it_works_without_scripts(shown: Shown, browser: Any) -> None:
    """With JavaScript switched off a note still opens its card."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(shown.path.as_uri())
    hit = page.locator(".hit").nth(2)
    name = hit.get_attribute("id").removeprefix("at-")
    hit.click()
    assert page.locator(f"[id='note-{name}']").is_visible()
    context.close()
