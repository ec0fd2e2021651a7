"""What a player misses at a first meeting: the way into a note, the next place, the same bar."""

from collections.abc import Iterator
from typing import Any

import pytest
from tests.browser.page_driver import SCHUBERT, Desk, desk, faults_of_axe

pytestmark = pytest.mark.browser


@pytest.fixture
def part(browser: Any, address: str) -> Iterator[Desk]:
    """A whole flute part, at a tempo at which changes are hard."""
    with desk(browser, address) as shown:
        shown.open_score(SCHUBERT)
        shown.page.fill("#tempo", "180")
        shown.page.press("#tempo", "Tab")
        shown.settled()
        yield shown
        assert shown.faults == []


def chosen(shown: Desk) -> str:
    """The note that is chosen, as it is called."""
    label: str = shown.page.get_attribute(".spot.chosen", "aria-label")
    return label


def test_a_hard_change_is_heard_from_the_notes_before_it(part: Desk) -> None:
    """From the arrival of a hard change one would not hear the change."""
    part.page.keyboard.press("h")
    part.settled()
    label = chosen(part)
    part.page.click("#play")
    part.page.wait_for_selector(".spot.sounding")
    assert part.page.get_attribute(".spot.sounding", "aria-label") != label
    part.until("document.querySelector('.spot.sounding')?.classList.contains('chosen')")
    part.page.click("#play")


def test_a_loop_takes_the_bar_of_the_chosen_note(part: Desk) -> None:
    """Whoever ticks the loop at a note means its bar."""
    part.page.locator(".spot").nth(12).click()
    part.settled()
    part.page.click("#sound") if part.page.is_visible("#sound") else None
    part.page.check("#loop")
    bar = chosen(part).split(",")[0]
    assert bar == f"bar {part.page.input_value('#loop-bars')}"


def test_the_panel_leads_to_the_next_hard_change(part: Desk) -> None:
    """In the order of the music, and back."""
    part.page.locator(".spot").nth(12).click()
    part.settled()
    part.page.click("[aria-label='Next hard change']")
    part.settled()
    first = chosen(part)
    part.page.click("[aria-label='Next hard change']")
    part.settled()
    second = chosen(part)
    part.page.click("[aria-label='Previous hard change']")
    part.settled()
    assert chosen(part) == first != second
    assert int(first.split(",")[0][4:]) <= int(second.split(",")[0][4:])
    assert faults_of_axe(part.page) == []


def test_the_list_says_its_order_and_has_that_of_the_music(part: Desk) -> None:
    """The hardest first, or bar by bar."""
    page = part.page
    assert "the highest load first" in page.inner_text("#order")
    page.click("#order button")
    bars = page.eval_on_selector_all(
        "#places .where", r"all => all.map(w => Number(/\d+/.exec(w.textContent)[0]))"
    )
    assert len(bars) > 2
    assert bars == sorted(bars)
    assert faults_of_axe(page) == []


TOP_BAR = r"""(() => { const seen = [...document.querySelectorAll('.spot')].find((spot) => {
  const system = spot.closest('.system').getBoundingClientRect();
  return system.top > -2 && !spot.closest('.cut');
}); return seen ? seen.getAttribute('aria-label') : ''; })()"""


IN_VIEW = """(() => {
  const place = document.querySelector('.stand-place').textContent.replaceAll('\\u2060', '');
  const [, first, last] = /(\\d+)(?:–(\\d+))? of/.exec(place);
  return Number(first) <= %d && %d <= Number(last ?? first);
})()"""
"""The place that is told on the stand has a bar in it."""


def test_a_stand_that_is_turned_round_keeps_its_bar(part: Desk) -> None:
    """Another width has other systems: the bar one plays from is among those in view, there and back."""
    page = part.page
    part.more("#stand")
    part.settled()
    page.fill(".to-bar", "60")
    page.press(".to-bar", "Enter")
    part.until(IN_VIEW % (60, 60))
    part.place_kept()
    label = page.evaluate(TOP_BAR)
    for width, height in ((390, 844), (1440, 900)):
        page.set_viewport_size({"width": width, "height": height})
        bar = int(label.split(",")[0][4:])
        part.until(IN_VIEW % (bar, bar))  # the music for that width is there
        part.settled()
        assert page.locator("#turn-on").bounding_box()["x"] + 40 < width
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert faults_of_axe(page) == []


def test_a_tap_at_the_edge_turns(part: Desk) -> None:
    """At the very side of the screen a tap turns, whatever stands there."""
    page = part.page
    part.more("#stand")
    part.settled()
    page.mouse.click(1432, 300)
    assert page.evaluate("scrollY") > 0
    assert page.locator(".unfold").count() == 0


def test_the_list_of_works_tells_two_of_one_title_apart(part: Desk) -> None:
    """File, tempo and pins; the last opened stands first."""
    page = part.page
    first = f"{SCHUBERT.name}, ♩ = 180 (half = 90), no pins"
    page.click("#open")
    assert first in page.inner_text("#kept-works li")
    part.open_example()
    part.settled()
    page.fill("#speed", "40")
    page.click("#open")
    page.wait_for_selector("#kept-works li:nth-child(2)")
    assert first not in page.inner_text("#kept-works li")
    page.locator(".go-on", has_text=first).click()
    part.wait_for_music()
    assert page.input_value("#speed") == "70"
    page.click("#open")
    part.until(f"document.querySelector('#kept-works li').textContent.includes('{first}')")


def test_a_trill_says_for_which_flute_and_what_is_unknown_once(part: Desk) -> None:
    """On the piccolo nothing is known of the tuning: one line says so, for all pairs."""
    page = part.page
    part.more("#trill")
    page.fill("#trill-low", "D5")
    page.fill("#trill-high", "E5")
    page.select_option("#trill-flute", "piccolo")
    page.wait_for_selector("#trill-found >> text=on the piccolo")
    found = page.inner_text("#trill-found")
    assert "unknown" not in found
    assert found.count("not known") == 1
    assert faults_of_axe(page, "dialog") == []


def test_a_pin_taken_back_is_named(part: Desk) -> None:
    """Undo says which pin went."""
    page = part.page
    part.choose(12)
    page.locator("#panel .grip-acts button", has_text="Pin").first.click()
    page.wait_for_selector(".spot.pinned")
    part.settled()
    page.click("#undo")
    part.until("/Taken back: pin of [A-G].*, bar \\d+/.test(document.getElementById('status').textContent)")
