"""The card of what to record first, as a browser prints it."""

import re

import pytest
from tests.browser.conftest import PatientBrowser

import gripway
from gripway.listening.what_to_record import PartNotes, RecordingCard, ToRecord
from gripway.page.recording_card import recording_card_page

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
    page = browser.new_page()
    page.set_content(recording_card_page(FULLEST, flute).replace("size:A4", f"size:{paper}"))
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    assert re.findall(rb"/Count (\d+)", printed) == [b"1"]
