"""The look-out for too small targets does not depend on where the page is scrolled to."""

from typing import Any

import pytest
from tests.browser.page_driver import faults_of_axe

pytestmark = pytest.mark.browser

PAGE = """<!doctype html><html lang="en"><title>t</title><style>
body{{margin:0}} header{{position:sticky;top:0;height:40px;background:#fff}}
a{{display:block;height:{height}px;width:200px}} main{{height:3000px;padding-top:100px}}</style>
<header>a header</header><main><h1>One</h1><a id="first" href="#first">first</a>
<a href="#second">second</a></main>
"""


@pytest.mark.parametrize(
    ("height", "covered_px", "faults"), [(32, 0, 0), (32, 16, 0), (32, 26, 0), (12, 0, 2)]
)
def test_targets_are_judged_where_nothing_covers_them(
    browser: Any, height: int, covered_px: int, faults: int
) -> None:
    """A link of 32 px is large enough however much of it is covered, one of 12 px is not (WCAG 2.5.8: 24)."""
    page = browser.new_page()
    page.set_content(PAGE.format(height=height))
    top = page.evaluate("document.getElementById('first').getBoundingClientRect().top")
    page.evaluate(f"scrollTo({{ top: {top - 40 + covered_px}, behavior: 'instant' }})")
    place = page.evaluate("scrollY")
    found = [fault for fault in faults_of_axe(page) if fault.startswith("target-size")]
    assert len(found) == faults
    assert page.evaluate("scrollY") == place
    page.context.close()
