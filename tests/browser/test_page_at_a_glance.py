"""The page seen at a glance: the list of places, the strip of bars, diagrams to read, grips side by side."""

import re
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, SIZES, Desk, desk, faults_of_axe

pytestmark = pytest.mark.browser

BOXES = (
    "all => all.map(e => { const b = e.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; })"
)
LEAST_DOT_PX = 8.0


@pytest.fixture
def study(page: Desk) -> Desk:
    """The rooftop study at a tempo at which it has hard changes and unusual grips."""
    page.open_score(ROOFTOP)
    at_tempo(page, "176")
    return page


def at_tempo(shown: Desk, tempo: str) -> None:
    """Another tempo, and all that follows from it."""
    if shown.page.is_visible("#fold") and not shown.page.is_visible("#tempo"):
        shown.page.click("#fold")
    shown.page.fill("#tempo", tempo)
    shown.page.press("#tempo", "Enter")
    shown.until("document.getElementById('status').textContent.includes('tempo')")
    shown.settled()


def chosen(shown: Desk) -> str:
    """The id of the chosen note."""
    name: str = shown.page.get_attribute(".spot.chosen", "data-note")
    return name


def test_the_list_is_walked_by_keys(study: Desk) -> None:
    """J goes through the places of the chosen kind as they are played, K back; U to unusual grips."""
    study.page.click('[data-kind="unusual"]')
    count = int(study.page.inner_text('[data-kind="unusual"] .count'))
    assert count > 1
    walked = []
    for _ in range(count + 1):
        study.page.keyboard.press("j")
        study.settled()
        walked.append(chosen(study))
    assert len(set(walked)) == count
    assert walked[0] == walked[-1]
    study.page.keyboard.press("k")
    study.settled()
    assert chosen(study) == walked[-2]
    study.page.keyboard.press("u")
    study.settled()
    assert chosen(study) == walked[-1]
    study.page.keyboard.press("h")
    study.settled()
    assert "late change" in study.page.get_attribute(".spot.chosen", "aria-label")


def test_every_kind_has_its_count_and_its_places(study: Desk) -> None:
    """Hard changes from load 0.8, unusual grips, leans, pins and bans: as many as the page has of them."""
    study.choose(6)
    study.page.locator(".pick").nth(2).click()  # 21 cents flat: more than is lipped
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    study.page.keyboard.press("Escape")
    study.page.click('[data-kind="tuning"]')
    assert "21 cents, flat" in study.page.inner_text("#places"), study.page.inner_text("#places")
    red = study.page.eval_on_selector_all("#places .late", "all => all.map(s => s.textContent)")
    assert red
    assert all(words.endswith(": needs help") for words in red), "what is lipped is not red"
    assert int(study.page.inner_text('[data-kind="tuning"] .count')) >= len(red)
    assert re.search(r", \d+ to lip", study.page.inner_text('[data-kind="tuning"]'))
    assert "lip it" in study.page.inner_text("#places")
    study.page.click('[data-kind="pinned"]')
    assert study.page.inner_text('[data-kind="pinned"] .count') == "1"
    study.page.get_by_role("button", name="Unpin").click()
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    assert "No pin" in study.page.inner_text("#places")
    study.page.click('[data-kind="tuning"]')
    assert "21 cents" not in study.page.inner_text("#places")


def test_all_same_figures_are_pinned_at_once(study: Desk) -> None:
    """A figure that comes three times: one pin, one step that pins the others, one that takes them away."""
    study.choose(6)
    study.page.locator(".pick").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    study.page.keyboard.press("Escape")
    study.page.click('[data-kind="pinned"]')
    study.page.get_by_role("button", name="Pin in all same figures").click()
    study.until("document.querySelectorAll('.spot.pinned').length === 3")
    study.settled()
    assert study.page.inner_text('[data-kind="pinned"] .count') == "3"
    study.page.click("#undo")
    study.until("document.querySelectorAll('.spot.pinned').length === 1")
    study.settled()


