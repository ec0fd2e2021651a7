"""The local page in a browser: a server of its own, and the steps a person takes."""

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from tests.patience import HANG_S, UNHURRIED_S

ROOT = Path(__file__).resolve().parents[2]
ROOFTOP = ROOT / "examples" / "rooftop_study.musicxml"
SCHUBERT = ROOT / "tests" / "data" / "schubert_d485_flute.musicxml"
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "stand": (1024, 768), "desktop": (1440, 900)}

UNHURRIED = f"""
from gripway.web import size_limits
size_limits.MOST_SECONDS = size_limits.LIMIT_SECONDS = {UNHURRIED_S}
from gripway.__main__ import launch
launch()
"""
"""The command, with time for every request: on a busy machine the page would be told that it is late."""


@contextmanager
def page_server() -> Iterator[str]:
    """A running `gripway serve` on a free port; gives its address."""
    command = [sys.executable, "-c", UNHURRIED, "serve", "--port", "0"]
    running = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    try:
        assert running.stderr is not None
        yield running.stderr.readline().split()[4]
    finally:
        running.terminate()
        running.communicate()


@dataclass
class Desk:
    """One page in front of a person, and everything that went wrong on it or left this machine."""

    page: Any
    address: str
    faults: list[str]

    def open_score(self, path: Path) -> None:
        """Choose a score file, and wait for its music."""
        self.page.set_input_files("#file", path)
        self.wait_for_music()

    def open_example(self) -> None:
        """Let the page show its example."""
        self.page.click("#start-example")
        self.wait_for_music()

    def wait_for_music(self) -> None:
        """Until the notes are there with their grips."""
        self.page.wait_for_selector(".spot[aria-label]")
        self.page.wait_for_selector("#busy", state="hidden")

    def more(self, button: str) -> None:
        """Click a button of the menu More."""
        self.page.click("#more")
        self.page.click(button)

    def choose(self, place: int) -> None:
        """Click the note at a place (from 0), ask for all there is to say of it, and wait for its grips."""
        spot = self.page.locator(".spot").nth(place)
        label = spot.get_attribute("aria-label")
        spot.click()
        self.page.wait_for_selector(".unfold", state="attached")
        self.settled()
        if not self.page.is_visible("#panel .grip-acts"):
            self.page.click(".unfold-more")
        self.page.wait_for_selector("#panel .grip-acts")
        assert label

    def marks(self) -> list[str]:
        """What every note is called, grip and all."""
        labels: list[str] = self.page.eval_on_selector_all(
            ".spot", "all => all.map(s => s.getAttribute('aria-label'))"
        )
        return labels

    def settled(self) -> None:
        """Until nothing is asked of the server any more, and its answers are shown."""
        self.until("document.documentElement.dataset.asking === '0'")

    def until(self, holds: str) -> None:
        """Until something holds on the page (asked again and again: its policy lets nobody wait inside)."""
        self.wait_until(lambda: self.page.evaluate(holds), holds)

    def wait_until(self, holds: Callable[[], object], what: str) -> None:
        """Until something holds, while the page goes on."""
        ends = time.monotonic() + HANG_S
        while not holds():
            assert time.monotonic() < ends, what
            self.page.wait_for_timeout(20)

    def place_kept(self) -> None:
        """Until nothing scrolls any more: the place in view is the one that is kept for the next time."""
        self.until(PLACE_KEPT)

    def undo_and_redo(self, before: list[str], after: list[str]) -> None:
        """Take the one pin back and set it again: every note is called what it was before, then after."""
        self.page.click("#undo")
        self.page.wait_for_selector(".spot.pinned", state="detached")
        self.settled()
        assert self.marks() == before
        self.page.click("#redo")
        self.page.wait_for_selector(".spot.pinned")
        self.settled()
        assert self.marks() == after

    def alert(self) -> str:
        """The words of the message that is shown."""
        self.page.wait_for_selector("#alert:not([hidden])")
        words: str = self.page.inner_text("#alert p")
        return words


PLACE_KEPT = """(() => {
  const top = (box) => box.getBoundingClientRect();
  const seen = [...document.querySelectorAll('.system')].find((box) => top(box).bottom > 1);
  const kept = Object.values(JSON.parse(localStorage.getItem('gripway-places') ?? '{}')).at(-1);
  return seen && kept && kept.y === Math.round(top(seen).top);
})()"""

WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""Rules of axe-core for the Web Content Accessibility Guidelines 2.2, levels A and AA (W3C)."""

STILL = """() => Promise.all(document.getAnimations()
  .filter((each) => each.effect.getComputedTiming().endTime !== Infinity)
  .map((each) => each.finished.catch(() => null))).then(() => null)"""
"""Waits until every animation that ends has ended."""


SCROLLED = """([target, back]) => {
  const element = document.querySelector(target);
  const before = [scrollX, scrollY];
  if (element) element.scrollIntoView({ block: "center", behavior: "instant" });
  if (back) scrollTo({ left: back[0], top: back[1], behavior: "instant" });
  return before;
}"""
"""Brings an element to the middle of the view, or the page back to a place; gives the place it was at."""


def faults_of_axe(page: Any, within: str | None = None) -> list[str]:
    """What axe-core finds against the guidelines, once nothing fades any more: rule and element.

    `within` is the part of the page to look at, where a menu covers the rest. A target that header or player
    cover in part, at the place the page happens to be scrolled to, is looked at in the middle of the view.
    """
    page.evaluate(STILL)
    found = Axe().run(page, context=within, options={"runOnly": WCAG})
    return [
        f"{rule['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
        for rule in found.response["violations"]
        for node in rule["nodes"]
        if rule["id"] != "target-size" or _too_small(page, node["target"][0])
    ]


def _too_small(page: Any, target: str) -> bool:
    """Whether an element is too small a target where nothing covers it."""
    before = page.evaluate(SCROLLED, [target, None])
    found = Axe().run(page, context=target, options={"runOnly": {"type": "rule", "values": ["target-size"]}})
    page.evaluate(SCROLLED, [target, before])
    return bool(found.response["violations"])


@contextmanager
def desk(browser: Any, address: str, size: str = "desktop", **options: Any) -> Iterator[Desk]:
    """A fresh page of a size; what its console complains of, and every request elsewhere, is a fault."""
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, accept_downloads=True, **options
    )
    page = context.new_page()
    shown = Desk(page, address, [])
    page.on("pageerror", lambda error: shown.faults.append(str(error)))
    page.on("console", lambda said: said.type == "error" and shown.faults.append(said.text))
    page.on("request", lambda asked: _watch(asked.url, address, shown.faults))
    page.goto(address)
    page.wait_for_selector("html[data-ready]")
    try:
        yield shown
    finally:
        context.close()


def _watch(url: str, address: str, faults: list[str]) -> None:
    if not url.startswith((address, "blob:", "data:")):
        faults.append(f"asked elsewhere: {url}")
