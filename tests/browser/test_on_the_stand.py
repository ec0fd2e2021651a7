"""On the music stand: the one file from disk, and the page's own stand mode, turned, looked up, heard."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import (
    ROOFTOP,
    SCHUBERT,
    SIZES,
    Desk,
    desk,
    faults_of_axe,
)

from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.flutes import flute
from gripway.tasks.reports import stand_file
from gripway.tasks.routes import finger
from gripway.tasks.scores import read

pytestmark = pytest.mark.browser

LEAST_DOT_PX = 12.0
"""Issue 13: plates of a diagram on the stand are at least as wide."""

STANDS = {"phone": (390, 844), "phone laid": (844, 390), "upright": (820, 1180), "laid": (1180, 820)}
HOSTILE = "</script><script>document.title='gone'</script><img src=x onerror=alert(1)>"
PLATE = "document.querySelector('.mark [data-touch=L1]').getBoundingClientRect().width"
TOPS = "[...document.querySelectorAll('.system')].map(s => s.getBoundingClientRect().top)"
EVERY_GRIP = "document.getElementById('show').value = 'all'"
"""The first systems of the part have plain grips only."""

AWAKE = """
window.locks = [];
Object.defineProperty(navigator, 'wakeLock', {value: {request: (kind) => {
  const lock = {kind, held: true, release: () => { lock.held = false; return Promise.resolve(); }};
  window.locks.push(lock);
  return Promise.resolve(lock);
}}});
"""
"""A wake lock that can be looked at: a browser without a screen has none."""

TONES = """
window.tones = [];
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (...when) {
  window.tones.push([this.frequency.value, this.detune.value]);
  return start.apply(this, when);
};
"""
"""Notes down what is sounded: hertz, and cents beside it."""


def write(folder: Path, score: Path, tempo: float | None = None) -> Path:
    """The file for the stand of a score."""
    reading = read(score, ReadOptions(tempo=tempo))
    path = folder / "stand.html"
    path.write_text(
        stand_file(reading, finger(reading.passage, flute("concert-flute")), flute("concert-flute")),
        encoding="utf-8",
    )
    return path


@pytest.fixture(scope="module")
def study(tmp_path_factory: Any) -> Path:
    """The rooftop study at a tempo with unusual grips."""
    return write(tmp_path_factory.mktemp("stand"), ROOFTOP, 176.0)


SHOWN = """(() => {
  const foot = document.querySelector('.stand-bar').getBoundingClientRect().top;
  const found = { whole: [], cut: [] };
  document.querySelectorAll('.system').forEach((box, k) => {
    const { top, bottom } = box.getBoundingClientRect();
    if (box.matches('.cut') || bottom <= 1 || top >= foot - 1) return;
    found[top < -1 || bottom > foot + 1 ? 'cut' : 'whole'].push(k);
  });
  return found;
})()"""
"""The systems that are seen, by their number: those that are whole, and those that are cut."""


@contextmanager
def stood(browser: Any, path: Path, size: str, **options: Any) -> Iterator[Any]:
    """The file on a stand of a size; a word on the console and a request elsewhere is a fault."""
    width, height = STANDS[size]
    context = browser.new_context(viewport={"width": width, "height": height}, offline=True, **options)
    page = context.new_page()
    page.add_init_script(AWAKE + TONES)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda asked: asked.url == path.as_uri() or said.append(asked.url))
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-ready]")
    try:
        yield page
        assert said == []
    finally:
        context.close()


def until(page: Any, holds: str) -> None:
    """Until something holds on a page (its policy lets nobody wait inside)."""
    Desk(page, "", []).until(holds)


@pytest.mark.parametrize("size", STANDS)
def test_the_file_is_read_turned_and_looked_up(browser: Any, study: Path, size: str) -> None:
    """From disk and offline: plates of 12 CSS pixels, no wider than the screen, a note gives its grips."""
    with stood(browser, study, size, has_touch=True) as page:
        assert page.evaluate(PLATE) >= LEAST_DOT_PX
        assert page.evaluate("document.documentElement.scrollWidth") <= STANDS[size][0]
        page.locator(".spot").nth(6).tap()
        picks = page.locator(".pick")
        assert picks.count() > 1
        figures = picks.first.locator(".figure").all_inner_texts()
        assert [figure.split(":")[0] for figure in figures[:2]] == ["to", "from"]
        assert figures[2].endswith(" ct")
        assert figures[3] in ("sure", "fairly sure", "unsure")
        page.locator(".spot").nth(6).tap()
        assert picks.count() == 0


@pytest.mark.parametrize("size", STANDS)
def test_half_pages_go_through_the_whole_part(browser: Any, study: Path, size: str) -> None:
    """A pedal's keys turn to whole systems, over none that was not seen, to the last place and back."""
    with stood(browser, study, size) as page:
        many = int(page.get_attribute(".stand-place", "data-places"))
        read: set[int] = set()
        for place in range(1, many + 1):
            assert page.get_attribute(".stand-place", "data-place") == str(place)
            assert re.fullmatch(r"bars? [\d–\u2060]+ of\s10", page.text_content(".stand-place"))
            shown = page.evaluate(SHOWN)
            assert not (shown["whole"] and shown["cut"]), "only one that fits in no view is cut"
            read |= {*shown["whole"], *shown["cut"]}
            if place < many:
                page.keyboard.press("PageDown")
        assert read == set(range(page.locator(".system").count()))
        last = page.evaluate("scrollY")
        page.keyboard.press("ArrowRight")
        assert page.evaluate("scrollY") == last
        for _ in range(many):
            page.keyboard.press("PageUp")
        assert page.evaluate("scrollY") == 0


