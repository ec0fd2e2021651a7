"""The page shared with a tablet: the code from the screen, then the music of the desk, not to be changed."""

import re
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, UNHURRIED, desk, faults_of_axe

pytestmark = pytest.mark.browser

NETWORK = "127.0.0.2"
SHARED = UNHURRIED.replace(
    "launch()",
    f"""
from gripway.web import serve_command, sharing
serve_command.network_address = lambda: "{NETWORK}"
sharing._is_loopback = lambda address: address == "127.0.0.1"
launch()""",
)
"""The command, with another address of this machine in the place of the network's."""


class Screen:
    """What the terminal of a shared page says."""

    def __init__(self, running: "subprocess.Popen[str]") -> None:
        self._lines = running.stderr
        self.desk = self._next(r"The page is at (\S+)")
        invited = self._next(r"Shared at (\S+ .* with the code \S+)").split()
        self.guests, self.code = invited[0], invited[-1]

    def next_code(self) -> str:
        """The code that comes once one is used up."""
        return self._next(r"with the code (\S+)")

    def _next(self, pattern: str) -> str:
        assert self._lines is not None
        for line in self._lines:
            if found := re.search(pattern, line):
                return found[1]
        raise AssertionError(pattern)


@pytest.fixture(scope="module")
def screen() -> Iterator[Screen]:
    """A running shared page."""
    command = [sys.executable, "-c", SHARED, "serve", "--port", "0", "--share"]
    running = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    try:
        yield Screen(running)
    finally:
        running.terminate()
        running.communicate()


def test_a_tablet_is_let_in_and_sees_the_music_of_the_desk(browser: Any, screen: Screen) -> None:
    """A wrong code is told; the right one shows the study, whose notes unfold; the next code is another."""
    with desk(browser, screen.desk) as at_desk:
        at_desk.open_score(ROOFTOP)
        tablet = browser.new_context(viewport={"width": 820, "height": 1180})
        page, faults = tablet.new_page(), list[str]()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(screen.guests)
        assert faults_of_axe(page) == []
        page.fill("#code", "WRONGONE")
        page.click("button.main-action")
        page.wait_for_selector("#problem:not([hidden])")
        assert "not the code" in page.inner_text("#problem")
        page.fill("#code", screen.code)
        page.keyboard.press("Enter")
        page.wait_for_selector("html[data-ready]")
        page.wait_for_selector(".spot[aria-label]")
        page.locator(".spot").nth(4).click()
        page.wait_for_selector(".unfold")
        assert page.locator(".unfold .pick").first.get_attribute("aria-pressed") is None
        page.reload()
        page.wait_for_selector(".spot[aria-label]")
        assert faults == []
        tablet.close()


def test_the_picture_s_address_lets_in_at_once(browser: Any, screen: Screen) -> None:
    """The address with the code behind it needs no typing, and the code is gone from the address bar."""
    code = screen.next_code().replace("-", "")
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{screen.guests}#{code}")
    page.wait_for_selector("body:not(:has(#enter))")
    assert code not in page.url
    context.close()
