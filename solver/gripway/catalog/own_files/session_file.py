"""A work saved by the page: the score and the pins of its session file, all else passed over."""

import base64
import binascii
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import msgspec
from msgspec import field

from gripway.catalog.own_files.own_file import utf8_text
from gripway.catalog.own_files.typed import spelt, typed
from gripway.errors import RequestError
from gripway.files import read_bounded
from gripway.model.grip import Grip

ENDING = ".json"
FORMAT, VERSION = "gripway-session", 1
MOST_BYTES = 12 * 1024 * 1024
"""Longest session read, as on the page."""

SAVE_AGAIN = "Save the session again on the page"


@dataclass(frozen=True, slots=True)
class Session:
    """A saved work: its score's name and bytes, or its line of notes (`unit` and `line_tempo` belong to it).

    `part`, `tempo`, `flute` and `flute_parts` are what was chosen for it (None and empty: nothing), `pins`
    grips by note id.
    """

    name: str
    data: bytes | None
    notes: str
    unit: str
    line_tempo: float | None
    part: str | None
    tempo: float | None
    flute: str | None
    flute_parts: tuple[str, ...]
    pins: tuple[tuple[str, Grip], ...]


_Grip: Any = spelt(SAVE_AGAIN, Grip.parse)


class _SavedPin(msgspec.Struct, frozen=True):
    note: str
    grip: _Grip


class _SavedWishes(msgspec.Struct, frozen=True):
    part: str | None = None
    tempo: float | None = None
    flute: str | None = None
    parts: tuple[str, ...] = ()
    pins: tuple[_SavedPin, ...] = ()


class _Source(msgspec.Struct, frozen=True):
    name: str = ""
    data: str | None = None
    notes: str | None = None
    unit: str = "1/16"
    tempo: float | None = None


class _Session(msgspec.Struct, frozen=True):
    format: str = ""
    version: int = 0
    source: _Source = field(default_factory=_Source)
    wishes: _SavedWishes = field(default_factory=_SavedWishes)


def read_session(path: Path) -> Session:
    """The work of a session file. Raises RequestError with the file and the key that is wrong."""

    def fault(key: str, what: str, next_step: str) -> RequestError:
        return RequestError(
            what, place=f"{path}: {key}" if key else str(path), next_step=next_step or SAVE_AGAIN
        )

    try:
        text = utf8_text(read_bounded(path, MOST_BYTES), str(path), RequestError)
        data = json.loads(text)
    except OSError as problem:
        raise fault("", f"cannot be read: {problem.strerror}", "Check the file's name") from None
    except (ValueError, RecursionError):
        raise fault("", "is no session file of gripway", SAVE_AGAIN) from None
    said = typed(data, _Session, fault)
    if (said.format, said.version) != (FORMAT, VERSION):
        raise fault("", "is no session file of gripway, or of another version", SAVE_AGAIN)
    source, wishes = said.source, said.wishes
    try:
        score = None if source.data is None else base64.b64decode(source.data, validate=True)
    except (binascii.Error, ValueError):
        raise fault("source.data", "the score is damaged", SAVE_AGAIN) from None
    if score is None and not (source.notes or "").strip():
        raise fault("source", "has neither a score nor notes", SAVE_AGAIN)
    return Session(
        name=source.name or path.stem,
        data=score,
        notes=source.notes or "",
        unit=source.unit,
        line_tempo=source.tempo,
        part=wishes.part,
        tempo=wishes.tempo,
        flute=wishes.flute,
        flute_parts=wishes.parts,
        pins=tuple((pin.note, pin.grip.value) for pin in wishes.pins),
    )
