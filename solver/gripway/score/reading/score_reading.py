"""The door of this room: bytes or a path in, a passage and the way back to the bytes out."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from gripway.display import Shown, brief
from gripway.errors import ScoreError
from gripway.files import read_bounded
from gripway.model.passage import Passage, Remark
from gripway.score.reading.converting import convert, foreign_kind
from gripway.score.reading.musicxml import OpenedScore, opened_score, read_musicxml
from gripway.score.reading.parts import PartInfo
from gripway.score.reading.read_notes import NotePlace
from gripway.score.reading.read_options import ReadOptions
from gripway.score.xml.encoding import codec_of
from gripway.score.xml.xml_tree import MAX_BYTES, check_length
from gripway.score.xml.zip_limits import Archive, is_zip

STDIN_NAME = "standard input"


@dataclass(frozen=True, slots=True)
class ScoreSource:
    """The MusicXML the passage was read from, byte for byte, in its text codec.

    `archive` is set when it came out of an .mxl file; `converted_from` names the format it
    was converted from (empty for MusicXML itself).
    """

    name: str
    data: bytes
    codec: str
    archive: Archive | None = None
    converted_from: str = ""

    def __repr__(self) -> str:
        return brief(self, self.name, f"{len(self.data)} bytes", self.converted_from)


@dataclass(frozen=True, slots=True)
class ScoreReading(Shown):
    """A passage, its source, the place of each written note in the source, and all parts.

    `tempi` has the id of each written note from which another tempo holds, and that tempo in quarters a
    minute; the first note is the first of them.

    Repeats are played in the passage: its repr says how many notes are played and how many written.
    """

    passage: Passage
    source: ScoreSource
    places: Mapping[str, NotePlace]
    parts: tuple[PartInfo, ...]
    tempi: tuple[tuple[str, float], ...] = ()

    @property
    def part(self) -> PartInfo:
        """The part that was read."""
        return next(part for part in self.parts if part.chosen)

    def __repr__(self) -> str:
        return brief(self, self.source.name, self.passage.part, *self.passage.counts)


def read_score(data: bytes, name: str, options: ReadOptions | None = None) -> ScoreReading:
    """Read a score from bytes: MusicXML, compressed MusicXML, or what music21 can convert.

    `name` is the file's name, for messages and to tell formats that do not say what they
    are. Raises ScoreError with place and next step.
    """
    options = options or ReadOptions()
    source = source_of(data, name)
    if not options.unmarked:
        return read_part(source, options)
    bare = unmarked(source)
    reading = read_part(bare.source, options)
    passage = replace(reading.passage, remarks=(*bare.remarks, *reading.passage.remarks))
    return replace(reading, passage=passage)


@dataclass(frozen=True, slots=True)
class Bare:
    """A score without our own marks: how many there were, and a remark on each that somebody has changed."""

    source: ScoreSource
    taken: int
    remarks: tuple[Remark, ...]


def unmarked(source: ScoreSource) -> Bare:
    """A score without our own marks; those that were changed since stay."""
    from gripway.score.own_marks import bar_at, without_own
    from gripway.score.xml.splice import Document

    found = without_own(Document(source.data, source.codec))
    left = Document(found.data, source.codec)
    bars = [bar_at(left, at) for at in found.changed]
    remarks = tuple(Remark("a mark of ours was changed since, and is left as it is", bar) for bar in bars)
    return Bare(replace(source, data=found.data), found.taken, remarks)


def open_score(path: Path | Literal["-"]) -> ScoreSource:
    """The bytes of a score file, or of standard input, not yet read as music. Raises ScoreError."""
    return source_of(*score_file(path))


def read_part(source: ScoreSource, options: ReadOptions, opened: OpenedScore | None = None) -> ScoreReading:
    """Read a part of a score that is open already: another one, or other bars of it.

    `opened` is the source as a tree, where that is known: several parts are read of one.
    """
    opened = opened or opened_score(source.data, source.name)
    reading = read_musicxml(opened, source.name, options)
    passage = reading.passage
    if source.converted_from:
        passage = replace(passage, remarks=(_conversion_remark(source.converted_from), *passage.remarks))
    return ScoreReading(passage, source, reading.places, reading.parts, reading.tempi)


def source_of(data: bytes, name: str) -> ScoreSource:
    """The MusicXML inside whatever was given, not yet read as music. Raises ScoreError."""
    if not data.strip():
        raise ScoreError("the file is empty", place=name, next_step="Export the score again")
    check_length(data, name, "file")
    if is_zip(data):
        from gripway.score.xml.archive import open_archive

        archive, score = open_archive(data, name)
        return ScoreSource(name, score, codec_of(score, name), archive)
    if kind := foreign_kind(data, name):
        converted = convert(data, name, kind)
        return ScoreSource(name, converted, "utf-8", converted_from=kind)
    codec = codec_of(data, name)
    if not data[:200].decode(codec, "replace").lstrip("\ufeff \t\r\n").startswith("<"):
        raise ScoreError(
            "this is no score gripway can read",
            place=name,
            next_step="Give MusicXML (.musicxml, .xml, .mxl), or ABC, MIDI, Humdrum or MEI",
        )
    return ScoreSource(name, data, codec)


def _conversion_remark(kind: str) -> Remark:
    text = f"converted from {kind} to MusicXML by music21"
    if kind == "MIDI":
        text += "; its pitches are sounding ones, read as written, and its rhythm is quantised"
    return Remark(text)


def load_score(path: Path | Literal["-"], options: ReadOptions | None = None) -> ScoreReading:
    """Read a score file, or standard input for "-".

    Raises ScoreError when there is no such file, it is a folder, or it cannot be read.
    """
    return read_score(*score_file(path), options)


def score_file(path: Path | Literal["-"]) -> tuple[bytes, str]:
    """The bytes of a score file, or of standard input, and its name. Raises ScoreError."""
    if path == "-":
        return sys.stdin.buffer.read(MAX_BYTES + 1), STDIN_NAME
    path = Path(path)
    try:
        if path.is_dir():
            raise ScoreError("this is a folder", place=str(path), next_step="Give a score file in it")
        data = read_bounded(path, MAX_BYTES)
    except FileNotFoundError:
        raise ScoreError("there is no such file", place=str(path), next_step="Check the path") from None
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise ScoreError(reason, place=str(path), next_step="Check the file and its permissions") from None
    return data, path.name
