"""The page opens the files it writes; another part takes no pin away."""

import re
from pathlib import Path
from typing import Any

import pytest
from tests.browser.page_driver import ROOFTOP, Desk, desk

pytestmark = pytest.mark.browser


@pytest.fixture
def study(page: Desk) -> Desk:
    """The rooftop study, opened."""
    page.open_score(ROOFTOP)
    return page


def pin_second(shown: Desk, place: int) -> None:
    """Pin the second grip of a note."""
    shown.choose(place)
    shown.page.locator(".pick").nth(1).click()
    shown.page.wait_for_selector(".spot.pinned")
    shown.settled()


def saved(shown: Desk, kind: str, folder: Path) -> Path:
    """A file the page writes."""
    shown.page.click("#save")
    with shown.page.expect_download() as coming:
        shown.page.click(f"#save-{kind}")
    path = folder / coming.value.suggested_filename
    coming.value.save_as(path)
    return path


def test_decisions_open_as_pins(study: Desk, browser: Any, address: str, tmp_path: Path) -> None:
    """They pin the same grip in a fresh page; without a score they say what to open first."""
    pin_second(study, 6)
    marks = study.marks()
    path = saved(study, "decisions", tmp_path)
    with desk(browser, address) as other:
        other.page.set_input_files("#file", path)
        assert "Open the score first" in other.alert()
        other.open_score(ROOFTOP)
        other.settled()
        other.page.set_input_files("#file", path)
        other.page.wait_for_selector(".spot.pinned")
        other.settled()
        assert other.marks() == marks
        other.page.set_input_files("#file", path)
        assert "pinned already" in other.alert()
        assert other.faults == []


def test_a_tuners_list_opens_and_comes_again(study: Desk, tmp_path: Path) -> None:
    """Its readings are used at once, told, and saved as they came; the dialog leaves them out."""
    path = tmp_path / "mine.csv"
    path.write_text("pitch,grip,cents,spread_cents\nG#6,L2 L3 L4 | Eb,3.0,2.0\n", encoding="utf-8")
    study.page.set_input_files("#file", path)
    study.until("document.getElementById('summary').textContent.includes('1 reading of your tuner')")
    study.settled()
    assert saved(study, "tuner", tmp_path).read_text(encoding="utf-8") == path.read_text(encoding="utf-8")
    study.choose(6)
    assert "+3 ct" in study.page.locator(".pick").first.inner_text()
    study.page.click("#flute")
    study.page.get_by_role("button", name=re.compile("Leave out")).click()
    study.until("!document.getElementById('summary').textContent.includes('tuner')")
    study.settled()


def test_another_part_keeps_the_pins(study: Desk, tmp_path: Path) -> None:
    """With the second part chosen the pins of the first wait, and are told; with the first they are there."""
    text = ROOFTOP.read_text(encoding="utf-8")
    part = re.search(r"<part id=\"P1\">.*</part>", text, re.DOTALL)
    listed = re.search(r"<score-part id=\"P1\">.*?</score-part>", text, re.DOTALL)
    assert part
    assert listed
    two = text.replace(listed[0], listed[0] + listed[0].replace("P1", "P2")).replace(
        part[0], part[0] + part[0].replace("P1", "P2")
    )
    path = tmp_path / "duet.musicxml"
    path.write_text(two, encoding="utf-8")
    study.open_score(path)
    study.page.wait_for_selector("#part", state="visible")
    study.settled()
    pin_second(study, 6)
    marks = study.marks()
    study.page.keyboard.press("Escape")
    study.page.select_option("#part", "2")
    study.page.wait_for_selector(".spot.pinned", state="detached")
    study.settled()
    study.page.click('[data-kind="pinned"]')
    assert "it waits" in study.page.inner_text("#places")
    study.page.select_option("#part", "1")
    study.page.wait_for_selector(".spot.pinned")
    study.settled()
    assert study.marks() == marks
