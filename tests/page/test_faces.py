"""Documents carry the text faces they are set in, and no others."""

import base64
import re
from pathlib import Path

from markupsafe import Markup

from gripway.page.document import FACES, document, faces_of

SANS, SERIF = "Gripway Sans", "Gripway Serif"


def families(text: str) -> list[str]:
    """The families a text has rules for, one a rule."""
    return re.findall(r'@font-face \{ font-family: "([^"]+)"', text)


def test_only_families_that_are_named_are_carried() -> None:
    """A style sheet that names one family brings its rules alone; one that names none brings nothing."""
    assert families(faces_of(f'body{{font:1rem "{SANS}"}}')) == [SANS]
    assert families(faces_of(f'body{{font:1rem "{SERIF}","{SANS}"}}')) == [SANS, SERIF, SERIF]
    assert faces_of("body{font:1rem serif}") == ""


def test_the_data_is_the_face_that_is_shipped() -> None:
    """Byte for byte, and nothing is left to fetch."""
    rules = faces_of(f'"{SANS}"')
    (data,) = re.findall(r'url\("data:font/woff2;base64,([^"]+)"\)', rules)
    assert base64.b64decode(data) == Path(str(FACES.joinpath("sans.woff2"))).read_bytes()
    assert 'woff2"' not in re.sub(r"data:[^\"]+", "", rules).replace('format("woff2")', "")


def test_a_document_is_set_in_the_faces_of_its_style() -> None:
    """Its own style sheet decides; the rules stand before it."""
    made = document("A list", "recording_card.css", Markup("<p>A</p>"))
    assert families(made) == [SANS, "Gripway Signs"]
    assert made.index("@font-face") < made.index("body{")
