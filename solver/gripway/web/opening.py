"""Opening: a score as base64, a line of notes, or a session file, into a work."""

import base64
import binascii
import re
from contextlib import suppress
from dataclasses import replace
from typing import Annotated, Any

from msgspec import UNSET, Meta, field

from gripway.catalog.own_files.typed import Table
from gripway.errors import RequestError, ScoreError
from gripway.model.passage import ASSUMED, Passage
from gripway.model.tempo import beat_name, written_beat
from gripway.page.browser_data.note_data import remark_data
from gripway.score.notation_values import length_of
from gripway.score.reading.converting import foreign_kind
from gripway.score.reading.parts import title_of
from gripway.score.reading.score_reading import ScoreReading
from gripway.score.xml.zip_limits import is_zip
from gripway.tasks.scores import notes as notes_task
from gripway.web.asking import PageWishes, Request, asked_of, request_of
from gripway.web.size_limits import MOST_NOTE_TEXT, MOST_NOTES, MOST_SCORE_BYTES, MOST_STEPS
from gripway.web.solver_pool import SolverPool
from gripway.web.work import OpenWork

FORMAT, VERSION = "gripway-session", 1
_UNSEEN = re.compile(r"[\x00-\x1f\x7f]")


_Steps = Annotated[tuple[dict[str, Any], ...], Meta(max_length=MOST_STEPS)]


class OpeningSource(Table, frozen=True):
    """A score with its bytes as base64, or a line of notes."""

    name: str = ""
    data: str | None = None
    notes: str | None = None
    unit: str = "1/16"
    tempo: Any = None


class Opening(OpeningSource, frozen=True):
    """What is to be opened: a source under wishes, or a session file instead."""

    wishes: dict[str, Any] = field(default_factory=dict)
    session: Any = UNSET


class SessionFile(Request, frozen=True):
    """The source, the wishes, and the steps that can be undone and redone."""

    format: str = ""
    version: Any = None
    source: dict[str, Any] = field(default_factory=dict)
    past: _Steps = ()
    future: _Steps = ()


def session_of(data: Any) -> SessionFile:
    """A session file, checked whole. Raises RequestError with the key that is wrong."""
    session = request_of(data, SessionFile, "session file")
    if session.format != FORMAT:
        raise RequestError("this is no session file of gripway", next_step="Open a file saved by this page")
    if session.version != VERSION:
        raise RequestError(
            "this session file is of another version",
            place="version",
            next_step=f"This gripway reads version {VERSION}",
        )
    for wishes in (session.wishes, *session.past, *session.future):
        asked_of(wishes)
    return session


def work_of(source: OpeningSource, pool: SolverPool) -> OpenWork:
    """The work of a source."""
    if source.notes is None:
        return OpenWork(*_score_data(source), pool)
    if source.data is not None:
        raise RequestError("give a score or notes, one of the two", place="source")
    return OpenWork("notes", _notes_data(source, source.notes), pool)


def _score_data(source: OpeningSource) -> tuple[str, bytes]:
    name = source.name
    if not name.strip():
        raise RequestError("the score has no name", place="name")
    try:
        data = base64.b64decode(source.data or "", validate=True)
    except (binascii.Error, ValueError):
        raise RequestError("the score arrived damaged", place="data", next_step="Open it again") from None
    shown = _UNSEEN.sub("", name.replace("\\", "/").rpartition("/")[2])[:120] or "score"
    if len(data) > MOST_SCORE_BYTES:
        raise ScoreError(
            f"the file has {len(data) / 1024**2:.1f} MiB; at most {MOST_SCORE_BYTES // 1024**2} MiB are read",
            place=shown,
            next_step="Export only the flute part, as compressed MusicXML (.mxl)",
        )
    if not is_zip(data) and (kind := foreign_kind(data, shown)):
        raise ScoreError(
            f"this is {kind}; the page reads MusicXML only",
            place=shown,
            next_step="Convert it with the command gripway finger, or export MusicXML",
        )
    if not is_zip(data) and not _may_be_xml(data):
        raise ScoreError(
            "this is no score the page can read" if data else "the file is empty",
            place=shown,
            next_step="Open MusicXML (.musicxml, .xml, .mxl), or a session saved by this page",
        )
    return shown, data