def test_the_strip_of_bars_goes_where_it_is_clicked(study: Desk) -> None:
    """A bar a column; a click chooses a note of that bar, an arrow key the next bar."""
    bars = study.page.locator("#overview span").count()
    assert bars == 10
    box = study.page.locator("#overview").bounding_box()
    study.page.mouse.click(box["x"] + box["width"] * 5.5 / bars, box["y"] + box["height"] / 2)
    study.settled()
    assert study.page.get_attribute(".spot.chosen", "aria-label").startswith("bar 6,")
    study.page.focus("#overview")
    study.page.keyboard.press("ArrowRight")
    study.settled()
    assert study.page.get_attribute(".spot.chosen", "aria-label").startswith("bar 7,")
    assert study.page.get_attribute("#overview", "aria-valuetext").startswith("bar 7, worst load")


@pytest.mark.parametrize("size", SIZES)
def test_diagrams_can_be_read(browser: Any, address: str, size: str) -> None:
    """At medium every plate is 8 CSS pixels wide, none is on another; large is larger."""
    with desk(browser, address, size) as shown:
        shown.open_score(ROOFTOP)
        if shown.page.is_visible("#fold"):
            shown.page.click("#fold")
        shown.page.select_option("#show", "all")
        shown.settled()
        plate = "document.querySelector('.mark [data-touch=L1]').getBoundingClientRect().width"
        assert shown.page.evaluate(plate) >= LEAST_DOT_PX
        medium = shown.page.evaluate(plate)
        for system in range(shown.page.locator(".system").count()):
            boxes = shown.page.locator(".system").nth(system).locator(".mark svg").evaluate_all(BOXES)
            for k, one in enumerate(boxes):
                for other in boxes[:k]:
                    beside = min(one[2], other[2]) - max(one[0], other[0])
                    assert beside <= 1 or min(one[3], other[3]) - max(one[1], other[1]) <= 1
        shown.page.select_option("#size", "58")
        shown.until(f"{plate} > {medium * 1.2}")
        assert shown.faults == []


def test_dense_notes_that_keep_their_grip_have_a_dot(browser: Any, address: str) -> None:
    """Repeated quick notes on a phone: one diagram, then dots; ringed is what moved, tied what stays."""
    with desk(browser, address, "phone") as shown:
        shown.page.click("#start-write")
        shown.page.fill("#notes-text", "E5 E5 E5 E5 E5 E5 E5 E5 G5 G5 G5 G5 G5 G5 G5 G5")
        shown.page.select_option("#notes-unit", "1/32")
        shown.page.click("dialog .main-action")
        shown.wait_for_music()
        shown.settled()
        shown.page.click("#fold")
        shown.page.select_option("#show", "all")
        assert shown.page.locator(".mark .stays").count() > 0
        assert shown.page.locator(".mark svg").count() + shown.page.locator(".mark .stays").count() == 16
        shown.page.click("#open")
        shown.page.click("#start-write")
        shown.page.fill("#notes-text", "E5:1/2 F5:1/2")
        shown.page.click("dialog .main-action")
        shown.until("document.querySelectorAll('.spot').length === 2")
        shown.settled()
        assert shown.page.locator(".mark .ring").count() == 1  # E5 T 1 2 3 | 1 2 Eb, F5 T 1 2 3 | 1 Eb: R2
        assert shown.page.get_attribute(".ties path", "d").count("M") == 6  # T, L1, L2, L3, R1, Eb stay


def test_a_grip_is_pinned_by_its_diagram(browser: Any, address: str) -> None:
    """A chosen note unfolds its grips below its system, each with its two changes; a click pins one."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(ROOFTOP)
        shown.page.locator(".spot").nth(6).click()
        shown.page.wait_for_selector(".unfold .pick")
        shown.settled()
        assert shown.page.is_hidden("#panel .grip-acts")
        assert shown.page.locator(".system").first.locator(".unfold").count() == 1
        first = shown.page.locator(".pick").first
        figures = first.locator(".figure").all_inner_texts()
        assert [figure.split(":")[0] for figure in figures[:3]] == ["least", "to", "from"]
        assert figures[3].endswith("ct")
        assert figures[4] in ("sure", "fairly sure", "unsure")
        shown.page.locator(".pick").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        assert shown.page.locator(".pick").nth(1).get_attribute("aria-pressed") == "true"
        shown.page.locator(".pick").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned", state="detached")
        shown.settled()
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector(".unfold", state="detached")
        assert shown.faults == []


def test_a_grip_is_pinned_by_keyboard_where_it_unfolds(browser: Any, address: str) -> None:
    """Arrow keys take the unfolded grips along; Enter pins one of them, Escape goes back to the note."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(ROOFTOP)
        shown.page.locator(".spot").nth(5).click()
        shown.page.wait_for_selector(".unfold .pick")
        shown.settled()
        shown.page.locator(".spot").nth(5).focus()
        shown.page.keyboard.press("ArrowRight")
        shown.settled()
        assert "G\u266f6" in shown.page.get_attribute(".unfold", "aria-label")
        shown.page.locator(".pick").nth(1).focus()
        shown.page.keyboard.press("Enter")
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        assert shown.page.evaluate("document.activeElement.dataset.key") == "pick1"
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector(".unfold", state="detached")
        assert shown.page.evaluate("document.activeElement.classList.contains('chosen')")
        assert shown.faults == []


