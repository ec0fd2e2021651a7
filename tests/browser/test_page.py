"""The local page as a person uses it: by mouse, by keyboard alone, on phone, tablet and desktop."""

import json
import re
import statistics
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, SCHUBERT, SIZES, Desk, desk, faults_of_axe

pytestmark = pytest.mark.browser


@pytest.fixture
def study(page: Desk) -> Desk:
    """The page with the rooftop study."""
    page.open_score(ROOFTOP)
    return page


def test_a_real_part_opens_with_its_grips(page: Desk) -> None:
    """Schubert's part, 891 notes as played: title, notes, diagrams, hardest changes from load 0.8."""
    page.open_score(SCHUBERT)
    assert page.page.inner_text("#piece") == "Franz Schubert: Symphony No.5 in B-flat major"
    assert "891 notes" in page.page.inner_text("#summary")
    page.page.evaluate("dispatchEvent(new Event('beforeprint'))")  # all that has come, in view or not
    assert page.page.locator(".mark svg").count() > 10
    loads = [float(load) for load in re.findall(r"load ([\d.]+)", page.page.inner_text("#places"))]
    assert 1 <= len(loads) == page.page.locator("#places .place").count()
    assert min(loads) >= 0.8
    assert loads == sorted(loads, reverse=True)
    page.page.locator("#places .go").first.click()
    page.page.wait_for_selector("#panel .grip-acts")
    assert page.page.locator(".spot.chosen").get_attribute("data-rank") == "1"


def test_pin_redraws_only_what_changed_and_undo_takes_it_back(study: Desk) -> None:
    """Pinning another grip marks the note, leaves most notes alone; undo and redo go back and forth."""
    before = study.marks()
    study.choose(6)
    study.page.evaluate("document.querySelectorAll('.spot').forEach(spot => spot.dataset.old = 'yes')")
    study.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    after = study.marks()
    assert "pinned" in after[6]
    assert after != before
    assert study.page.locator(".spot[data-old]").count() > 0
    assert int(study.page.get_attribute("#pages", "data-refreshed")) < len(before)
    study.undo_and_redo(before, after)


def test_ban_and_allow_again(study: Desk) -> None:
    """A banned grip leaves every note of its pitch; the chip above the music allows it again."""
    before = study.marks()
    study.choose(6)
    study.page.locator("#panel .is-chosen button", has_text="Ban").click()
    study.page.wait_for_selector(".bans .chip")
    study.settled()
    assert study.marks() != before
    assert "banned" in study.page.inner_text(".barred")
    study.page.click(".bans .chip")
    study.page.wait_for_selector(".bans", state="detached")
    study.settled()
    assert study.marks() == before


def test_bars_tempo_flute_and_dials(study: Desk) -> None:
    """Bars cut the music, a slower tempo lessens the effort, a dialog chooses flute and dials."""
    notes = study.page.locator(".spot").count()
    study.page.fill("#bars", "2-3")
    study.page.press("#bars", "Enter")
    study.until(f"document.querySelectorAll('.spot').length < {notes}")
    study.settled()
    effort = effort_of(study)
    study.page.fill("#tempo", "40")
    study.page.press("#tempo", "Enter")
    study.until("document.getElementById('status').textContent.includes('tempo')")
    assert effort_of(study) < effort
    study.page.click("#flute")
    study.page.check("input[value=piccolo]")
    study.until("document.getElementById('summary').textContent.includes('piccolo')")
    study.page.keyboard.press("Escape")
    assert study.page.evaluate("document.activeElement.id") == "flute"


def effort_of(shown: Desk) -> float:
    """The effort in the line above the music."""
    found = re.search(r"effort ([\d.]+)", shown.page.inner_text("#summary"))
    assert found
    return float(found[1])


def test_limits(study: Desk) -> None:
    """At most five unusual grips, chosen in the dialog: no more are there, and their cost is told."""
    study.page.click("#limits")
    study.page.check("#limit-unusual")
    study.page.click("dialog .main-action")
    study.page.wait_for_selector(".limit-lines")
    study.settled()
    assert "at most 5 unusual grips" in study.page.inner_text(".limit-lines")
    told = re.search(r"(\d+|None) of \d+ notes wants? a special", study.page.inner_text("#summary"))
    assert told
    assert int(told[1].replace("None", "0")) <= 5
    study.page.click("#undo")
    study.page.wait_for_selector(".limit-lines", state="detached")