def _may_be_xml(data: bytes) -> bool:
    """Whether the bytes may begin XML, in any of its encodings."""
    return data[:200].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xfe\xff \t\r\n").startswith(b"<")


def _notes_data(source: OpeningSource, text: str) -> bytes:
    from gripway.score.writing.write_score import write_passage

    if len(text) > MOST_NOTE_TEXT:
        raise RequestError(f"more than {MOST_NOTE_TEXT} signs", place="notes", next_step="Write fewer notes")
    length_of(source.unit, "unit")
    tempo = asked_of({"tempo": source.tempo}).tempo
    passage = notes_task(text, tempo, source.unit)
    if not passage.notes:
        raise RequestError(
            "there is no note in it", place="notes", next_step="Write for example: E6 F#6 G#6 A6"
        )
    if len(passage.notes) > MOST_NOTES:
        raise RequestError(f"more than {MOST_NOTES} notes", place="notes", next_step="Write fewer notes")
    return write_passage(passage, tempo=tempo).data


def fitting(work: OpenWork, asked: PageWishes) -> tuple[PageWishes, str]:
    """The wishes with the first bars that fit, where the whole is too long, and words for it, else empty.

    Raises RequestError where not even one bar fits, or where bars were asked for and are too many.
    """
    try:
        work.reading(asked)
    except RequestError:
        if asked.bars is not None:
            raise
    else:
        return asked, ""
    whole, bar = work.first_bars(asked)
    while bar:
        cut = replace(asked, bars=f"-{bar}", plain={**asked.plain, "bars": f"-{bar}"})
        with suppress(RequestError):
            work.reading(cut)
            return cut, (
                f"The score has {whole} notes as played, more than the {MOST_NOTES} the page takes at a "
                f"time: it is open up to bar {bar}"
            )
        bar //= 2
    work.reading(asked)  # refused as before
    return asked, ""


def _written_tempo(written: ScoreReading) -> float | None:
    """The tempo in the score where the notes begin; None where it has none."""
    return None if written.passage.tempo_by == ASSUMED else _tempo_of(written.passage)


def _tempo_of(passage: Passage) -> float | None:
    timed = [note for note in passage.notes if note.length and not note.grace]
    if not timed or not timed[0].length_ms:
        return None
    return round(float(timed[0].length) * 240_000 / timed[0].length_ms, 1)


def _beat(passage: Passage) -> dict[str, Any]:
    """What the metre counts where the notes begin, by its name and in quarters."""
    beat = written_beat(passage.notes[0].metre)
    return {"name": beat_name(beat), "quarters": float(beat)}


def opened(token: str, work: OpenWork, asked: PageWishes) -> dict[str, Any]:
    """What the page shows of a work once it is open; `tempi` are the tempos as they are written."""
    reading = work.reading(asked)
    written = work.reading(replace(asked, tempo=None, tempo_percent=100.0))
    passage = reading.passage
    first, last = passage.notes[0], passage.notes[-1]
    instrument, remarks = work.instrument(asked)
    return {
        "work": token,
        "name": work.name,
        "title": passage.title,
        "composer": passage.composer,
        "work_title": passage.work,
        "parts": [
            {"number": str(part.index), "name": title_of(part), "chosen": part.chosen}
            for part in reading.parts
        ],
        "part": str(reading.part.index),
        "bars": [first.bar, last.bar],
        "notes": len(passage.notes),
        "tempo": _tempo_of(passage),
        "written_tempo": _written_tempo(written),
        "beat": _beat(passage),
        "tempi": [[name, quarters] for name, quarters in written.tempi],
        "flute": instrument.id,
        "fingerings": any(note.fingering for note in passage.notes),
        "remarks": [remark_data(remark) for remark in (*remarks, *passage.remarks)],
    }
