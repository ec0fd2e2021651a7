"""The encodings a score may come in."""

import pytest
from tests.score.small_scores import bar, names, note, score

from gripway.errors import ScoreError
from gripway.score.reading.score_reading import read_score
from gripway.score.xml.encoding import codec_of

TEXT = score(bar(note("C5"))).decode()


@pytest.mark.parametrize(
    ("declared", "codec", "found"),
    [
        ("UTF-8", "utf-8", "utf-8"),
        ("UTF-8", "utf-8-sig", "utf-8"),
        ("UTF-16", "utf-16", "utf-16-le"),
        ("ISO-8859-1", "iso-8859-1", "iso8859-1"),
        ("windows-1252", "cp1252", "cp1252"),
        ("US-ASCII", "ascii", "ascii"),
    ],
)
def test_scores_of_every_usual_encoding_are_read(declared: str, codec: str, found: str) -> None:
    """The codec is found and the notes are there."""
    data = TEXT.replace("UTF-8", declared).encode(codec)
    assert codec_of(data, "x.musicxml") == found
    assert names(data) == ["C5"]


@pytest.mark.parametrize("declared", ["Shift_JIS", "UTF-7", "no-such-code", "IBM037"])
def test_other_encodings_are_refused(declared: str) -> None:
    """Where splicing would not be safe, the error asks for UTF-8."""
    with pytest.raises(ScoreError, match="Save the score as UTF-8"):
        names(TEXT.replace("UTF-8", declared).encode())


def test_utf_32_is_refused() -> None:
    """By its byte order mark."""
    with pytest.raises(ScoreError, match="UTF-32"):
        names(TEXT.encode("utf-32"))


@pytest.mark.parametrize(
    "declared",
    [
        "idna",
        "punycode",
        "unicode_escape",
        "raw_unicode_escape",
        "utf-8-sig",
        "undefined",
        "rot13",
        "hex",
        "hz",
    ],
)
def test_codecs_that_no_score_is_written_in_are_refused(declared: str) -> None:
    """Python knows them; marks in them would be no XML, or a traceback."""
    data = f'<?xml version="1.0" encoding="{declared}"?><score-partwise/>'.encode()
    with pytest.raises(ScoreError, match="encoding"):
        codec_of(data, "x.xml")


def test_a_byte_order_mark_counts_before_the_declaration() -> None:
    """Bytes that begin as UTF-8 are read as UTF-8 (XML 1.0, appendix F), also where the declaration errs."""
    data = score(bar(note("E6")), name="Fl\u00f6te").replace(b"UTF-8", b"ISO-8859-1")
    assert read_score(b"\xef\xbb\xbf" + data, "x.xml").passage.part == "Fl\u00f6te"