def at_speed(shown: Desk) -> None:
    """The tempo at which the rooftop study has grips that are worth learning, and its curve on the page."""
    shown.settled()
    if shown.page.is_visible("#fold"):
        shown.page.click("#fold")
    shown.page.fill("#tempo", "176")
    shown.page.press("#tempo", "Tab")
    shown.page.wait_for_selector("#curve [data-learn]")
    shown.settled()


def test_a_point_of_the_learning_curve_is_chosen(study: Desk) -> None:
    """By mouse or keyboard: no more new grips are used, the sentence changes; undo brings them back."""
    at_speed(study)
    answer = study.page.inner_text("#summary .answer")
    study.page.click('[data-kind="unusual"]')
    learnt = study.page.locator("#places .place").count()
    assert learnt > 0
    mine, none = (f'#curve [data-learn="{number}"][aria-pressed="true"]' for number in (learnt, 0))
    study.page.wait_for_selector(mine)
    study.page.click('#curve [data-learn="0"]')
    study.page.wait_for_selector(none)
    assert "the standard grips serve" in study.page.inner_text("#places")
    assert "at most 0 new grips" in study.page.inner_text("#summary")
    assert study.page.inner_text("#summary .answer") != answer
    study.page.click("#undo")
    study.page.wait_for_selector(mine)
    assert study.page.inner_text("#summary .answer") == answer
    study.page.focus('#curve [data-learn="0"]')
    study.page.keyboard.press("Enter")
    study.page.wait_for_selector(none)
    assert study.page.evaluate("document.activeElement.dataset.learn") == "0"
    study.page.get_by_role("button", name="As many as pay").click()
    study.page.wait_for_selector(mine)


@pytest.mark.parametrize("size", SIZES)
def test_the_learning_curve_fits_every_page(browser: Any, address: str, size: str) -> None:
    """Nothing of the drawing lies outside it, its figures do not touch, and its points are 24 px wide."""
    with desk(browser, address, size) as shown:
        shown.open_score(ROOFTOP)
        at_speed(shown)
        box = "b => { const r = b.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; }"
        whole = shown.page.eval_on_selector("#curve svg", box)
        texts = shown.page.eval_on_selector_all("#curve svg text", f"all => all.map({box})")
        points = shown.page.eval_on_selector_all("#curve .reach", f"all => all.map({box})")
        for left, top, right, bottom in [*texts, *points]:
            assert whole[0] - 1 <= left < right <= whole[2] + 1
            assert whole[1] - 1 <= top < bottom <= whole[3] + 1
        for k, one in enumerate(texts):
            for other in texts[:k]:
                beside = one[0] < other[2] and other[0] < one[2]
                assert not (beside and one[1] < other[3] and other[1] < one[3])
        assert all(right - left >= 24 for left, _, right, _ in points)
        assert faults_of_axe(shown.page) == []


def test_a_wrong_wish_is_refused_with_words_and_taken_back(study: Desk) -> None:
    """A bar that is not there: it stays in its field with words beside it, until a good one is written."""
    before = study.marks()
    study.page.fill("#bars", "900")
    study.page.press("#bars", "Enter")
    study.page.wait_for_selector("#bars-problem:not([hidden])")
    assert "900" in study.page.inner_text("#bars-problem")
    assert study.page.input_value("#bars") == "900"
    assert study.page.is_hidden("#alert")
    assert study.marks() == before
    assert study.page.is_disabled("#undo")
    study.page.fill("#bars", "2")
    study.page.press("#bars", "Enter")
    study.page.wait_for_selector("#bars-problem", state="hidden")
    study.faults.clear()  # the browser logs the refused request


