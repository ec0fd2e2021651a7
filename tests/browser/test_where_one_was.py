"""The page keeps the place, the tempos of the score and the names of a work; what it prints and says."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, SCHUBERT, SIZES, Desk, desk, faults_of_axe

pytestmark = pytest.mark.browser

MARK = """<direction placement="above"><direction-type><metronome><beat-unit>quarter</beat-unit>
<per-minute>{0}</per-minute></metronome></direction-type><sound tempo="{0}"/></direction>"""

TOP = """(() => {
  const seen = (box) => box.getBoundingClientRect().bottom > 80;
  const box = [...document.querySelectorAll('.system')].find(seen);
  return [box.querySelector('.spot').dataset.note, Math.round(box.getBoundingClientRect().top)];
})()"""
"""The first system in view below the header: its first note, and how far it stands from the top."""

ABOVE_THE_SHEET = """(() => {
  const box = (one) => document.querySelector(one).getBoundingClientRect();
  return box('.spot.chosen').bottom <= box('#panel').top;
})()"""
"""The chosen note has been scrolled to where the sheet does not cover it."""

NO_PAPER = """void (window.print = () => {
  const system = document.querySelector('.system');
  window.printed = [system.style.maxWidth, document.adoptedStyleSheets.length];
})"""


def with_tempos(folder: Path) -> Path:
    """The rooftop study with 60 from bar 3 and 92 from bar 6 on, besides the 126 of its beginning."""
    text = ROOFTOP.read_text(encoding="utf-8")
    for bar, tempo in ((3, 60), (6, 92)):
        text = text.replace(f'<measure number="{bar}">', f'<measure number="{bar}">{MARK.format(tempo)}')
    path = folder / "tempos.musicxml"
    path.write_text(text, encoding="utf-8")
    return path


def test_several_tempos_are_taken_in_percent(page: Desk, tmp_path: Path) -> None:
    """80 % of 126, 60 and 92; what that is in view is said; one number for all is offered no more."""
    page.open_score(with_tempos(tmp_path))
    page.settled()
    assert page.page.is_hidden("#tempo")
    page.page.fill("#percent", "80")
    page.page.press("#percent", "Enter")
    page.until("document.getElementById('summary').textContent.includes('80 % of the marked tempos')")
    assert "(♩ = 48, 74, 101)" in page.page.inner_text("#summary")
    assert page.page.inner_text("#tempo-here").startswith("in view ♩ = ")
    page.page.set_viewport_size({"width": 1440, "height": 600})
    page.settled()
    page.page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.until("!document.getElementById('tempo-here').textContent.includes('101')")
    assert page.page.inner_text("#tempo-here").endswith("74")
    page.page.fill("#percent", "4")
    page.page.press("#percent", "Enter")
    page.page.wait_for_selector("#percent-problem:not([hidden])")
    assert faults_of_axe(page.page) == []
    page.page.fill("#percent", "")
    page.page.press("#percent", "Enter")
    page.until("document.getElementById('summary').textContent.includes('fingering at the marked')")
    page.faults.clear()  # the browser logs the refused request


def test_bars_of_one_tempo_have_a_number(page: Desk, tmp_path: Path) -> None:
    """Where the chosen bars have one tempo the field is a number, and the score's is shown in it."""
    page.open_score(with_tempos(tmp_path))
    page.page.fill("#bars", "3-5")
    page.page.press("#bars", "Enter")
    page.page.wait_for_selector("#tempo", state="visible")
    assert page.page.get_attribute("#tempo", "placeholder") == "60"
    assert page.page.is_hidden("#percent")


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_the_place_stays(browser: Any, address: str, size: str) -> None:
    """A reload, Continue, a pin, undo, Escape and another size leave the same system where it was."""
    with desk(browser, address, size) as shown:
        shown.open_score(SCHUBERT)
        shown.settled()
        shown.page.evaluate("scrollTo(0, 1500)")
        spot = shown.page.locator(".spot").nth(90)
        spot.scroll_into_view_if_needed()
        spot.click()
        shown.page.wait_for_selector(".pick")
        shown.settled()
        note = shown.page.get_attribute(".spot.chosen", "data-note")
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector(".unfold", state="detached")
        shown.settled()
        shown.page.evaluate("scrollBy({top: 3, behavior: 'instant'})")
        shown.place_kept()
        top = f"document.querySelector('[data-note={note}]').closest('.system').getBoundingClientRect().top"
        before = shown.page.evaluate(top)
        shown.page.keyboard.press("p")
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        assert abs(shown.page.evaluate(top) - before) <= 2
        shown.page.click("#undo")
        shown.page.wait_for_selector(".spot.pinned", state="detached")
        shown.settled()
        assert abs(shown.page.evaluate(top) - before) <= 2
        shown.place_kept()
        first = shown.page.evaluate(TOP)
        shown.page.reload()
        shown.page.wait_for_selector("html[data-ready]")
        shown.settled()
        assert shown.page.evaluate(TOP)[0] == first[0]
        assert abs(shown.page.evaluate(TOP)[1] - first[1]) <= 3
        assert shown.page.get_attribute(".spot.chosen", "data-note") == note
        if shown.page.is_visible("#fold"):
            shown.page.evaluate("document.getElementById('fold').click()")
        shown.page.evaluate("document.getElementById('size').value = '34'")
        shown.page.evaluate("document.getElementById('size').dispatchEvent(new Event('change'))")
        shown.settled()
        box = shown.page.locator(".spot.chosen").bounding_box()
        assert 0 < box["y"] < SIZES[size][1]
        shown.page.evaluate("document.getElementById('open').click()")
        shown.page.locator(".go-on").first.click()
        shown.page.wait_for_selector("#start", state="hidden")
        shown.settled()
        assert shown.page.get_attribute(".spot.chosen", "data-note") == note
        assert shown.faults == []


