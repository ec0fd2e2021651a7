"""A pin shows before its answer: at once on its own note, and everything else when the answer is there."""

from collections.abc import Iterator
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, Desk

pytestmark = pytest.mark.browser

PLACE = 6
BUSY = "document.getElementById('summary').getAttribute('aria-busy')"


@pytest.fixture
def study(page: Desk) -> Iterator[Desk]:
    """The page with a study whose note at PLACE is chosen."""
    page.open_score(ROOFTOP)
    page.settled()
    page.choose(PLACE)
    page.settled()
    yield page
    page.page.unroute_all()


def held(shown: Desk) -> list[Any]:
    """The questions for a route from now on, which wait until somebody lets them go."""
    waiting: list[Any] = []
    shown.page.route("**/route", lambda question: waiting.append(question))
    return waiting


def pin(shown: Desk, which: int = 1) -> None:
    """Click the diagram of a grip of the chosen note, below its system."""
    shown.page.locator(".unfold .pick").nth(which).click()


def label(shown: Desk, place: int = PLACE) -> str:
    """What a note is called."""
    return shown.marks()[place]


def test_the_pin_is_seen_while_its_answer_is_awaited(study: Desk) -> None:
    """The note has its new grip and its mark, and what is told of the route says that it is of before."""
    grip = study.page.locator(".unfold .pick strong").nth(1).inner_text()
    before = study.marks()
    waiting = held(study)
    pin(study)
    study.until("document.querySelectorAll('.spot.pinned').length === 1")
    assert f"grip {grip}" in label(study)
    assert "pinned" in label(study)
    assert study.page.evaluate(BUSY) == "true"
    study.until("document.documentElement.dataset.asking === '1'")
    waiting[0].continue_()
    study.settled()
    assert study.page.evaluate(BUSY) == "false"
    assert f"grip {grip}" in label(study)
    after = study.marks()
    study.page.unroute_all()
    study.undo_and_redo(before, after)


def test_a_refused_pin_goes_again(study: Desk) -> None:
    """Where the server does not answer, the note has its grip of before, and no mark."""
    before = study.marks()
    waiting = held(study)
    pin(study)
    study.page.wait_for_selector(".spot.pinned")
    study.until("document.documentElement.dataset.asking === '1'")
    waiting[0].abort()
    assert "does not answer" in study.alert()
    assert study.marks() == before
    assert study.page.evaluate(BUSY) == "false"
    study.faults.clear()  # the browser logs the refused request


def test_undone_before_its_answer(study: Desk) -> None:
    """A pin taken back while the server still works on it leaves nothing."""
    before = study.marks()
    waiting = held(study)
    pin(study)
    study.page.wait_for_selector(".spot.pinned")
    study.page.keyboard.press("Control+z")
    study.until("document.documentElement.dataset.asking === '2'")
    for question in reversed(waiting):
        question.continue_()
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    assert study.marks() == before


def test_another_grip_before_the_answer(study: Desk) -> None:
    """Of two pins on one note, one right after the other, the second holds, as if it were the only one."""
    pin(study, 2)
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    wanted = study.marks()
    study.page.click("#undo")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    waiting = held(study)
    pin(study, 1)
    study.page.wait_for_selector(".spot.pinned")
    grip = study.page.locator(".unfold .pick strong").nth(2).inner_text()
    pin(study, 2)
    study.until(f"document.querySelector('.spot.pinned').getAttribute('aria-label').includes('grip {grip}')")
    study.until("document.documentElement.dataset.asking === '2'")
    for question in waiting:
        question.continue_()
    study.settled()
    assert study.marks() == wanted
