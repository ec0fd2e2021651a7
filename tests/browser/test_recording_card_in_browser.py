"""The card of what to record first, as a browser prints it."""

import re
from dataclasses import replace

import pytest
from tests.browser.conftest import PatientBrowser

import gripway
from gripway.cli.text.own.own_times_text import CAUTION, how_to_record
from gripway.listening.what_to_record import PartNotes, RecordingCard, ToRecord
from gripway.page.recording_card import pairs_card_page, recording_card_page

pytestmark = [pytest.mark.browser, pytest.mark.whole]

ONE = ToRecord(
    pitch=87,
    grip=gripway.Grip.parse("T 2 3 | Kds Eb"),
    standard=gripway.Grip.parse("T 1 2 3 4 | 1 2 3 Eb"),
    kind="trill",
    vs_standard=-9.0,
    spread_cents=9.0,
    if_lower=3,
    if_higher=10,
    places=(PartNotes("a part", (1, 2), ("1", "2")),),
)
FULLEST = RecordingCard("concert-flute", ("A study with a long name of its own",) * 9, (ONE,) * 20, 40)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_fullest_card_is_one_sheet(paper: str, browser: PatientBrowser) -> None:
    """Twenty rows, nine parts and a flute with everything on one sheet of either paper."""
    flute = gripway.flute(parts=["b-foot", "split-e", "c-sharp-trill", "high-c"])
    assert sheets(recording_card_page(FULLEST, flute), paper, browser) == [b"1"]


@pytest.mark.parametrize("rows", [1, 5, 6, 12, 13])
def test_larger_diagrams_keep_to_one_sheet(rows: int, browser: PatientBrowser) -> None:
    """At each number of rows from which the diagrams are smaller, and just before."""
    card = replace(FULLEST, grips=(ONE,) * rows)
    assert sheets(recording_card_page(card, gripway.flute()), "A4", browser) == [b"1"]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_pairs_are_one_sheet(paper: str, browser: PatientBrowser) -> None:
    """All pairs with how they are played and the caution."""
    pairs = gripway.pairs_to_record()
    page = pairs_card_page(pairs, gripway.flute(), " ".join(how_to_record(pairs)), CAUTION)
    assert sheets(page, paper, browser) == [b"1"]


def sheets(written: str, paper: str, browser: PatientBrowser) -> list[bytes]:
    """How many sheets a page prints on."""
    page = browser.new_page()
    page.set_content(written.replace("size:A4", f"size:{paper}"))
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    return re.findall(rb"/Count (\d+)", printed)
