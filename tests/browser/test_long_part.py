"""A part of many systems: what is in view comes first, and everything can be reached."""

from pathlib import Path
from typing import Any

import pytest
from tests.bench.passages import write_score
from tests.browser.page_driver import Desk, desk

from gripway.web.work import LONG

pytestmark = pytest.mark.browser

NOTES = 1300
FEW = 700
"""Fewer buttons than the part has notes: what two screens beside the view have."""

DRAWN = "document.querySelectorAll('.system .staff-lines').length"
WAITING_IN_VIEW = """[...document.querySelectorAll('.chunk.waiting')].some((chunk) => {
  const box = chunk.getBoundingClientRect();
  return box.bottom > 0 && box.top < innerHeight;
})"""
WAITING = "document.querySelectorAll('.chunk.waiting').length"


@pytest.fixture(scope="module")
def score(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented part of 1,300 sixteenths."""
    return write_score(tmp_path_factory.mktemp("long"), NOTES)


@pytest.fixture
def long(page: Desk, score: Path) -> Desk:
    """The page with the long part."""
    page.open_score(score)
    return page


def spots(shown: Desk) -> int:
    """How many notes have a button now."""
    count: int = shown.page.locator(".spot").count()
    return count


def test_only_what_is_near_the_view_is_drawn(long: Desk) -> None:
    """Notes far below have no drawing and no button; scrolling brings them, and the first ones go."""
    assert 0 < spots(long) < FEW
    first = long.page.locator(".spot").first.get_attribute("data-note")
    long.page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    long.until(f"document.querySelector('[data-note=P1-n{NOTES}]') !== null")
    long.until(f"document.querySelector('[data-note={first}]') === null")
    long.settled()
    assert spots(long) < FEW


def test_keys_and_strip_reach_every_note(long: Desk) -> None:
    """End goes to the last note, with its grips; the strip goes to a bar in the middle; Home comes back."""
    long.page.locator(".spot").first.focus()
    long.page.keyboard.press("End")
    long.until(f"document.activeElement.dataset.note === 'P1-n{NOTES}'")
    long.page.keyboard.press("Enter")
    long.page.wait_for_selector(".unfold")
    long.page.evaluate("scrollTo(0, 0)")
    box = long.page.locator("#overview").bounding_box()
    long.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    long.page.wait_for_selector(".spot.chosen")
    chosen = long.page.locator(".spot.chosen")
    long.until("document.querySelector('.spot.chosen')?.dataset.note !== 'P1-n1300'")
    long.settled()
    assert abs(int(chosen.get_attribute("data-note")[4:]) - NOTES / 2) < 64
    seen = chosen.bounding_box()
    assert 0 < seen["y"] < 900
    chosen.focus()
    long.page.keyboard.press("Home")
    long.until("document.activeElement.dataset.note === 'P1-n1'")


def test_a_pin_far_down_stays_when_one_comes_back(long: Desk) -> None:
    """A note pinned, left and come back to is drawn with its pin."""
    long.page.locator(".spot").nth(2).click()
    long.page.wait_for_selector(".unfold")
    long.page.locator(".unfold .pick").nth(1).click()
    long.page.wait_for_selector(".spot.pinned")
    long.settled()
    long.page.locator(".spot").nth(9).focus()
    long.page.keyboard.press("Escape")
    long.page.keyboard.press("End")
    long.until(f"document.activeElement.dataset.note === 'P1-n{NOTES}'")
    long.page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    long.until("document.querySelector('[data-note=P1-n3]') === null")
    long.page.evaluate("scrollTo(0, 0)")
    long.until("document.querySelector('[data-note=P1-n3]')?.classList.contains('pinned')")


def test_another_size_draws_what_is_in_view(long: Desk) -> None:
    """The note at the top of the view stays there, and no chunk is asked for but those near it."""
    long.page.evaluate("scrollTo(0, document.documentElement.scrollHeight * 0.7)")
    long.settled()
    long.until(f"!{WAITING_IN_VIEW}")
    long.settled()
    top = (
        "[...document.querySelectorAll('.spot')].find((s) => s.getBoundingClientRect().top > 60).dataset.note"
    )
    before = long.page.evaluate(top)
    asked: list[str] = []
    long.page.on("request", lambda request: "engraving" in request.url and asked.append(request.post_data))
    long.page.select_option("#size", "58")
    long.until("document.getElementById('pages').style.transform === ''")
    long.settled()
    after = long.page.evaluate(top)
    assert abs(int(after[4:]) - int(before[4:])) < 48
    assert 0 < len(asked) < 5


def test_all_of_it_is_printed(long: Desk) -> None:
    """Save, Print fetches and fills every system before the browser prints."""
    all_of_it = "document.querySelectorAll('.system').length"
    long.page.evaluate(
        f"void (window.print = () => {{ window.printed = [{DRAWN}, {WAITING}, {all_of_it}]; }})"
    )
    assert long.page.evaluate(WAITING) > 0
    long.page.click("#save")
    long.page.click("#save-print")
    long.until("window.printed !== undefined")
    drawn, waiting, systems = long.page.evaluate("window.printed")
    assert (drawn, waiting) == (systems, 0)
    long.until("!document.body.classList.contains('for-paper')")
    long.settled()
    assert spots(long) < FEW


def test_the_music_stands_before_its_grips(browser: Any, address: str, score: Path) -> None:
    """While the route is still worked out the first systems are there already; their buttons follow."""
    with desk(browser, address) as shown:
        held: list[Any] = []
        shown.page.route("**/route", lambda route: held.append(route))
        shown.page.set_input_files("#file", score)
        shown.page.wait_for_selector(".staff-lines")
        assert spots(shown) == 0
        held[0].continue_()
        shown.page.wait_for_selector(".spot[aria-label]")


def test_the_last_note_is_heard_and_seen(long: Desk) -> None:
    """What plays is followed into music that was not drawn."""
    long.page.focus("#music")
    long.page.locator(".spot").first.focus()
    long.page.keyboard.press("End")
    long.until(f"document.activeElement.dataset.note === 'P1-n{NOTES}'")
    long.page.evaluate("scrollTo(0, 0)")
    long.page.click("#play")
    long.page.wait_for_selector(".spot.sounding", state="attached")
    assert long.page.locator(".spot.sounding").get_attribute("data-note") == f"P1-n{NOTES}"


def test_grips_stand_there_before_the_least_route_is_found(page: Desk, tmp_path: Path) -> None:
    """The first line says that they are for now; stopped, a button asks again; then the least is there."""
    asked: list[Any] = []

    def kept_waiting(route: Any) -> None:
        asked.append(route) if "since" in route.request.post_data_json else route.continue_()

    def search() -> Any:
        page.wait_until(lambda: asked, "the least route is asked for")
        return asked.pop()

    page.page.route("**/route", kept_waiting)
    page.page.set_input_files("#file", write_score(tmp_path, LONG + 100))
    page.page.wait_for_selector(".spot[aria-label]")
    assert page.page.inner_text("#summary .answer").startswith("For now, grips you need not learn.")
    search().fulfill(status=204)  # as the server answers whoever is stopped
    page.page.click("#summary button")
    search().continue_()
    page.page.wait_for_selector("#summary .counts")
    page.settled()
    assert "the least there is" in page.page.inner_text("#summary")
    assert page.page.locator("#summary button").count() == 0