def test_by_keyboard_alone(page: Desk) -> None:
    """Example, notes, grips, pin, undo, trill and back without a mouse; the focus is always to be seen."""
    keys = page.page.keyboard
    page.page.focus("#start-example")
    keys.press("Enter")
    page.wait_for_music()
    page.settled()
    assert page.page.evaluate("document.activeElement.id") == "music"
    keys.press("ArrowRight")
    for _ in range(6):
        keys.press("ArrowRight")
    assert page.page.evaluate("document.activeElement.classList.contains('spot')")
    assert page.page.evaluate("document.querySelectorAll('.spot[tabindex=\"0\"]').length") == 1
    keys.press("Enter")
    page.page.wait_for_selector("#panel .grip-acts")
    page.until("document.getElementById('panel').contains(document.activeElement)")
    keys.press("2")
    page.page.wait_for_selector(".spot.pinned")
    page.settled()
    keys.press("Escape")
    assert page.page.evaluate("document.activeElement.classList.contains('chosen')")
    keys.press("Control+z")
    page.page.wait_for_selector(".spot.pinned", state="detached")
    page.settled()
    keys.press("p")
    page.page.wait_for_selector(".spot.pinned")
    page.settled()
    keys.press("End")
    keys.press("Home")
    assert page.page.evaluate("document.activeElement === document.querySelector('.spot')")
    page.page.focus("#more")
    keys.press("Enter")
    for _ in ("stand", "practise", "write", "trill"):
        keys.press("Tab")
    assert page.page.evaluate("document.activeElement.id") == "trill"
    keys.press("Enter")
    page.page.wait_for_selector("dialog[open]")
    keys.press("Escape")
    assert page.page.evaluate("document.activeElement.id") == "more"


def test_trills(page: Desk) -> None:
    """F6 to G6: pairs with two diagrams each, the best first, on the usual flute; a wrong note says which."""
    page.page.click("#start-trill")
    assert page.page.input_value("#trill-flute") == "concert-flute"
    page.page.fill("#trill-low", "F6")
    page.page.fill("#trill-high", "G6")
    page.page.press("#trill-high", "Enter")
    page.page.wait_for_selector(".pair")
    assert page.page.locator(".pair").first.locator("svg").count() == 2
    page.page.fill("#trill-high", "H6")
    page.page.press("#trill-high", "Enter")
    page.page.wait_for_selector("dialog .problem:not([hidden])")
    assert "upper note" in page.page.inner_text("dialog .problem")
    page.faults.clear()  # the browser logs the refused request


def test_the_trill_of_a_chosen_note(study: Desk) -> None:
    """The chosen note and the next one are looked up at once, the lower first, ranked with their diagrams."""
    study.choose(4)
    chosen = sorted(label.split(", ")[1] for label in study.marks()[4:6])
    study.more("#trill")
    study.page.wait_for_selector(".pair")
    fields = [study.page.input_value(f"#trill-{end}") for end in ("low", "high")]
    assert sorted(f"{pitch[0]}{' sharp' * ('#' in pitch)} {pitch[-1]}" for pitch in fields) == chosen
    assert study.page.locator(".pair").first.locator("svg").count() == 2


def test_compare(study: Desk) -> None:
    """Against the standard grips, where others pay: figures of both, a way to each note that differs."""
    study.page.fill("#tempo", "176")
    study.page.press("#tempo", "Enter")
    study.until("document.getElementById('status').textContent.includes('tempo')")
    study.more("#compare")
    study.page.select_option("#compare-with", "standard")
    study.page.wait_for_selector("#compare-found button")
    study.page.locator("#compare-found button").first.click()
    study.page.wait_for_selector("#panel .grip-acts")


ENDINGS = {"report": "html", "player": "player.toml", "decisions": "decisions.toml", "session": "json"}


def _ends(ending: str) -> Callable[[Any], bool]:
    """Whether a file that comes is the one."""
    return lambda download: download.suggested_filename.endswith(ending)


def test_downloads_and_the_session(study: Desk, browser: Any, address: str, tmp_path: Path) -> None:
    """Every file comes; the session opens on another page with the same pins and steps back."""
    study.choose(6)
    study.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    marks = study.marks()
    kept = {}
    for kind, begins in (
        ("musicxml", "<?xml"), ("report", "<!doctype html>"), ("csv", "index,"), ("player", "#"),
        ("decisions", "#"),
        ("session", "{"),
    ):  # fmt: skip
        study.page.click("#save")
        with (
            study.page.expect_download(_ends("marks.toml")) if kind == "musicxml" else nullcontext(),
            study.page.expect_download(_ends(ENDINGS.get(kind, kind))) as coming,
        ):
            study.page.click(f"#save-{kind}")
        kept[kind] = tmp_path / coming.value.suggested_filename
        coming.value.save_as(kept[kind])
        assert kept[kind].read_text(encoding="utf-8").lower().startswith(begins)
    assert json.loads(kept["session"].read_text(encoding="utf-8"))["wishes"]["pins"]
    with desk(browser, address) as other:
        other.open_score(kept["session"])
        assert other.marks() == marks
        other.page.click("#undo")
        other.page.wait_for_selector(".spot.pinned", state="detached")
        assert other.faults == []