def test_taps_swipes_and_buttons_turn_too(browser: Any, study: Path) -> None:
    """Beside the notes a tap turns on, at the left back; a swipe over a note turns and chooses nothing."""
    with stood(browser, study, "upright") as page:

        def swipe(from_x: int, to_x: int) -> None:
            page.mouse.move(from_x, 300)
            page.mouse.down()
            page.mouse.move(to_x, 310, steps=3)
            page.mouse.up()

        places = [page.evaluate("scrollY")]

        def turned(on: bool) -> None:
            here = page.evaluate("scrollY")
            assert (here > places[-1]) is on
            assert here != places[-1]
            places.append(here)

        page.click("#turn-on")
        turned(True)
        swipe(600, 300)
        turned(True)
        swipe(300, 600)
        turned(False)
        page.click("#turn-back")
        turned(False)
        head = page.locator(".stand-head h1").bounding_box()
        page.mouse.click(810, head["y"] + 5)
        turned(True)
        page.click("#turn-back")
        turned(False)
        assert page.locator(".unfold").count() == 0


def test_a_grip_and_the_part_are_heard(browser: Any, study: Path) -> None:
    """A chosen grip sounds with its own cents; the part from the chosen note, until it is stopped."""
    with stood(browser, study, "upright") as page:
        page.locator(".spot").nth(6).click()
        label = page.locator(".pick").nth(1).get_attribute("aria-label")
        assert label.startswith("Hear ")
        sign, size = re.search(r"([+−]?)(\d+) cents", label).groups()
        page.locator(".pick").nth(1).click()
        until(page, "window.tones.length === 1")
        ((_, cents),) = page.evaluate("window.tones")
        assert round(abs(cents)) == int(size)
        assert (cents < 0) is (sign == "−")
        page.click(".unfold-hear")
        page.wait_for_selector(".spot.sounding")
        assert page.inner_text("#hear") == "Stop"
        page.keyboard.press(" ")
        page.wait_for_selector(".spot.sounding", state="detached")
        assert page.inner_text("#hear") == "Hear it"


def test_what_is_heard_turns_the_pages(browser: Any, study: Path) -> None:
    """On a low screen the system that begins to sound out of view comes to the top."""
    with stood(browser, study, "phone laid") as page:
        page.select_option("#speed", "100")
        page.locator(".spot").nth(14).click()
        page.click(".unfold-hear")
        until(page, "document.querySelectorAll('.system')[1].querySelector('.sounding') !== null")
        top = page.evaluate("document.querySelectorAll('.system')[1].getBoundingClientRect().top")
        assert abs(top) <= 1
        page.click("#hear")


def test_the_screen_stays_awake(browser: Any, study: Path) -> None:
    """One lock of the screen is held from the beginning (W3C Screen Wake Lock)."""
    with stood(browser, study, "upright") as page:
        until(page, "window.locks.length === 1")
        assert page.evaluate("window.locks.map(({kind, held}) => [kind, held])") == [["screen", True]]


