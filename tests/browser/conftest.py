"""A browser for the tests: Debian's chromium, driven by playwright, with as much time as it needs."""

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import Desk, desk, page_server
from tests.patience import HANG_MS

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@dataclass(frozen=True)
class PatientBrowser:
    """A browser on whose pages every wait (for a state, a download, an address) ends only where it hangs."""

    running: Any

    def new_context(self, **options: Any) -> Any:
        """A context of its own."""
        return _patient(self.running.new_context(**options))

    def new_page(self, **options: Any) -> Any:
        """A page in a context of its own, which goes with it."""
        return _patient(self.running.new_page(**options))


def _patient(waiting: Any) -> Any:
    waiting.set_default_timeout(HANG_MS)
    return waiting


@pytest.fixture(scope="session")
def browser() -> Iterator[PatientBrowser]:
    """A running chromium; where there is none the test is skipped, but on CI it fails."""
    if CHROMIUM is None:
        reason = "no chromium found: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS), timeout=HANG_MS)
        yield PatientBrowser(running)
        running.close()


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """The address of a running page."""
    with page_server() as running:
        yield running


@pytest.fixture
def page(browser: Any, address: str) -> Iterator[Desk]:
    """A fresh page on a desktop; whatever its console complains of fails the test."""
    with desk(browser, address) as shown:
        yield shown
        assert shown.faults == []


SMOKE = frozenset(
    {
        "test_a_real_part_opens_with_its_grips",
        "test_pin_redraws_only_what_changed_and_undo_takes_it_back",
        "test_every_mark_sits_under_its_note[boulanger-piccolo]",
        "test_overlaps_are_seen",
    }
)
"""What every run looks at; the rest of this room is for the whole tier."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave most of this room to the whole tier."""
    for item in items:
        if item.path.parent == Path(__file__).parent and item.name not in SMOKE:
            item.add_marker(pytest.mark.whole)
