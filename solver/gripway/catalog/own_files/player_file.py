"""The player's own file: TOML for the flute, hands, dials, bans and known grips; CSV for tuner readings."""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.own_files.own_file import own_text, own_toml
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.errors import PlayerFileError, RequestError
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import Pitch
from gripway.model.player import Ban, OwnCents, Player

KEYS = {
    "flute": ("instrument", "parts"),
    "dials": None,
    "hands": ("slower", "little_finger_supports"),
    "bans": ("grips", "kinds"),
    "known": ("grips",),
    "cents": ("file",),
}
"""Tables of the file and their keys; None: the dials there are."""

BANNED_KINDS = ("alternate", "vented", "trill", "harmonic")
"""Kinds of grips that can be banned as a whole; without its standard grip a note is soon without any."""

FARTHEST_CENTS = 100.0
"""A reading further off is another note, or a slip of the pen (judgement)."""

USUAL_SPREAD_CENTS = 5.0
SLOWEST_FINGER, QUICKEST_FINGER = 5.0, 0.5

CENTS_COLUMNS = ("pitch", "grip", "cents", "spread_cents")


def read_player(path: Path) -> Player:
    """Read a player file. Raises PlayerFileError with the place file:key for anything amiss."""
    data = own_toml(path, PlayerFileError)
    _check_keys(path, data)
    hands, bans, known = data.get("hands", {}), data.get("bans", {}), data.get("known", {})
    instrument, parts = _flute(path, data.get("flute", {}))
    cents_file = _text(path, "cents.file", data.get("cents", {}).get("file", ""))
    return Player(
        instrument=instrument,
        parts=parts,
        dials=tuple(_dials(path, data.get("dials", {}))),
        finger_factors=tuple(_fingers(path, hands.get("slower", {}))),
        little_finger_supports=_flag(
            path, "hands.little_finger_supports", hands.get("little_finger_supports", True)
        ),
        bans=(
            *(Ban(p, g) for p, g in _pairs(path, "bans.grips", bans.get("grips", []))),
            *(Ban(kind=kind) for kind in _kinds(path, bans.get("kinds", []))),
        ),
        known=frozenset(_pairs(path, "known.grips", known.get("grips", []))),
        cents=tuple(read_cents(path.parent / cents_file)) if cents_file else (),
    )


def _check_keys(path: Path, data: dict[str, Any]) -> None:
    for table, keys in data.items():
        if table not in KEYS:
            raise _error(path, table, "no such table", f"The tables are {', '.join(KEYS)}")
        if not isinstance(keys, dict):
            raise _error(path, table, "not a table", f"Write [{table}] on a line of its own")
        known = KEYS[table] or tuple(keys)
        for key in keys:
            if key not in known:
                raise _error(path, f"{table}.{key}", "no such key", f"{table} has {', '.join(known)}")


def dial_fault(name: str, value: float) -> tuple[str, str] | None:
    """What is wrong with a dial's name or value and what to do about it; None where nothing is."""
    dials = effort_tables().dials
    if name not in dials:
        return f"no such dial: {name}", f"The dials are {', '.join(dials)}"
    dial = dials[name]
    if not dial.least <= value <= dial.most:
        return f"{name} cannot be {value:g}", f"Choose a value from {dial.least:g} to {dial.most:g}"
    return None


def read_cents(path: Path) -> Iterator[OwnCents]:
    """Read a tuner's list: CSV with columns pitch, grip, cents, spread_cents (may be empty: 5).

    Raises PlayerFileError with the place file:line.
    """
    reader = csv.DictReader(io.StringIO(own_text(path, PlayerFileError), newline=""), restkey="")
    try:
        columns = reader.fieldnames or ()
        rows = [(reader.line_num, row) for row in reader]
    except csv.Error as problem:
        raise _cents_error(f"{path}:{reader.line_num}", f"cannot be read: {problem}") from None
    if missing := [column for column in CENTS_COLUMNS[:3] if column not in columns]:
        raise _cents_error(f"{path}:1", f"no column {' and none '.join(missing)}")
    seen: dict[tuple[int, Grip], int] = {}
    for line, row in rows:
        own = _own_cents(f"{path}:{line}", row)
        if (first := seen.setdefault((own.pitch, own.grip), line)) != line:
            raise _cents_error(f"{path}:{line}", f"the same grip as in line {first}")
        yield own