def test_a_tablet_that_is_turned_round_stays_where_it_was(browser: Any, study: Path) -> None:
    """Another width takes another engraving; the system at the top holds the note that stood there."""
    with stood(browser, study, "upright") as page:
        shape = "document.querySelector('.staff').style.aspectRatio"
        before = page.evaluate(shape)
        for _ in range(3):
            page.keyboard.press("PageDown")
        name = page.locator(".spot").evaluate_all(
            "all => all.find(spot => spot.getBoundingClientRect().bottom > 0).dataset.note"
        )
        page.set_viewport_size({"width": 390, "height": 844})
        until(page, f"{shape} !== '{before}'")
        until(
            page,
            f"document.querySelector('[data-note=\"{name}\"]').getBoundingClientRect().bottom > 0"
            f" && document.querySelector('[data-note=\"{name}\"]').getBoundingClientRect().top < innerHeight",
        )
        assert page.evaluate(PLATE) >= LEAST_DOT_PX


def test_keys_alone_reach_a_grip(browser: Any, study: Path) -> None:
    """J goes to the next note, Enter unfolds its grips, Escape folds them and gives the note back."""
    with stood(browser, study, "upright") as page:
        page.keyboard.press("j")
        page.keyboard.press("j")
        assert page.evaluate("document.activeElement.dataset.note") == page.get_attribute(
            ".spot >> nth=1", "data-note"
        )
        page.keyboard.press("Enter")
        assert page.locator(".unfold").count() == 1
        page.keyboard.press("Escape")
        assert page.locator(".unfold").count() == 0
        assert page.evaluate("document.activeElement.classList.contains('chosen')")


def test_a_script_in_every_text_stays_text(browser: Any, tmp_path: Path) -> None:
    """Title, part, words and bar numbers that would run show as they were written, and nothing runs."""
    safe = HOSTILE.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    text = ROOFTOP.read_text(encoding="utf-8").replace("Study for a windy rooftop", safe)
    text = re.sub(r"<part-name>[^<]*", lambda _: f"<part-name>Flute {safe}", text)
    text = text.replace('<measure number="1"', f'<measure number="1{safe.replace(chr(39), "")}"', 1)
    words = f"<direction><direction-type><words>{safe}</words></direction-type></direction><note>"
    text = text.replace("<note>", words, 1)
    score = tmp_path / "hostile.musicxml"
    score.write_text(text, encoding="utf-8")
    with stood(browser, write(tmp_path, score), "upright") as page:
        assert page.inner_text("h1") == HOSTILE
        assert page.title() == f"{HOSTILE} - for the stand"
        assert HOSTILE in page.text_content(".facts")
        page.locator(".spot").nth(0).click()
        page.wait_for_selector(".unfold")
        assert page.locator("img").count() == 0
        assert page.evaluate("document.scripts.length") == 2


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", STANDS)
def test_the_file_keeps_the_guidelines(browser: Any, study: Path, size: str, scheme: str) -> None:
    """axe-core finds nothing, closed and with a note's grips unfolded (WCAG 2.2 A and AA)."""
    with stood(browser, study, size, color_scheme=scheme, bypass_csp=True) as page:
        assert faults_of_axe(page) == []
        page.locator(".spot").nth(6).click()
        page.wait_for_selector(".unfold")
        assert faults_of_axe(page) == []


# ---- the page's own stand mode


def stand(shown: Desk) -> None:
    """Put the open score on the stand."""
    shown.more("#stand")
    shown.page.wait_for_selector("body.on-stand")
    shown.settled()


