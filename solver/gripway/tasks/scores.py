"""Lines of notes and scores in: passages, and the parts of a score that were asked for."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import IO, TYPE_CHECKING

from gripway.errors import ScoreError
from gripway.model.passage import ASSUMED, Note, Passage, Remark
from gripway.model.pitch import Pitch
from gripway.model.tempo import check_tempo
from gripway.tasks.marks.marked_scores import bare_of, list_beside

if TYPE_CHECKING:  # what only some tasks need is imported in them: a short question starts quickly
    from gripway.score.reading.musicxml import OpenedScore
    from gripway.score.reading.parts import PartInfo
    from gripway.score.reading.read_options import ReadOptions
    from gripway.score.reading.score_reading import ScoreReading, ScoreSource

ALL_PARTS = "all"
"""Asks for every part of the flute family."""


Word = str | int | Pitch | tuple[str | int | Pitch, str | Fraction]
"""A word of a list of notes: a text, a note number (C4 is 60) or a Pitch; or one of these with its length."""


def notes(text: str | Iterable[Word], tempo: float | None = None, unit: str = "1/16") -> Passage:
    """The passage of a line of notes, for example `mf E6:1/2 (F#6 G6)`, or of a list of them.

    Also `key:A` (a key signature), `tr A6` (a trill), `mordent A6`, `turn A6`, `{F6 G6} A6` (grace notes),
    `|: A6 B6 :|` (a repeat) and `|: A6 [1 B6 :| [2 C7` (two endings).

    In a list each word may be a text, a Pitch or a note number (C4 is 60), or a pair of one of these and
    its length as a fraction of a whole note. `tempo` is in quarters a minute (5 to 500), 96 without one;
    `unit` the length of a note without one. Raises NotationError at the word that means nothing,
    RequestError for a tempo out of bounds. `gripway help notation` has all of the notation.

    >>> import gripway
    >>> gripway.notes("(E6 F#6) G#6:1/8", tempo=120)
    <Passage: 3 notes, E6 F#6 G#6>
    >>> gripway.notes(["E6", 90, ("G#6", "1/8")], tempo=120).notes[2].length_ms
    250.0
    """
    from gripway.score.notation import read_notation
    from gripway.score.notation_values import DEFAULT_TEMPO, length_of

    check_tempo(tempo)
    line = text if isinstance(text, str) else " ".join(_word(word) for word in text)
    passage = read_notation(line, length_of(unit, "unit"), DEFAULT_TEMPO if tempo is None else tempo)
    return replace(passage, tempo_by=ASSUMED) if tempo is None else passage


def _word(word: Word) -> str:
    """A word of a list of notes as the notation has it."""
    if isinstance(word, tuple):
        return f"{_word(word[0])}:{word[1]}"
    return Pitch.from_number(word).name if isinstance(word, int) else str(word)


Source = str | Path | bytes | IO[bytes] | IO[str]
"""Where a score comes from: a path (`-`: standard input), its bytes, or a file that is open."""


def read(
    source: "Source",
    options: "ReadOptions | None" = None,
    *,
    part: str | int | None = None,
    bars: str | int | None = None,
    tempo: float | None = None,
    voice: str | int | None = None,
) -> "ScoreReading":
    """A score and the passage in it: MusicXML (also compressed), or what the extra `scores` converts.

    `source` is a path, the bytes of a file, or a file that is open. `part` is a name, an id or a number from
    1 (without it the first flute), `bars` `12-20`, `12`, `12-` or `-20` as printed, `voice` its number;
    repeats are played, so that bars within one are there twice (`time_through` of a note is then 2); `tempo`
    in quarters a minute (5 to 500) replaces all marks of the score. They win over those of `options`; tempo
    words are understood unless `options` bring their own. The answer has the `passage`, the `part`, all
    `parts`, and the way back to the bytes for `mark`. Raises ScoreError, which says what is wrong and where,
    and RequestError for a tempo out of bounds.

    >>> import gripway
    >>> gripway.read("examples/rooftop_study.musicxml", bars="1-2", tempo=132).passage.title
    'Study for a windy rooftop'
    """
    from gripway.score.reading.score_reading import load_score, read_score

    options = _with_tempo_words(options)
    options = replace(
        options,
        part=options.part if part is None else str(part),
        bars=options.bars if bars is None else str(bars),
        tempo=options.tempo if tempo is None else tempo,
        voice=options.voice if voice is None else str(voice),
    )
    if isinstance(source, str | Path):
        return load_score("-" if str(source) == "-" else Path(source), options)
    return read_score(*_opened(source), options)


def _opened(source: bytes | IO[bytes] | IO[str]) -> tuple[bytes, str]:
    """The bytes of a source that is no path, and what it is called."""
    from gripway.errors import RequestError

    if isinstance(source, bytes | bytearray | memoryview):
        return bytes(source), "these bytes"
    if not hasattr(source, "read"):
        raise RequestError(
            f"a {type(source).__name__} is no score",
            place="read",
            next_step="Give a path, bytes or an open file; write objects of music libraries to MusicXML "
            "first (gripway help python)",
        )
    data = source.read()
    name = getattr(source, "name", "")
    return data.encode() if isinstance(data, str) else data, Path(name).name if name else "this file"


@dataclass(frozen=True, slots=True)
class OpenParts:
    """The parts of a score that were asked for: those with notes, and the titles of those without.

    `source` is the score itself, without our own marks where that was asked for: `own_marks` is how many of
    these were taken out, `remarks` are on those left.
    """

    source: "ScoreSource"
    readings: "tuple[ScoreReading, ...]"
    tacet: tuple[str, ...] = ()
    remarks: tuple[Remark, ...] = ()
    own_marks: int = 0

    def tacet_remarks(self, file: str = "") -> tuple[Remark, ...]:
        """What is to be said of the parts without notes; of several scores with the `file`."""
        where = f"{file}: " if file else ""
        return tuple(Remark(f"{where}part {title} has no notes (tacet)") for title in self.tacet)


def open_parts(
    path: str | Path,
    wanted: Sequence[str],
    options: "ReadOptions | None" = None,
    *,
    else_first: bool = False,
) -> OpenParts:
    """The parts asked for (the first flute without a wish), whether they have notes or are tacet.

    With `else_first` the first part stands in where all flutes are asked for and none is.

    `wanted` are names, ids or numbers of parts, or `all` for every part of the flute family.
    Raises ScoreError for a part that is not there, or when no part is a flute's.
    """
    from gripway.score.reading.score_reading import open_score

    source = open_score("-" if str(path) == "-" else Path(path))
    if options is None or not options.unmarked:
        return parts_in(source, wanted, options, else_first=else_first)
    bare = bare_of(source, list_beside(path))
    opened = parts_in(bare.source, wanted, options, else_first=else_first)
    return replace(opened, remarks=bare.remarks, own_marks=bare.taken)


def parts_in(
    source: "ScoreSource",
    wanted: Sequence[str],
    options: "ReadOptions | None" = None,
    *,
    else_first: bool = False,
    opened: "OpenedScore | None" = None,
) -> OpenParts:
    """The same for a score that is open already, with the marks of ours that it has.

    `opened` is its tree, where that is known.
    """
    from gripway.catalog.flute.instruments import transpositions
    from gripway.errors import TacetError
    from gripway.score.reading.musicxml import opened_score
    from gripway.score.reading.parts import choose_part, flute_parts, title_of
    from gripway.score.reading.score_reading import read_part

    asked = _with_tempo_words(options)
    if opened is None:
        _check_room(source, asked)
        opened = opened_score(source.data, source.name)
    infos = tuple(opened.parts)
    if else_first and not flute_parts(infos, transpositions()):
        wanted = ()
    many = bool(wanted) and (len(wanted) > 1 or wanted[0].strip().casefold() == ALL_PARTS)
    chosen = _chosen_parts(infos, source.name, wanted) if many else [wanted[0] if wanted else None]
    readings, tacet = [], []
    for part in chosen:
        try:
            readings.append(read_part(source, replace(asked, part=part), opened))
        except TacetError:
            tacet.append(title_of(choose_part(infos, part, source.name)[0]))
    return OpenParts(source, tuple(readings), tuple(tacet))


def _check_room(source: "ScoreSource", options: "ReadOptions") -> None:
    """RequestError where there is no memory for the notes a part has at least; nothing of it is read."""
    from gripway.free_memory import LONG, check_room
    from gripway.score.xml.least_notes import SHORTEST_NOTE_BYTES, least_notes

    if options.bars is None and options.voice is None and len(source.data) > LONG * SHORTEST_NOTE_BYTES:
        check_room(least_notes(source.data, source.codec), source.name)


def _with_tempo_words(options: "ReadOptions | None") -> "ReadOptions":
    """The options, with the tempo words of our tables unless they bring their own."""
    from gripway.catalog.tables.tempo_words import tempo_words
    from gripway.score.reading.read_options import ReadOptions

    options = options or ReadOptions()
    return options if options.tempo_words else replace(options, tempo_words=tempo_words())


def _chosen_parts(parts: "Sequence[PartInfo]", name: str, wanted: Sequence[str]) -> list[str]:
    """The numbers of the parts asked for, in the order of the score, each once."""
    from gripway.catalog.flute.instruments import transpositions
    from gripway.score.reading.parts import choose_part, flute_parts

    numbers: set[int] = set()
    for each in wanted:
        if each.strip().casefold() == ALL_PARTS:
            flutes = [part.index for part in flute_parts(parts, transpositions())]
            if not flutes:
                raise ScoreError(
                    "no part is named like a flute",
                    place=name,
                    next_step="Name parts, by name or by number",
                )
            numbers.update(flutes)
        else:
            numbers.add(choose_part(parts, each, name)[0].index)
    return [str(number) for number in sorted(numbers)]


def whole_part(reading: "ScoreReading", options: "ReadOptions | None" = None) -> "tuple[Note, ...]":
    """All notes of the part of a reading that may have only some of its bars."""
    from gripway.score.reading.score_reading import read_part

    asked = replace(_with_tempo_words(options), part=str(reading.part.index), bars=None)
    return read_part(reading.source, asked).passage.notes


def bytes_of(source: "ScoreSource") -> bytes:
    """The file of a score: MusicXML, or the .mxl it came in with its score exchanged."""
    if source.archive is None:
        return source.data
    from gripway.score.xml.archive import replace_score

    return replace_score(source.archive, source.data)