@pytest.mark.parametrize(
    ("size", "scheme"), [*((size, "light") for size in SIZES), ("phone", "dark"), ("desktop", "dark")]
)
def test_lists_and_unfolded_grips_keep_the_guidelines(
    browser: Any, address: str, size: str, scheme: str
) -> None:
    """axe-core finds nothing on list, unfolded grips, a pin, the player's menu; nothing is cut off."""
    with desk(browser, address, size, color_scheme=scheme) as shown:
        shown.open_score(ROOFTOP)
        at_tempo(shown, "176")
        shown.page.click(".signs summary")
        assert faults_of_axe(shown.page) == []
        shown.page.locator(".spot").nth(6).click()
        shown.page.wait_for_selector(".unfold .pick")
        shown.settled()
        shown.page.locator(".pick").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        assert faults_of_axe(shown.page) == []
        shown.page.keyboard.press("Escape")
        shown.page.click('[data-kind="pinned"]')
        assert faults_of_axe(shown.page) == []
        if shown.page.is_visible("#sound"):
            shown.page.click("#sound")
            assert faults_of_axe(shown.page, "#sound-menu") == []
        assert shown.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert shown.faults == []


@pytest.mark.parametrize("top", [20, 60, 90])
def test_a_list_that_is_chosen_stands_clear_of_the_header(browser: Any, address: str, top: int) -> None:
    """On a phone, wherever its choices stood: the way back to the music above them is not half covered."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(ROOFTOP)
        at_tempo(shown, "176")
        to = f"document.getElementById('filters').getBoundingClientRect().top + scrollY - {top}"
        shown.page.evaluate(f"scrollTo({{ top: {to}, behavior: 'instant' }})")
        shown.page.evaluate("document.querySelector('[data-kind=unusual]').click()")
        header, back = (shown.page.locator(one).bounding_box() for one in (".top", ".back-up"))
        assert header["y"] + header["height"] <= back["y"]
        assert faults_of_axe(shown.page) == []
        assert shown.faults == []


def test_a_loop_comes_again_after_a_bar_counted_in(study: Desk) -> None:
    """Bars 2 to 2 are heard again and again; a bar that is not there is said."""
    study.page.fill("#speed", "150")
    study.page.fill("#loop-bars", "90")
    study.page.press("#loop-bars", "Tab")
    assert "such as 3-4" in study.page.inner_text("#loop-problem")
    study.page.fill("#loop-bars", "2")
    study.page.press("#loop-bars", "Tab")
    assert study.page.is_hidden("#loop-problem")
    assert study.page.is_checked("#loop")
    study.page.check("#count-in")
    study.page.evaluate(
        "window.heard = []; new MutationObserver(() => { const s = document.querySelector('.spot.sounding');"
        " if (s && heard.at(-1) !== s.dataset.note) heard.push(s.dataset.note); })"
        ".observe(document.getElementById('pages'),"
        " {subtree: true, attributes: true, attributeFilter: ['class']})"
    )
    study.page.click("#play")
    study.until("heard.length > 17 && heard.lastIndexOf(heard[0]) > 0")
    study.page.click("#play")
    labels = study.page.evaluate(
        "heard.map(id => document.querySelector(`.spot[data-note=\"${id}\"]`).getAttribute('aria-label'))"
    )
    assert all(label.startswith("bar 2,") for label in labels)


def test_wrong_bars_keep_the_loop_that_was_there(study: Desk) -> None:
    """A click selects what stands in the field; no such bars are said there, and the old loop is heard."""
    study.page.fill("#loop-bars", "2")
    study.page.press("#loop-bars", "Tab")
    study.page.click("#loop-bars")
    study.page.keyboard.type("163-16")
    assert study.page.input_value("#loop-bars") == "163-16"
    study.page.press("#loop-bars", "Tab")
    assert "still 2" in study.page.inner_text("#loop-problem")
    study.page.click("#play")
    study.page.wait_for_selector(".spot.sounding")
    assert (study.page.get_attribute(".spot.sounding", "aria-label") or "").startswith("bar 2,")
    study.page.click("#play")
    study.page.reload()
    study.page.wait_for_selector("html[data-ready]")
    study.wait_for_music()
    assert study.page.input_value("#loop-bars") == "2"
    assert study.page.is_checked("#loop")


def test_pins_stand_in_the_order_of_the_music_with_what_they_take(study: Desk) -> None:
    """Whichever was set first; each says what the whole passage takes for it."""
    for place in (9, 3):
        study.choose(place)
        study.page.locator(".pick").nth(1).click()
        study.settled()
    study.page.keyboard.press("Escape")
    study.page.click('[data-kind="pinned"]')
    study.until("document.querySelectorAll('#places .detail').length === 2")
    study.until("[...document.querySelectorAll('#places .detail')].every(e => e.textContent)")
    order = (
        "[...document.querySelectorAll('.spot.pinned')].map(s => s.getAttribute('aria-label').split(',')[0])"
    )
    bars = study.page.eval_on_selector_all("#places .where", "all => all.map(e => e.textContent)")
    assert bars == study.page.evaluate(order)
    details = study.page.eval_on_selector_all("#places .detail", "all => all.map(e => e.textContent)")
    assert all(re.fullmatch(r"the whole passage takes \d+\.\d\d more|it is .*", one) for one in details)


def test_what_was_told_of_a_change_goes_with_it(study: Desk) -> None:
    """Undo takes the notice away; while it stands it covers neither the header, the note nor its cards."""
    study.choose(6)
    study.page.locator(".pick").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    study.page.evaluate("import('/static/dom.js').then(({ tell }) => tell('Pinned F6; others follow it.'))")
    study.page.wait_for_selector("#told:not([hidden])")
    told = study.page.locator("#told").bounding_box()
    for one in (".top", ".spot.chosen"):
        other = study.page.locator(one).bounding_box()
        assert other["y"] + other["height"] <= told["y"], one
    foot = study.page.locator("#player").bounding_box()
    assert told["y"] >= foot["y"]
    study.page.click("#undo")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    assert study.page.is_hidden("#told")


@pytest.mark.parametrize("size", SIZES)
def test_every_card_says_what_it_takes(browser: Any, address: str, size: str) -> None:
    """The figure stands on the card itself, at every size, and is what the panel says."""
    with desk(browser, address, size) as shown:
        shown.open_score(ROOFTOP)
        shown.page.locator(".spot").nth(6).click()
        shown.page.wait_for_selector(".unfold")
        shown.settled()
        costs = shown.page.eval_on_selector_all(".pick .cost", "all => all.map(e => e.textContent)")
        assert len(costs) == shown.page.locator(".pick").count() > 1
        assert costs[0] == "least"
        assert all(re.fullmatch(r"\+\d+\.\d\d", cost) for cost in costs[1:])
        assert shown.page.locator(".pick .cost").first.is_visible()
        assert shown.faults == []


def test_a_file_that_is_made_is_said_at_once(study: Desk) -> None:
    """The button is busy from the click on; then the file is there, and its name."""
    study.page.click("#save")
    with study.page.expect_download() as coming:
        study.page.evaluate(
            "document.getElementById('save-stand').click();"
            "window.atOnce = (({ textContent, ariaBusy }) => [textContent, ariaBusy])"
            "(document.getElementById('save'))"
        )
        assert study.page.evaluate("atOnce") == ["Writing…", "true"]
    study.page.wait_for_selector("#told:not([hidden])")
    assert coming.value.suggested_filename in study.page.inner_text("#told")
    assert study.page.inner_text("#save") == "Save"


def test_ctrl_y_redoes_and_ctrl_s_saves(study: Desk) -> None:
    """The keys of other programs do here what they do there."""
    study.choose(6)
    study.page.locator(".pick").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    study.page.keyboard.press("Control+z")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    study.page.keyboard.press("Control+y")
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    with study.page.expect_download() as coming:
        study.page.keyboard.press("Control+s")
    assert coming.value.suggested_filename.endswith("-gripway.json")
