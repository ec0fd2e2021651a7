"""The text faces the page is set in: what they hold, what they are called, under which licence, how large."""

import re
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from tests.web.faces import FACES, LATIN, POINTERS, SIGNS
from tests.web.pages import ROOT

MOST_BYTES = 120_000
FILES = sorted(FACES.glob("*.woff2"))
SHEET = (FACES / "faces.css").read_text(encoding="utf-8")
EUROPE = (
    "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿĀāĂăĄąĆćĊċČčĎďĐđĒēĖėĘęĚěĞğĠġĢģĦħĪīĮįİıĶķĹĺĻļĽľŁłŃńŅņŇň"
    "ŐőŒœŔŕŘřŚśŞşŠšŢţŤťŪūŮůŰűŲųŴŵŶŷŸŹźŻżŽžȘșȚț"
)
LOOKS_OF_ENGRAVING = range(0xE000, 0xF900)
"""The private area of SMuFL, which the music font draws."""


def face(name: str) -> TTFont:
    """A face that is shipped."""
    return TTFont(FACES / f"{name}.woff2")


def holds(name: str) -> set[str]:
    """The characters of a face."""
    return {chr(code) for code in face(name).getBestCmap()}


def test_all_faces_together_are_small() -> None:
    """All that a page loads before it is read, and a file that works from disk carries, is under 120 kB."""
    assert sum(path.stat().st_size for path in FILES) <= MOST_BYTES


def test_the_sheet_names_every_file_and_no_other() -> None:
    """A face that is not named is never used, one that is not there is never loaded."""
    assert set(re.findall(r'url\("([^"]+)"\)', SHEET)) == {path.name for path in FILES}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_face_bears_a_reserved_name(path: Path) -> None:
    """SIL Open Font License 1.1, condition 3: what is changed may not be called as the licence reserves."""
    names = TTFont(path)["name"]
    called = " ".join(str(names.getDebugName(number)) for number in (1, 4, 6))
    assert "Gripway" in called
    assert not re.search("Source|Leipzig", called)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_face_says_its_rights_and_the_licence_lies_beside(path: Path) -> None:
    """Condition 2: each copy holds the copyright notice and the licence, as text and within the face."""
    names = TTFont(path)["name"]
    assert "Reserved Font Name" in names.getDebugName(0)
    assert "SIL Open Font License, Version 1.1" in names.getDebugName(13)
    licence = (FACES / "OFL.txt").read_text(encoding="utf-8")
    assert path.name in licence
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


@pytest.mark.parametrize("name", ["sans", "serif", "serif-italic"])
def test_names_of_composers_can_be_set(name: str) -> None:
    """Capitals and small letters of the Latin alphabets of Europe (Unicode CLDR, main letters)."""
    assert set(EUROPE) <= holds(name)
    assert {chr(code) for code in LATIN if 0x20 < code < 0x7F} <= holds(name)


def test_every_sign_the_page_writes_is_in_a_face() -> None:
    """No character of the page's words, its scripts and its tables falls to a face of the system."""
    shown = {*holds("sans"), *holds("signs")}
    places = (ROOT / "solver" / "gripway" / "web" / "static", ROOT / "solver" / "gripway" / "page")
    texts = [path for place in places for kind in ("*.html", "*.js", "*.py") for path in place.rglob(kind)]
    assert len(texts) > 50
    written = {sign for path in texts for sign in path.read_text(encoding="utf-8")}
    told = {sign for sign in written if sign.isprintable() and ord(sign) not in LOOKS_OF_ENGRAVING}
    assert told - shown == set()


def test_signs_of_music_are_as_high_as_capitals() -> None:
    """Sharps, naturals and flats reach about from the base line to the height of a capital."""
    signs, sans = face("signs"), face("sans")
    capital = sans["OS/2"].sCapHeight / sans["head"].unitsPerEm
    assert {*SIGNS, *POINTERS} == holds("signs")
    for sign in "♯♮♭":
        outline = signs["glyf"][signs.getBestCmap()[ord(sign)]]
        low, high = (value / signs["head"].unitsPerEm for value in (outline.yMin, outline.yMax))
        assert -0.2 < low < 0.02, sign
        assert capital - 0.02 < high < capital + 0.2, sign