def test_two_tabs_do_not_mix(study: Desk, browser: Any, address: str) -> None:
    """A second page with other music and a pin leaves the first as it was; both go on."""
    before = study.marks()
    with desk(browser, address) as other:
        other.open_example()
        other.choose(3)
        other.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
        other.page.wait_for_selector(".spot.pinned")
        other.settled()
        study.choose(6)
        assert study.marks() == before
        assert study.page.locator(".spot.pinned").count() == 0


def test_a_reload_keeps_the_work(study: Desk) -> None:
    """The tab remembers what it had, pins and all."""
    study.choose(6)
    study.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    before = study.marks()
    study.page.reload()
    study.wait_for_music()
    study.page.wait_for_selector(".spot.pinned")
    assert study.marks() == before


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("notes.txt", b"dear diary", "no score"),
        ("cut.musicxml", b"<score-partwise><part>", "not well-formed"),
        ("page.json", b'{"format": "other"}', "no session file"),
        ("broken.json", b"{", "no session file"),
        ("empty.xml", b"", "empty"),
    ],
)
def test_a_wrong_file(page: Desk, tmp_path: Path, name: str, content: bytes, words: str) -> None:
    """Not a score, cut off, another program's file, nothing: words that say so, and the page goes on."""
    path = tmp_path / name
    path.write_bytes(content)
    page.page.set_input_files("#file", path)
    assert words in page.alert()
    page.faults.clear()  # the browser logs the refused request
    page.open_example()


def test_hostile_markup_stays_text(page: Desk, tmp_path: Path) -> None:
    """A title and a part name that are markup are shown as they are written; nothing of them runs."""
    text = ROOFTOP.read_text(encoding="utf-8")
    bad = "&lt;img src=x onerror=document.title=1&gt;"
    text = re.sub(r"<work-title>.*?</work-title>", f"<work-title>{bad}</work-title>", text)
    text = re.sub(r"<part-name>.*?</part-name>", f"<part-name>{bad}</part-name>", text)
    path = tmp_path / "x.musicxml"
    path.write_text(text, encoding="utf-8")
    page.open_score(path)
    assert page.page.inner_text("#piece").startswith("<img src=x")
    assert page.page.locator("img").count() == 0


def test_print_view(study: Desk) -> None:
    """On paper: music, diagrams and the hardest changes; no controls."""
    study.page.emulate_media(media="print")
    assert study.page.is_visible(".staff-lines")
    assert study.page.is_visible("#hardest")
    for hidden in (".top .tools", "#choices", "#panel", ".listen"):
        assert not study.page.locator(hidden).first.is_visible(), hidden
    assert len(study.page.pdf()) > 10_000


def test_hearing_it(page: Desk) -> None:
    """Played and stopped with the space bar; the note that sounds is marked."""
    page.open_score(SCHUBERT)
    page.page.fill("#speed", "20")  # the music goes on for longer than anything can hang
    page.page.check("#with-cents")
    page.page.focus("#music")
    page.page.keyboard.press("Space")
    page.page.wait_for_selector(".spot.sounding")
    assert page.page.inner_text("#play") == "Stop"
    page.page.keyboard.press("Space")
    page.page.wait_for_selector(".spot.sounding", state="detached")
    assert page.page.inner_text("#play") == "Hear it"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_view_keeps_the_guidelines(browser: Any, address: str, size: str, scheme: str) -> None:
    """axe-core finds nothing on first page, music, note and dialogs; nothing is cut off at the side."""
    with desk(browser, address, size, color_scheme=scheme) as shown:
        assert faults_of_axe(shown.page) == []
        shown.open_example()
        assert faults_of_axe(shown.page) == []
        shown.choose(6)
        assert faults_of_axe(shown.page) == []
        assert shown.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        shown.page.keyboard.press("Escape")
        if shown.page.is_visible("#fold"):
            shown.page.click("#fold")
        shown.page.click("#save")
        shown.page.wait_for_selector("#save-menu:popover-open")
        assert faults_of_axe(shown.page) == []
        shown.page.keyboard.press("Escape")
        for button in ("#write", "#limits", "#compare", "#help", "#trill"):
            press = shown.page.click if button == "#limits" else shown.more
            press(button)
            shown.page.wait_for_selector("dialog[open]")
            shown.settled()
            assert faults_of_axe(shown.page) == [], button
            shown.page.keyboard.press("Escape")
        assert shown.faults == []


