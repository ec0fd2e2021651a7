"""What is drawn and said of the route: the thumb, trills, effort and tempo, on screen and on paper."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, Desk, desk

pytestmark = pytest.mark.browser

UP_TO_THE_LEVER = "(C#5 D#5 E5 F#5 G#5 A#5 B#5 C#6) E6:1/4"
"""A run with no time to slide: for the thumb B-flat the thumb is on its lever from D#5 on."""

KETTLE = ROOFTOP.with_name("kettle_trills.musicxml")


@pytest.fixture
def run(browser: Any, address: str) -> Iterator[Desk]:
    """The run, its A#5 pinned to the thumb B-flat."""
    with desk(browser, address) as shown:
        shown.page.click("#start-write")
        shown.page.fill("#notes-text", UP_TO_THE_LEVER)
        shown.page.select_option("#notes-unit", "1/32")
        shown.page.click("dialog .main-action")
        shown.wait_for_music()
        shown.settled()
        shown.choose(5)
        shown.page.locator("#panel .grip", has_text="Tb 1 | Eb").first.get_by_role(
            "button", name="Pin"
        ).click()
        shown.page.wait_for_selector(".spot.pinned")
        shown.settled()
        yield shown
        assert shown.faults == []


def thumb_signs(page: Any) -> list[str]:
    """The signs of the thumb in the order they stand."""
    found: list[str] = page.eval_on_selector_all(".tags .thumb", "all => all.map(s => s.textContent)")
    return found


def test_the_thumb_is_drawn_where_it_goes(run: Desk) -> None:
    """The sign and a diagram stand at the note from which the thumb is on its lever, and where it is back."""
    assert thumb_signs(run.page) == ["Tb", "T"]
    named = [label for label in run.marks() if "the thumb goes" in label]
    assert "D sharp 5" in named[0]
    assert "to the B-flat lever" in named[0]
    assert "back to its own key" in named[1]
    spot = run.page.locator(".spot", has=run.page.locator(".mark .ring")).first
    assert "D sharp 5" in spot.get_attribute("aria-label")
    run.page.select_option("#show", "none")
    assert thumb_signs(run.page) == []


def test_the_notice_says_from_where_the_thumb_is_there(run: Desk) -> None:
    """Notes before the pin do not follow it: the thumb is on its lever already."""
    told = run.page.inner_text("#told")
    assert "the thumb is on the B-flat lever already from D♯5" in told, told
    assert "follow" not in told


def test_what_a_change_needs_is_no_less_than_it_has_where_it_is_late(run: Desk) -> None:
    """The figures beside a late change agree with the word."""
    words = run.page.eval_on_selector_all("#hardest .load", "all => all.map(s => s.textContent)")
    late = [re.search(r"needs (\d+) ms.*has (\d+) ms", each) for each in words if "late" in each]
    assert late
    assert all(found and int(found[1]) >= int(found[2]) for found in late), words


def test_paper_explains_the_thumb(run: Desk) -> None:
    """The key has the two signs and the touches written out; what unfolds on screen is not printed."""
    run.page.emulate_media(media="print")
    assert run.page.is_visible(".key-thumb")
    assert not run.page.is_visible(".key-trill")
    assert "Tb thumb on the B-flat lever" in run.page.inner_text("#key-touches")
    assert not run.page.locator(".on-demands").is_visible()


def test_a_trill_is_drawn_and_listed(page: Desk) -> None:
    """Both grips side by side with what moves ringed, a filter, and a list on paper with the bars."""
    page.open_score(KETTLE)
    page.settled()
    pairs = page.page.locator(".trill-pair")
    assert pairs.count() > 0
    assert all(
        pairs.nth(k).locator(".grip-picture").count() == 2 and pairs.nth(k).locator(".ring").count() > 0
        for k in range(pairs.count())
    )
    page.page.click("#filters [data-kind=trills]")
    listed = page.page.inner_text("#places")
    assert re.search(r"bars? \d+", listed)
    assert re.search(r"(left|right) \w+ moves?\b|move\b", listed)
    page.page.emulate_media(media="print")
    printed = page.page.inner_text("#trills")
    assert re.search(r", with .* bar", printed), printed
    assert page.page.is_visible(".key-trill")


def test_effort_and_grips_are_explained_on_demand(run: Desk) -> None:
    """A short word beside the answer: how grips are read, and what the effort is to be measured by."""
    read, much = (run.page.locator(".on-demand").nth(k) for k in range(2))
    assert not read.locator("p").is_visible()
    read.locator("summary").click()
    assert "B-flat lever" in read.inner_text()
    much.locator("summary").click()
    run.until("document.getElementById('effort-standard').textContent !== ''")
    assert re.search(
        r"just in time takes 0\.\d\d.*With no grip to learn .* takes \d", much.inner_text(), re.DOTALL
    )


def test_the_list_of_tuning_has_what_the_words_name(page: Desk) -> None:
    """A note that is to be lipped or needs help is in the list, and only what needs help is red."""
    page.open_example()
    page.settled()
    button = page.page.locator("#filters [data-kind=tuning]")
    button.click()
    lines = page.page.eval_on_selector_all("#places .detail", "all => all.map(s => s.textContent)")
    assert lines
    assert all(line.endswith(("lip it", "needs help")) for line in lines), lines
    assert sum(map(int, re.findall(r"\d+", button.inner_text()))) >= len(lines)
    page.page.locator("#places button.go").first.click()
    page.page.wait_for_selector("#panel .flags")
    flags = {
        flag.inner_text(): "warn" in (flag.get_attribute("class") or "").split()
        for flag in page.page.locator("#panel .flags li").all()
    }
    of_tuning = {words: red for words, red in flags.items() if "lip it" in words or "needs help" in words}
    assert of_tuning, flags
    assert all(red == words.endswith("needs help") for words, red in of_tuning.items()), of_tuning


def test_a_metre_in_halves_has_its_own_tempo(page: Desk, tmp_path: Path) -> None:
    """Beside the quarters the halves are told, which the music counts."""
    text = re.sub(
        r"<beats>.*?</beat-type>",
        "<beats>2</beats><beat-type>2</beat-type>",
        ROOFTOP.read_text(encoding="utf-8"),
        flags=re.DOTALL,
    )
    path = tmp_path / "in_halves.musicxml"
    path.write_text(text, encoding="utf-8")
    page.open_score(path)
    page.settled()
    page.page.fill("#tempo", "144")
    page.page.dispatch_event("#tempo", "change")
    page.until("document.querySelector('#summary .counts').textContent.includes('♩ = 144 (half = 72)')")