def test_forgetting_asks_first(page: Desk) -> None:
    """A work nobody changed is asked about as well; Escape keeps it."""
    page.open_score(ROOFTOP)
    page.settled()
    page.page.reload()
    page.page.wait_for_selector("html[data-ready]")
    page.settled()
    page.page.click("#open")
    page.page.get_by_role("button", name="Forget Study").click()
    page.page.wait_for_selector("#dialog-sure")
    page.page.keyboard.press("Escape")
    assert page.page.locator(".go-on").count() == 1
    page.page.get_by_role("button", name="Forget Study").click()
    page.page.click("#sure-yes")
    page.page.wait_for_selector("#kept", state="hidden")


def test_composer_and_work_name_the_files(page: Desk) -> None:
    """Header, Continue and what is saved; the page says that it is saved, and under which name."""
    page.open_score(SCHUBERT)
    page.settled()
    with page.page.expect_download() as coming:
        page.page.keyboard.press("Control+s")
    assert coming.value.suggested_filename == "Schubert-Symphony-No-5-in-B-flat-major-gripway.json"
    assert coming.value.suggested_filename in page.page.inner_text("#told")
    page.page.click("#open")
    page.page.wait_for_selector("#kept-works :text('Franz Schubert: Symphony No.5 in B-flat major')")


def test_the_effort_is_the_least_with_the_pins(page: Desk) -> None:
    """With a pin nobody says that there is no less."""
    page.open_score(ROOFTOP)
    assert "(the least there is)" in page.page.inner_text("#summary")
    before = float(re.search(r"effort ([\d.]+)", page.page.inner_text("#summary"))[1])
    page.choose(6)
    page.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
    page.page.wait_for_selector(".spot.pinned")
    page.settled()
    assert "(the least there is with your pins)" in page.page.inner_text("#summary")
    risen = float(re.search(r"effort ([\d.]+)", page.page.inner_text("#summary"))[1]) - before
    assert risen > 0
    assert f"the whole passage takes {risen:.2f} more effort" in page.page.inner_text("#panel .why")