@pytest.mark.parametrize("size", ["phone", "stand"])
def test_a_finger_hits_what_it_aims_at(browser: Any, address: str, size: str) -> None:
    """Buttons are 44 px high, notes 24 px wide or reached by buttons (WCAG 2.2, 2.5.8 Target Size)."""
    with desk(browser, address, size) as shown:
        shown.open_example()
        sizes = shown.page.eval_on_selector_all(
            ".tools button, #fold, .choices select, .listen button",
            "all => all.filter(b => b.offsetParent).map(b => b.getBoundingClientRect().height)",
        )
        assert min(sizes) >= 43.9
        shown.choose(6)
        steps = shown.page.locator("#panel .steps button").nth(1)
        assert steps.bounding_box()["height"] >= 43.9
        title = shown.page.inner_text("#panel-title")
        steps.click()
        shown.settled()
        assert shown.page.inner_text("#panel-title") != title
        if size == "phone":  # a bar of sixteen notes is wider: the steps above are the way to them
            return
        widths = shown.page.eval_on_selector_all(
            ".spot", "all => all.map(s => s.getBoundingClientRect().width)"
        )
        assert min(widths) >= 24


@pytest.mark.bench
def test_bench_of_a_pin(browser: Any, address: str) -> None:
    """Prints the medians of 20 pins in Schubert's part: until a pin is seen, answered, all shown."""
    with desk(browser, address) as shown:
        shown.page.wait_for_timeout(6_000)  # the server learns the plain flute first
        start = shown.page.evaluate("performance.now()")
        shown.open_score(SCHUBERT)
        first = shown.page.evaluate("performance.now()") - start
        server, pinned, seen, panel = [], [], [], []
        for place in range(1, 41, 2):  # notes near the view: those far from it have no button
            shown.choose(place)
            shown.settled()
            shown.page.evaluate("performance.clearResourceTimings(), performance.clearMeasures()")
            shown.page.locator("#panel .grip-acts button", has_text="Pin").last.click()
            shown.until("performance.getEntriesByName('gripway-panel').length")
            server.append(
                shown.page.evaluate(
                    "(r => r.responseEnd - r.requestStart)(performance.getEntriesByType('resource')"
                    ".find(e => e.name.endsWith('/route')))"
                )
            )
            marked = (("gripway-pinned", pinned), ("gripway-shown", seen), ("gripway-panel", panel))
            for name, times in marked:
                times.append(shown.page.evaluate(f"performance.getEntriesByName('{name}').at(-1).duration"))
    print(f"\nfirst view of {SCHUBERT.name}: {first:.0f} ms")
    names = ("seen", "answer of the server", "all of the music updated", "grips of the note updated")
    for name, times in zip(names, (pinned, server, seen, panel), strict=True):
        print(f"pin, {name}: {statistics.median(times):.0f} ms (median of {len(times)})")


def pin_another(shown: Desk, place: int) -> None:
    """Pin the second grip of the note at a place."""
    shown.choose(place)
    shown.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
    shown.page.wait_for_selector(".spot.pinned")
    shown.settled()


def test_a_stopped_wish_is_taken_back_and_said(study: Desk) -> None:
    """Whoever presses Stop sees the field and the music as they were, and words for it."""
    study.page.route("**/route", lambda route: route.fulfill(status=204))
    before = study.marks()
    study.page.fill("#tempo", "40")
    study.page.press("#tempo", "Enter")
    assert "taken back" in study.alert()
    assert study.page.input_value("#tempo") == ""
    assert study.page.is_disabled("#undo")
    assert study.marks() == before


def test_a_refused_wish_leaves_undo_and_redo_as_they_were(study: Desk) -> None:
    """Pin, undo, a bar that is not there: the pin can still be done again; a refused redo is not done."""
    pin_another(study, 6)
    study.page.click("#undo")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    study.page.fill("#bars", "900")
    study.page.press("#bars", "Enter")
    study.page.wait_for_selector("#bars-problem:not([hidden])")
    assert study.page.is_enabled("#redo")
    study.page.route("**/route", lambda route: route.abort())
    study.page.click("#redo")
    assert "does not answer" in study.alert()
    assert study.page.is_enabled("#redo")
    assert study.page.is_disabled("#undo")
    study.page.unroute("**/route")
    study.page.click("#redo")
    study.page.wait_for_selector(".spot.pinned")
    study.faults.clear()  # the browser logs the refused requests


