"""With few colours of one's own (forced colours, high contrast) everything that is said is still seen."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, Desk, desk

pytestmark = pytest.mark.browser


@pytest.fixture(params=["light", "dark"])
def few(request: pytest.FixtureRequest, browser: Any, address: str) -> Iterator[Desk]:
    """The study with every grip shown, a note chosen and pinned, in colours a person has set."""
    with desk(browser, address, forced_colors="active", color_scheme=request.param) as shown:
        shown.open_score(ROOFTOP)
        shown.page.select_option("#show", "all")
        shown.settled()
        shown.choose(6)
        shown.page.locator("#panel .grip-acts button", has_text="Pin").nth(1).click()
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        yield shown
        assert shown.faults == []


LATE = ".staff .tint.late, .staff .tint.very"


def style(shown: Desk, selector: str, name: str) -> str:
    """The value a property has on the first such element."""
    value: str = shown.page.evaluate(
        "([selector, name]) => getComputedStyle(document.querySelector(selector))[name]", [selector, name]
    )
    return value


def channels(colour: str) -> tuple[float, ...]:
    """Red, green and blue of a colour as the browser tells it."""
    return tuple(map(float, re.findall(r"[\d.]+", colour)[:3]))


def test_diagrams_are_drawn_in_the_colours_set(few: Desk) -> None:
    """Pressed is as the text, lifted as the ground, on either ground; rings and ties are no ground."""
    ground = channels(style(few, "body", "backgroundColor"))
    text = channels(style(few, "body", "color"))
    assert ground != text
    assert channels(style(few, ".mark [data-state=pressed]", "fill")) == text
    assert channels(style(few, ".mark [data-state=lifted]", "fill")) == ground
    assert channels(style(few, ".mark .ring", "stroke")) != ground
    assert channels(style(few, ".ties", "stroke")) != ground
    assert channels(style(few, ".staff-lines", "color")) == text


def test_late_changes_have_lines_where_they_had_a_tint(few: Desk) -> None:
    """A tint is bordered above and below in the colour of the text."""
    assert style(few, LATE, "borderTopWidth") == "3px"
    assert channels(style(few, LATE, "borderTopColor")) == channels(style(few, "body", "color"))
    ground = channels(style(few, "body", "backgroundColor"))
    assert channels(style(few, ".overview span", "backgroundColor")) != ground


@pytest.mark.parametrize("place", [".spot.chosen", ".grip.is-chosen"])
def test_what_is_chosen_has_an_outline(few: Desk, place: str) -> None:
    """The chosen note and its grip are outlined in a colour that is not the ground's."""
    few.page.evaluate("document.activeElement.blur()")
    assert style(few, place, "outlineStyle") == "solid"
    assert channels(style(few, place, "outlineColor")) != channels(style(few, "body", "backgroundColor"))


@pytest.mark.parametrize("place", [".tags .pin", ".badge.strong", "#play"])
def test_what_stands_on_a_colour_can_be_read(few: Desk, place: str) -> None:
    """Pins, the sign of the chosen grip and the main button have letters that are not of their ground."""
    assert channels(style(few, place, "backgroundColor")) != channels(style(few, place, "color"))
    assert style(few, place, "forcedColorAdjust") == "none"
