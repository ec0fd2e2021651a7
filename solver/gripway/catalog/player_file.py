"""The player's own file: TOML for the flute, hands, dials, bans and known grips; CSV for tuner readings."""

import csv
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gripway.errors import PlayerFileError
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import Pitch
from gripway.model.player import Ban, OwnCents, Player

KEYS = {
    "flute": {"instrument", "parts"},
    "dials": None,
    "hands": {"slower", "little_finger_supports"},
    "bans": {"grips", "kinds"},
    "known": {"grips"},
    "cents": {"file"},
}
"""Tables of the file and their keys; None: any key (checked where it is used)."""

CENTS_COLUMNS = ("pitch", "grip", "cents", "spread_cents")


def read_player(path: Path) -> Player:
    """Read a player file. Raises PlayerFileError with the place file:key for anything amiss."""
    data = _toml(path)
    for table, keys in data.items():
        if table not in KEYS or not isinstance(keys, dict):
            raise _error(path, table, "no such table", f"The tables are {', '.join(KEYS)}")
        known = KEYS[table]
        for key in keys:
            if known is not None and key not in known:
                raise _error(path, f"{table}.{key}", "no such key", f"{table} has {', '.join(sorted(known))}")
    flute, hands, bans = data.get("flute", {}), data.get("hands", {}), data.get("bans", {})
    cents_file = _text(path, "cents.file", data.get("cents", {}).get("file", ""))
    return Player(
        instrument=_text(path, "flute.instrument", flute.get("instrument", "")) or None,
        parts=tuple(_texts(path, "flute.parts", flute.get("parts", []))),
        dials=tuple(_numbers(path, "dials", data.get("dials", {}))),
        finger_factors=tuple(_fingers(path, hands.get("slower", {}))),
        little_finger_supports=_flag(
            path, "hands.little_finger_supports", hands.get("little_finger_supports", True)
        ),
        bans=(
            *(Ban(p, g) for p, g in _pairs(path, "bans.grips", bans.get("grips", []))),
            *(Ban(kind=kind) for kind in _texts(path, "bans.kinds", bans.get("kinds", []))),
        ),
        known=frozenset(_pairs(path, "known.grips", data.get("known", {}).get("grips", []))),
        cents=tuple(read_cents(path.parent / cents_file)) if cents_file else (),
    )


def read_cents(path: Path) -> Iterator[OwnCents]:
    """Read a tuner's list: CSV with columns pitch, grip, cents, spread_cents (may be empty: 5)."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
    except (OSError, UnicodeDecodeError) as problem:
        raise PlayerFileError(
            f"cannot be read: {problem}", place=str(path), next_step="Check the file"
        ) from None
    for number, row in enumerate(rows, start=2):
        place = f"{path}:{number}"
        missing = [column for column in CENTS_COLUMNS[:3] if not row.get(column)]
        if missing:
            raise PlayerFileError(
                f"{', '.join(missing)} missing", place=place, next_step=f"Columns: {', '.join(CENTS_COLUMNS)}"
            )
        try:
            pitch, grip = Pitch.parse(row["pitch"]).number, Grip.parse(row["grip"])
            yield OwnCents(pitch, grip, float(row["cents"]), float(row.get("spread_cents") or 5.0))
        except ValueError as problem:
            raise PlayerFileError(str(problem), place=place, next_step="Mend the line") from None


def _toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError) as problem:
        raise PlayerFileError(
            f"cannot be read: {problem}",
            place=str(path),
            next_step="Check the file's name and that it is text",
        ) from None
    except tomllib.TOMLDecodeError as problem:
        raise PlayerFileError(f"is no TOML: {problem}", place=str(path), next_step="Mend that line") from None


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


def _fingers(path: Path, values: object) -> Iterator[tuple[str, float]]:
    if not isinstance(values, dict):
        raise _error(path, "hands.slower", "not a table", "Write it as { R4 = 1.2 }")
    for finger, factor in _numbers(path, "hands.slower", values):
        if finger not in FINGERS:
            raise _error(
                path, f"hands.slower.{finger}", "no such finger", f"The fingers are {', '.join(FINGERS)}"
            )
        if not 0.5 <= factor <= 5.0:
            raise _error(
                path, f"hands.slower.{finger}", f"{factor:g} is outside 0.5 to 5", "1 is an ordinary finger"
            )
        yield finger, factor


def _pairs(path: Path, key: str, values: object) -> Iterator[tuple[int, Grip]]:
    """Entries such as "F#6: T L1 L3 | R3 Eb"."""
    for entry in _texts(path, key, values):
        pitch, colon, grip = entry.partition(":")
        try:
            if not colon:
                raise ValueError("no colon between pitch and grip")
            yield Pitch.parse(pitch).number, Grip.parse(grip)
        except ValueError as problem:
            raise _error(path, key, f"{entry!r}: {problem}", 'Write "F#6: T L1 L3 | R3 Eb"') from None