def test_a_tempo_of_ones_own_is_told_beside_the_written_one(study: Desk) -> None:
    """On the screen and on paper: worked out at 160, while the score says 92."""
    assert "worked out" not in study.page.inner_text("#summary")
    study.page.fill("#tempo", "160")
    study.page.press("#tempo", "Enter")
    study.until("document.getElementById('summary').textContent.includes('worked out at ♩ = 160')")
    study.page.emulate_media(media="print")
    written = re.search(r'<sound[^>]*tempo="(\d+)', ROOFTOP.read_text(encoding="utf-8"))
    assert written
    assert f"(the score says {written[1]})" in study.page.inner_text("#summary")


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_pins_are_not_lost_without_asking(browser: Any, address: str, size: str) -> None:
    """Where the browser keeps nothing another score asks first; Escape stays; bans and flute go along."""
    with desk(browser, address, size) as shown:
        shown.page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined })")
        shown.page.reload()
        shown.page.wait_for_selector("html[data-ready]")
        shown.open_score(ROOFTOP)
        shown.choose(6)
        shown.page.locator("#panel .is-chosen button", has_text="Ban").click()
        shown.page.wait_for_selector(".bans .chip")
        shown.settled()
        assert not re.search(r"\b[LR][1-4]", shown.page.inner_text(".bans .chip")), "the short form"
        pin_another(shown, 2)
        assert shown.page.inner_text("#saved") == "not saved"
        before = shown.marks()
        shown.page.set_input_files("#file", SCHUBERT)
        shown.page.wait_for_selector("#dialog-sure")
        assert faults_of_axe(shown.page) == []
        assert shown.page.evaluate("document.activeElement.id") == "sure-no"
        shown.page.keyboard.press("Escape")
        shown.page.wait_for_selector("#dialog-sure", state="detached")
        assert shown.marks() == before
        shown.page.set_input_files("#file", SCHUBERT)
        shown.page.wait_for_selector("#dialog-sure")
        shown.page.keyboard.press("Tab")
        shown.page.keyboard.press("Enter")
        shown.until("document.getElementById('summary').textContent.includes('891 notes')")
        assert shown.page.locator(".spot.pinned").count() == 0
        assert shown.page.locator(".bans .chip").count() == 1
        assert shown.faults == []


def saved(shown: Desk) -> None:
    """Until the header says that the work is kept."""
    shown.settled()
    shown.until("document.getElementById('saved').textContent.startsWith('saved')")


def test_another_score_leaves_the_first_one_whole(study: Desk) -> None:
    """Bars, tempo and pins wait on the start page; the same score opened again goes on with them."""
    study.page.fill("#bars", "1-4")
    study.page.press("#bars", "Enter")
    study.settled()
    study.page.fill("#tempo", "80")
    study.page.press("#tempo", "Enter")
    study.settled()
    pin_another(study, 6)
    before = study.marks()
    study.open_score(SCHUBERT)
    study.until("document.getElementById('summary').textContent.includes('891 notes')")
    study.page.click("#open")
    study.page.locator(".go-on", has_text="1 pin").click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    assert study.marks() == before
    assert (study.page.input_value("#bars"), study.page.input_value("#tempo")) == ("1-4", "80")
    study.page.click("#undo")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    study.page.set_input_files("#file", ROOFTOP)
    study.page.click("#sure-no")
    study.page.wait_for_selector("#dialog-sure", state="detached")
    study.settled()
    assert study.page.input_value("#bars") == "1-4"
    assert study.page.is_enabled("#redo")


