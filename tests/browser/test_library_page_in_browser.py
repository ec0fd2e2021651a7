"""The overview of a library as a browser shows it: no errors, accessible, nothing wider than a phone."""

from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from gripway.page.bar_plot import Bar, BarPlot
from gripway.page.library_page import library_page

pytestmark = pytest.mark.browser

PLOTS = (
    BarPlot(
        "Changes that are too fast", "times", [Bar("D6 to C6", 9, "9 times"), Bar("<b>", 0, "none & no")]
    ),
    BarPlot("Notes by key", "% of the notes", []),
)


@pytest.mark.parametrize("width", [1280, 360])
def test_the_overview_is_accessible(browser: Any, tmp_path: Path, width: int) -> None:
    """Axe finds nothing, the console is silent, and the page itself never scrolls sideways."""
    path = tmp_path / "library.html"
    path.write_text(library_page("Practise D6 to C6.", PLOTS), encoding="utf-8")
    said: list[str] = []
    context = browser.new_context(viewport={"width": width, "height": 800}, bypass_csp=True)
    page = context.new_page()
    page.on("console", lambda message: said.append(message.text))
    page.goto(path.as_uri())
    assert Axe().run(page).response["violations"] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("svg.bars rect").count() == 2
    assert said == []
    context.close()