def test_lists_are_reached_below_the_headline_on_a_phone(browser: Any, address: str) -> None:
    """A button a list that holds something, above the music; it leads there, and back again."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(SCHUBERT)
        shown.settled()
        ways = shown.page.locator("#jumps button").all_inner_texts()
        assert re.fullmatch(r"Hard changes \d+(, \d+ of them late)?", ways[0])
        assert ways[1:] == ["Practise today", "On the stand"]
        assert (
            shown.page.locator("#jumps").bounding_box()["y"]
            < shown.page.locator("#music").bounding_box()["y"]
        )
        shown.page.locator("#jumps button").first.click()
        assert shown.page.evaluate("document.activeElement.id") == "work-title"
        list_top = shown.page.locator("#work-title").bounding_box()["y"]
        assert shown.page.locator(".top").bounding_box()["height"] <= list_top < 400
        assert faults_of_axe(shown.page) == []
        shown.page.click(".back-up")
        assert shown.page.locator("#music").bounding_box()["y"] < 400
        shown.choose(9)
        shown.until(ABOVE_THE_SHEET)
        assert shown.faults == []


def test_paper_has_its_own_layout(page: Desk) -> None:
    """Print stands first; the music is 178 mm wide whatever the screen, and as it was afterwards."""
    page.page.evaluate(NO_PAPER)
    page.page.set_viewport_size({"width": 700, "height": 800})
    page.open_score(ROOFTOP)
    page.settled()
    width = "Math.round(document.querySelector('.system').getBoundingClientRect().width)"
    before = page.page.evaluate(width)
    page.page.click("#save")
    assert page.page.locator("#save-menu button").first.get_attribute("id") == "save-print"
    page.page.click("#save-print")
    page.until("window.printed !== undefined")
    assert page.page.evaluate("window.printed") == [f"{178 * 96 / 25.4:.3f}px", 1]
    page.until("!document.body.classList.contains('for-paper')")
    page.settled()
    assert page.page.evaluate(width) == before
    assert page.page.evaluate("document.adoptedStyleSheets.length") == 0


@pytest.mark.parametrize("size", SIZES)
def test_the_day_is_practised_and_logged(browser: Any, address: str, size: str) -> None:
    """Drills stand engraved and are heard; what is ticked is there again, and goes into a file and back."""
    with desk(browser, address, size) as shown:
        shown.open_score(ROOFTOP)
        if shown.page.is_visible("#fold"):
            shown.page.click("#fold")
        shown.page.fill("#tempo", "150")
        shown.page.press("#tempo", "Enter")
        shown.settled()
        practise(shown)
        assert shown.page.locator(".drill .staff-lines").count() >= shown.page.locator(".drill").count()
        shown.page.locator(".drill input").first.check()
        shown.page.locator(".to-do input").first.check()
        hear = shown.page.locator(".drill .hear").first
        hear.click()
        shown.until("document.querySelector('.drill .hear').textContent === 'Stop'")
        hear.click()
        shown.until("document.querySelector('.drill .hear').textContent === 'Hear it'")
        assert shown.page.evaluate("document.querySelector('.day').scrollWidth <= innerWidth")
        assert faults_of_axe(shown.page) == []
        with shown.page.expect_download() as coming:
            shown.page.click("#save-log")
        shown.page.keyboard.press("Escape")
        practise(shown)
        ticked = "input:checked"
        assert [shown.page.locator(f"{one} {ticked}").count() for one in (".drill", ".to-do")] == [1, 1]
        shown.page.keyboard.press("Escape")
        shown.page.evaluate("localStorage.removeItem('gripway-practice')")
        shown.page.set_input_files(
            "#file", {"name": "log.jsonl", "mimeType": "", "buffer": Path(coming.value.path()).read_bytes()}
        )
        shown.page.wait_for_selector("#told:not([hidden])")
        practise(shown)
        assert [shown.page.locator(f"{one} {ticked}").count() for one in (".drill", ".to-do")] == [1, 1]
        assert shown.faults == []


YESTERDAY = """() => {
  const kept = JSON.parse(localStorage.getItem('gripway-practice'));
  for (const log of Object.values(kept)) for (const line of log.lines) line.when = '2026-01-02T10:00:00';
  localStorage.setItem('gripway-practice', JSON.stringify(kept));
}"""
"""What was ticked was ticked on an earlier day."""


def test_whatever_is_ticked_makes_a_day(page: Desk) -> None:
    """All work has a box, free work, too; one such tick and tomorrow is Day 2; what is over stays kept."""
    page.open_score(ROOFTOP)
    practise(page)
    boxes, work = ".drill:not(:has(input))", page.page.locator(".to-do input")
    assert page.page.locator(boxes).count() == 0
    lefts = page.page.eval_on_selector_all(".to-do input", "all => all.map(e => e.getBoundingClientRect().x)")
    assert len(lefts) > 1
    assert len(set(lefts)) == 1, "the boxes stand under each other"
    page.page.click("#save-log")
    assert page.page.inner_text("#log-words").startswith("Nothing to save yet")
    work.first.check()
    page.page.evaluate(YESTERDAY)
    page.page.keyboard.press("Escape")
    practise(page)
    assert page.page.inner_text(".day .answer").startswith("Day 2")
    assert page.page.locator(".day input:checked").count() == 0
    work.first.check()
    with page.page.expect_download() as coming:
        page.page.click("#save-log")
    lines = Path(coming.value.path()).read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["kind"] for line in lines] == ["day", "done", "day", "done"]


def test_the_days_of_a_plan_can_be_looked_at(page: Desk) -> None:
    """Today is marked, and only its boxes can be ticked; what was missed is on the next day."""
    page.open_score(SCHUBERT)
    practise(page)
    assert page.page.inner_text(".days strong") == "Day 1: today"
    assert "Day 2 comes" in page.page.inner_text(".day-words")
    assert page.page.locator("[aria-label='Day before']").is_disabled()
    page.page.locator(".drill input").first.check()
    cells = page.page.locator(".day .cell h3").count()
    page.page.click("[aria-label='Day after']")
    page.until("document.querySelector('.days strong')?.textContent === 'Day 2: to come'")
    assert page.page.locator(".day input:enabled").count() == 0
    assert page.page.locator(".day input:checked").count() == 0
    page.page.evaluate(YESTERDAY)
    page.page.keyboard.press("Escape")
    practise(page)
    assert page.page.inner_text(".days strong") == "Day 2: today"
    assert page.page.locator(".day .cell h3").count() >= cells
    page.page.click("[aria-label='Day before']")
    page.until("document.querySelector('.days strong')?.textContent === 'Day 1: 2 Jan'")
    assert page.page.locator(".day input:checked").count() == 1
    assert page.page.locator(".day input:enabled").count() == 0
    assert faults_of_axe(page.page) == []


def practise(shown: Desk) -> None:
    """Open the plan of the day, with the button in sight."""
    shown.page.get_by_role("button", name="Practise today", exact=True).click()
    shown.page.wait_for_selector(".drill")
    shown.settled()


def test_a_pair_for_a_trill_is_heard(page: Desk) -> None:
    """Small letters are notes, one without an octave stands above the other; a pair plays and stops."""
    page.page.click("#start-trill")
    page.page.fill("#trill-low", "b5")
    page.page.fill("#trill-high", "c#")
    page.page.keyboard.press("Enter")
    page.page.wait_for_selector(".pair")
    assert page.page.input_value("#trill-low") == "B5"
    assert page.page.input_value("#trill-high") == "C#6"
    hear = page.page.locator(".hear").first
    hear.click()
    page.until("document.querySelector('.hear').textContent === 'Stop'")
    hear.click()
    page.until("document.querySelector('.hear').textContent === 'Hear it'")
    assert faults_of_axe(page.page) == []