def test_two_tabs_on_one_work_lose_no_pin(study: Desk) -> None:
    """Both go on from the same kept work: the second to change it becomes a work of its own."""
    pin_another(study, 6)
    saved(study)
    other = study.page.context.new_page()
    other.goto(study.address)
    other.locator(".go-on").click()
    other.wait_for_selector(".spot.pinned")
    second = Desk(other, study.address, study.faults)
    second.settled()
    pin_another(second, 3)
    second.until("document.querySelectorAll('.spot.pinned').length === 2")
    saved(second)
    pin_another(study, 9)
    study.until("document.querySelectorAll('.spot.pinned').length === 2")
    study.until("document.getElementById('status').textContent.includes('work of its own')")
    saved(study)
    other.goto(study.address)
    other.wait_for_selector("html[data-ready]")
    second.settled()
    other.click("#open")
    other.wait_for_selector("#kept-works li:nth-child(2)")
    assert [words.count("2 pins") for words in other.locator(".go-on").all_inner_texts()] == [1, 1]


def test_what_a_person_likes_is_the_same_the_next_time(study: Desk) -> None:
    """Size, look and flute are remembered for another score; a speed stays with its own."""
    study.page.select_option("#size", "58")
    study.page.fill("#speed", "50")
    study.more("#theme")
    study.page.click("#flute")
    study.page.check("input[value=piccolo]")
    study.until("document.getElementById('summary').textContent.includes('piccolo')")
    study.settled()
    other = study.page.context.new_page()
    other.goto(study.address)
    other.wait_for_selector("html[data-ready]")
    assert (other.input_value("#size"), other.input_value("#speed")) == ("58", "70")
    assert other.get_attribute("html", "data-theme") == "dark"
    second = Desk(other, study.address, study.faults)
    second.open_example()
    assert "piccolo" in other.inner_text("#summary")


def test_a_player_file_opens_on_the_start_page(page: Desk, tmp_path: Path) -> None:
    """Its flute holds for the next score; what the page leaves out is said."""
    path = tmp_path / "mine.toml"
    path.write_text('[flute]\ninstrument = "piccolo"\n[hands]\nslower = { R4 = 1.2 }\n', encoding="utf-8")
    page.page.set_input_files("#file", path)
    assert "slower fingers" in page.alert()
    assert "mine.toml is read" in page.page.inner_text("#player-read")
    page.open_example()
    assert "piccolo" in page.page.inner_text("#summary")


def test_the_chosen_note_stays_the_same_note(study: Desk) -> None:
    """Other bars before it move its place; the panel still shows it, and goes where the note does."""
    study.page.fill("#bars", "1-4")
    study.page.press("#bars", "Enter")
    study.settled()
    study.choose(18)
    chosen = study.page.get_attribute(".spot.chosen", "data-note")
    study.page.fill("#bars", "2-4")
    study.page.press("#bars", "Enter")
    study.settled()
    study.until(f"document.querySelector('.spot.chosen')?.dataset.note === {json.dumps(chosen)}")
    assert study.page.get_attribute("#panel", "data-id") == chosen
    study.page.fill("#bars", "4")
    study.page.press("#bars", "Enter")
    study.settled()
    study.page.wait_for_selector("#panel:not(.filled)")
    assert study.page.locator(".spot.chosen").count() == 0


def test_an_alert_goes_with_its_trouble(browser: Any, address: str) -> None:
    """On a phone the words of a lost server cover no button of the panel, and go when it answers again."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(ROOFTOP)
        shown.choose(6)
        shown.page.route("**/route", lambda route: route.abort())
        shown.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
        assert "does not answer" in shown.alert()
        words = shown.page.locator("#alert").bounding_box()
        assert words["y"] + words["height"] <= shown.page.locator("#panel").bounding_box()["y"]
        shown.page.unroute("**/route")
        shown.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned")
        assert shown.page.is_hidden("#alert")


def test_nothing_slow_is_called_hard(study: Desk) -> None:
    """At a sixth of its speed the study has no badge and no hardest change; at its own it has both."""
    assert study.page.locator(".spot[data-rank]").count() > 0
    study.page.fill("#tempo", "20")
    study.page.press("#tempo", "Enter")
    study.until("document.getElementById('status').textContent.includes('tempo')")
    assert study.page.locator(".spot[data-rank]").count() == 0
    assert "No change is hard" in study.page.inner_text("#places")
    assert study.page.locator(".overview .late, .overview .very, .staff .late, .staff .very").count() == 0
    assert " late" not in study.page.inner_text("#summary .answer")


def test_late_changes_are_counted_once(study: Desk) -> None:
    """The first line says how many come late; the second has the special fingerings and the tempo alone."""
    assert "changes come late even so" in study.page.inner_text("#summary .answer")
    counts = study.page.inner_text("#summary .counts")
    assert re.fullmatch(r"(None|\d+) of 142 notes wants? a special fingering at ♩ = \d+\.", counts), counts
    assert study.page.inner_text("#summary").count("late") == 1


def test_a_pinned_grip_is_not_wanted_by_the_passage(study: Desk) -> None:
    """Where a special fingering is one's own pin, the count of those that are wanted says so."""
    pin_another(study, 6)
    special = study.page.evaluate("document.querySelectorAll('.spot.pinned').length")
    counts = study.page.inner_text("#summary .counts")
    assert special >= 1
    assert re.fullmatch(
        r"(None|\d+) of 142 notes wants? a special fingering at ♩ = 126, beside 1 of your pins\.", counts
    )