@pytest.mark.parametrize("size", SIZES)
def test_the_page_goes_on_the_stand_and_back(browser: Any, address: str, size: str) -> None:
    """Music, diagrams and one bar are left; plates are 12 CSS pixels; a pedal turns; Escape leaves."""
    with desk(browser, address, size) as shown:
        shown.page.add_init_script(AWAKE)
        shown.page.reload()
        shown.page.wait_for_selector("html[data-ready]")
        shown.open_score(SCHUBERT)
        shown.page.evaluate(EVERY_GRIP)
        shown.page.focus("#music")
        stand(shown)
        for gone in (".top", ".choices", "#panel", "#player", "#summary", "#overview", "footer"):
            assert not shown.page.is_visible(gone)
        shown.until(f"{PLATE} >= {LEAST_DOT_PX}")
        shown.page.keyboard.press("PageDown")
        assert shown.page.evaluate("scrollY") > 0
        assert min(abs(top) for top in shown.page.evaluate(TOPS)) <= 1
        assert shown.page.evaluate("window.locks.filter(({held}) => held).length") == 1
        shown.page.locator(".spot").nth(3).click()
        shown.page.wait_for_selector(".pick")
        shown.settled()
        assert not shown.page.is_visible("#panel")
        assert faults_of_axe(shown.page) == []
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector(".unfold", state="detached")
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector("body:not(.on-stand)")
        shown.settled()
        assert shown.page.is_visible(".top")
        assert shown.page.evaluate("window.locks.filter(({held}) => held).length") == 0
        assert shown.faults == []


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_the_stand_tells_its_bars_and_keeps_no_work_marks(browser: Any, address: str, size: str) -> None:
    """All bars on the screen count; Go says which bar is none; a turn closes what is unfolded."""
    with desk(browser, address, size) as shown:
        shown.open_score(SCHUBERT)
        shown.settled()
        shown.choose(3)
        shown.page.keyboard.press("p")
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        assert shown.page.locator(".tags .pin").first.is_visible()
        shown.page.evaluate("document.getElementById('stand').click()")
        shown.page.wait_for_selector("body.on-stand")
        shown.settled()
        shown.until("document.querySelector('.stand-place').textContent.includes('299')")
        shown.page.fill(".to-bar", "1")
        shown.page.press(".to-bar", "Enter")
        shown.until("document.querySelector('.to-bar').value === ''")
        words = shown.page.text_content(".stand-place").replace("\u2060", "")
        assert re.fullmatch(r"bars 1–\d+ of\s299", words), words
        assert shown.page.locator(".tags > :not(.thumb):visible").count() == 0
        shown.page.fill(".to-bar", "900")
        shown.page.locator(".jump-bar button").click()
        shown.page.wait_for_selector(".jump-problem:not([hidden])")
        assert shown.page.inner_text(".jump-problem") == "no bar 900"
        assert faults_of_axe(shown.page) == []
        shown.page.fill(".to-bar", "10")
        assert not shown.page.is_visible(".jump-problem")
        shown.page.locator(".jump-bar button").click()
        shown.until("document.querySelector('.to-bar').value === ''")
        shown.page.locator(".spot").nth(3).click()
        shown.page.wait_for_selector(".unfold")
        shown.settled()
        shown.page.keyboard.press("PageDown")
        shown.page.wait_for_selector(".unfold", state="detached")
        shadow = "getComputedStyle(document.querySelector('.spot.chosen')).boxShadow"
        shown.page.evaluate("document.activeElement.blur()")
        assert shown.page.evaluate(shadow) == "none"
        assert shown.faults == []


def test_a_pin_set_on_the_stand_holds(browser: Any, address: str) -> None:
    """S goes there and back; a grip chosen there is pinned as at the desk."""
    with desk(browser, address) as shown:
        shown.open_score(ROOFTOP)
        shown.page.focus("#music")
        shown.page.keyboard.press("s")
        shown.page.wait_for_selector("body.on-stand")
        shown.settled()
        shown.page.locator(".spot").nth(6).click()
        shown.page.locator(".pick").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        shown.page.click("#stand-leave")
        shown.page.wait_for_selector("body:not(.on-stand)")
        shown.settled()
        assert shown.page.locator(".spot.pinned").count() == 1
        assert shown.faults == []


def test_the_page_saves_the_file(browser: Any, address: str, tmp_path: Path) -> None:
    """What the Save menu gives opens from disk, with the pins of the page."""
    with desk(browser, address) as shown:
        shown.open_score(ROOFTOP)
        shown.page.click("#save")
        with shown.page.expect_download() as given:
            shown.page.click("#save-stand")
        path = tmp_path / "taken.html"
        given.value.save_as(path)
        assert given.value.suggested_filename == "Study-for-a-windy-rooftop-stand.html"
        assert shown.faults == []
    with stood(browser, path, "upright") as page:
        assert page.locator(".spot").count() > 100
