"""ABC, MIDI, Humdrum and MEI: told apart, and converted to MusicXML by music21 (optional extra)."""

import codecs
import re
import warnings
from pathlib import Path

from gripway.errors import ScoreError
from gripway.score.xml.xml_tree import parse_tree

SUFFIXES = {
    ".abc": "ABC",
    ".mid": "MIDI",
    ".midi": "MIDI",
    ".krn": "Humdrum",
    ".mei": "MEI",
}
"""Formats that are converted, by the endings of their files."""

_FORMATS = {"ABC": "abc", "MIDI": "midi", "Humdrum": "humdrum", "MEI": "mei"}
"""Our name of a format and music21's."""


_BEFORE = b"\xef\xbb\xbf \r\n\t"
"""What may stand before the first sign of a file."""


def foreign_kind(data: bytes, name: str) -> str:
    """ABC, MIDI, Humdrum or MEI when the bytes or, failing that, the name say so; else empty."""
    codec = _wide_codec(data)
    head = (data[:4000].decode(codec, "replace").encode() if codec else data[:2000]).lstrip(_BEFORE)
    if head.startswith(b"MThd"):
        return "MIDI"
    if head.startswith((b"**", b"!!!")):
        return "Humdrum"
    if re.match(rb"(%abc|X:\s*\d)", head):
        return "ABC"
    if re.search(rb"<mei[\s>]", head) or b"music-encoding.org" in head:
        return "MEI"
    if head.startswith(b"<"):
        return ""
    return SUFFIXES.get(Path(name).suffix.lower(), "")


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
            content = data if kind == "MIDI" else _text(data, _wide_codec(data))
            score = converter.parseData(content, format=_FORMATS[kind])
            return bytes(GeneralObjectExporter(score).parse())
    except Exception as error:  # music21 raises many kinds on bad input
        reason = (str(error).splitlines() or [type(error).__name__])[0][:200]
        raise ScoreError(
            f"music21 cannot read this {kind} score ({reason})",
            place=name,
            next_step="Export the score as MusicXML",
        ) from None


def _wide_codec(data: bytes) -> str:
    """UTF-16 where a byte order mark or the zeros between the first letters say so; else empty."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    return {b"<\0": "utf-16-le", b"\0<": "utf-16-be"}.get(data[:2], "")


def _text(data: bytes, wide_codec: str) -> str:
    """The text of a file in UTF-16, or that does not say its encoding: UTF-8, else Latin-1."""
    if wide_codec:
        return data.decode(wide_codec).lstrip("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")