def test_words_of_the_page_are_one_language(page: Desk) -> None:
    """Notes have their signs, fingers their names, and what a trill moves is no warning."""
    kettle = ROOFTOP.parent / "kettle_trills.musicxml"
    page.open_score(kettle)
    page.settled()
    place = page.page.evaluate("""[...document.querySelectorAll('.spot')].findIndex((spot) => spot
      .getAttribute('aria-label').startsWith('bar 1,'))""")
    page.choose(place)
    hint = page.page.locator("#panel .flags li", has_text="trill with").first
    assert "warn" not in hint.get_attribute("class").split()
    assert re.search(r": (right|left) (index|middle|ring|thumb)", hint.inner_text()), hint.inner_text()
    shown = page.page.inner_text("#work")
    assert not re.search(r"\b[A-G](#|b)\d", shown), shown
    page.page.keyboard.press("Escape")
    page.page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    player = page.page.locator("#player").bounding_box()
    assert player["y"] + player["height"] == pytest.approx(SIZES["desktop"][1], abs=1)


def test_what_follows_a_pin_is_named(study: Desk) -> None:
    """Pinned with the thumb on its B-flat plate, the A5 takes the B5 after it along: that is said."""
    study.choose(0)
    study.page.locator("#panel .grip-acts button", has_text="Pin").nth(2).click()
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    study.until("!document.getElementById('told').hidden")
    assert study.page.inner_text("#told") == (
        "Pinned A5 in bar 1; the thumb stays on the B-flat lever up to B5 (bar 1)."
    )
    counts = study.page.inner_text("#summary .counts")
    assert "1 note that follows" in counts, counts
    study.page.reload()
    study.page.wait_for_selector("html[data-ready]")
    study.wait_for_music()
    assert study.page.inner_text("#summary .counts").endswith("; some may follow your pins.")


def test_a_dialog_says_that_it_works(study: Desk) -> None:
    """Before a dialog no Stop stands that cannot be pressed: the dialog itself says what goes on."""
    study.page.click("#limits")
    study.page.check("#limit-unusual")
    study.page.route("**/route", lambda _route: None)
    study.page.click("dialog .main-action")
    study.page.wait_for_selector("dialog .working:not(:empty)")
    assert study.page.is_hidden("#busy")


def test_enter_on_a_note_lands_on_pin(study: Desk) -> None:
    """The first thing at hand is what most people want, and not Close."""
    study.page.focus("#music")
    study.page.keyboard.press("ArrowRight")
    study.page.keyboard.press("Enter")
    study.page.wait_for_selector("#panel .grip-acts")
    study.until("document.activeElement.dataset.key === 'pin0'")


def test_a_compared_way_fits_a_narrow_page(browser: Any, address: str) -> None:
    """On a phone nothing of the dialog stands past its margin."""
    with desk(browser, address, "phone") as shown:
        shown.open_score(ROOFTOP)
        shown.more("#compare")
        shown.page.wait_for_selector("#compare-found table")
        box = shown.page.locator("dialog[open]").bounding_box()
        choice = shown.page.locator("#compare-with").bounding_box()
        assert choice["x"] + choice["width"] <= box["x"] + box["width"] - 16


def test_a_late_change_over_a_line_break_has_its_tint(browser: Any, address: str) -> None:
    """The first note of a line is marked, too, where the fingers come to it late."""
    with desk(browser, address, "phone") as shown:
        shown.open_example()
        widths = shown.page.evaluate(
            "[...document.querySelectorAll('.system')].map(s => s.querySelector('.tint').offsetWidth)"
        )
        assert len(widths) > 1
        assert all(width > 5 for width in widths)
