"""The encodings a score may come in."""

import pytest
from tests.score.small_scores import bar, names, note, score

from gripway.errors import ScoreError
from gripway.score.encoding import codec_of

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
