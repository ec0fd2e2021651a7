"""What a player misses who meets the page for the first time: the way to a note, the next place, the bar."""

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
