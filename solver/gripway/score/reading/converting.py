"""ABC, MIDI, Humdrum and MEI: told apart, and converted to MusicXML by music21 (optional extra)."""

import re
import warnings
from pathlib import Path

from gripway.errors import ScoreError
from gripway.score.xml.xml_tree import parse_tree

_SUFFIXES = {
    ".abc": "ABC",
    ".mid": "MIDI",
    ".midi": "MIDI",
    ".krn": "Humdrum",
    ".mei": "MEI",
}
_FORMATS = {"ABC": "abc", "MIDI": "midi", "Humdrum": "humdrum", "MEI": "mei"}
"""Our name of a format and music21's."""


def foreign_kind(data: bytes, name: str) -> str:
    """ABC, MIDI, Humdrum or MEI when the bytes or, failing that, the name say so; else empty."""
    head = data[:2000].lstrip(b"\xef\xbb\xbf \r\n\t")
    if head.startswith(b"MThd"):
        return "MIDI"
    if head.startswith((b"**", b"!!!")):
        return "Humdrum"
    if re.match(rb"(%abc|X:\s*\d)", head):
        return "ABC"
    if re.search(rb"<mei[\s>]", head) or b"music-encoding.org" in head:
        return "MEI"
    if head.startswith((b"<", b"\xff\xfe", b"\xfe\xff", b"\x00<")):
        return ""
    return _SUFFIXES.get(Path(name).suffix.lower(), "")


def convert(data: bytes, name: str, kind: str) -> bytes:
    """The score as MusicXML bytes (UTF-8).

    Raises ScoreError when music21 is not installed or cannot read the score.
    """
    try:
        from music21 import converter
        from music21.musicxml.m21ToXml import GeneralObjectExporter
    except ImportError:
        raise ScoreError(
            f"reading {kind} needs music21, which is not installed",
            place=name,
            next_step='Install it with: pip install "gripway[scores]", or export the score as MusicXML',
        ) from None
    if kind == "MEI":
        parse_tree(data, name)  # refuses entities and endless nesting before another parser sees them
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            content = data if kind == "MIDI" else _text(data)
            score = converter.parseData(content, format=_FORMATS[kind])
            return bytes(GeneralObjectExporter(score).parse())
    except Exception as error:  # music21 raises many kinds on bad input
        reason = (str(error).splitlines() or [type(error).__name__])[0][:200]
        raise ScoreError(
            f"music21 cannot read this {kind} score ({reason})",
            place=name,
            next_step="Export the score as MusicXML",
        ) from None


def _text(data: bytes) -> str:
    """The text of a file that does not say its encoding: UTF-8, else Latin-1."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")