def _own_cents(place: str, row: dict[str, Any]) -> OwnCents:
    """One reading of a tuner's list."""
    if "" in row:
        raise _cents_error(place, "more cells than columns")
    if missing := [column for column in CENTS_COLUMNS[:3] if not (row[column] or "").strip()]:
        raise _cents_error(place, f"{' and '.join(missing)} missing")
    try:
        pitch, grip = Pitch.parse(row["pitch"]).number, Grip.parse(row["grip"])
        cents, spread = float(row["cents"]), float(row.get("spread_cents") or USUAL_SPREAD_CENTS)
    except ValueError as problem:
        raise _cents_error(place, str(problem)) from None
    if not abs(cents) <= FARTHEST_CENTS or not 0 <= spread <= FARTHEST_CENTS:
        raise _cents_error(place, f"{cents:g} ±{spread:g} cents is no reading of this note")
    return OwnCents(pitch, grip, cents, spread)


def _cents_error(place: str, what: str) -> PlayerFileError:
    return PlayerFileError(what, place=place, next_step=f"The columns are {', '.join(CENTS_COLUMNS)}")


def _error(path: Path, key: str, what: str, next_step: str) -> PlayerFileError:
    return PlayerFileError(what, place=f"{path}:{key}", next_step=next_step)


def _text(path: Path, key: str, value: object) -> str:
    if not isinstance(value, str):
        raise _error(path, key, f"{value!r} is not a text", "Put it in quotes")
    return value


def _texts(path: Path, key: str, value: object) -> list[str]:
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise _error(path, key, f"{value!r} is not a list of texts", 'Write it as ["...", "..."]')
    return value


def _flag(path: Path, key: str, value: object) -> bool:
    if not isinstance(value, bool):
        raise _error(path, key, f"{value!r} is neither true nor false", "Write true or false")
    return value


def _numbers(path: Path, table: str, values: dict[str, object]) -> Iterator[tuple[str, float]]:
    for key, value in values.items():
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise _error(path, f"{table}.{key}", f"{value!r} is not a number", "Write a number")
        yield key, float(value)


def _flute(path: Path, flute: dict[str, Any]) -> tuple[str | None, tuple[str, ...]]:
    """Instrument (None where none is named) and parts, which that flute must be able to have."""
    name = _text(path, "flute.instrument", flute.get("instrument", ""))
    parts = tuple(_texts(path, "flute.parts", flute.get("parts", [])))
    for key, tried in (("flute.instrument", ()), ("flute.parts", parts)):
        try:
            load_instrument(name or "concert-flute", tried)
        except RequestError as problem:
            raise _error(path, key, problem.what, problem.next_step) from None
    return name or None, parts


def _dials(path: Path, values: dict[str, object]) -> Iterator[tuple[str, float]]:
    for name, value in _numbers(path, "dials", values):
        if fault := dial_fault(name, value):
            raise _error(path, f"dials.{name}", *fault)
        yield name, value


def _kinds(path: Path, values: object) -> Iterator[str]:
    for kind in _texts(path, "bans.kinds", values):
        if kind not in BANNED_KINDS:
            raise _error(
                path, "bans.kinds", f"{kind!r} cannot be banned", f"Kinds are {', '.join(BANNED_KINDS)}"
            )
        yield kind


def _fingers(path: Path, values: object) -> Iterator[tuple[str, float]]:
    if not isinstance(values, dict):
        raise _error(path, "hands.slower", "not a table", "Write it as { R4 = 1.2 }")
    for finger, factor in _numbers(path, "hands.slower", values):
        key = f"hands.slower.{finger}"
        if finger not in FINGERS:
            raise _error(path, key, "no such finger", f"The fingers are {', '.join(FINGERS)}")
        if not QUICKEST_FINGER <= factor <= SLOWEST_FINGER:
            reach = f"{QUICKEST_FINGER:g} to {SLOWEST_FINGER:g}"
            raise _error(path, key, f"{factor:g} is outside {reach}", "1 is an ordinary finger")
        yield finger, factor


def _pairs(path: Path, key: str, values: object) -> Iterator[tuple[int, Grip]]:
    """Entries such as "F#6: T L1 L3 | R3 Eb"; an equals sign will do for the colon."""
    for entry in _texts(path, key, values):
        pitch, colon, grip = entry.replace("=", ":", 1).partition(":")
        try:
            if not colon:
                raise ValueError("no colon between pitch and grip")
            yield Pitch.parse(pitch).number, Grip.parse(grip)
        except ValueError as problem:
            raise _error(path, key, f"{entry!r}: {problem}", 'Write "F#6: T L1 L3 | R3 Eb"') from None
