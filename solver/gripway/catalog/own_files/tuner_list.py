"""The tuner's list: a player's own readings as CSV, read strictly and added to."""

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import MOST_BYTES, own_text, text_if_there
from gripway.errors import PlayerFileError
from gripway.files import write_whole
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch, plain_name
from gripway.model.player import OwnCents

FARTHEST_CENTS = 100.0
"""A reading further off is another note, or a slip of the pen (judgement)."""

USUAL_SPREAD_CENTS = 5.0
MOST_TAKES = 1000

CENTS_COLUMNS = ("pitch", "grip", "cents", "spread_cents", "vs_standard", "takes", "date", "vs_spread_cents")
"""The first three must be there."""

NEEDED = CENTS_COLUMNS[:3]


def read_cents(path: Path) -> Iterator[OwnCents]:
    """The readings of a tuner's list that count: of each grip the one of the latest date.

    CSV with the columns pitch, grip, cents; spread_cents may be empty (5), and so may vs_standard, takes,
    date and vs_spread_cents. Of rows of one grip and day the last counts. Raises PlayerFileError with the
    place file:line.
    """
    return cents_of(own_text(path, PlayerFileError), str(path))


def cents_of(text: str, path: str) -> Iterator[OwnCents]:
    """The same from the text of a list that is called `path`."""
    rows = _rows(text, path)
    last: dict[tuple[int, Grip], tuple[int, OwnCents]] = {}
    for line, own in rows:
        key = (own.pitch, own.grip)
        before = last.get(key)
        if before and not own.date and not before[1].date:
            raise _cents_error(f"{path}:{line}", f"the same grip as in line {before[0]}")
        if before is None or own.date >= before[1].date:
            last[key] = line, own
    return iter([own for _, own in last.values()])


def add_cents(path: Path, readings: Sequence[OwnCents]) -> None:
    """Add readings to a tuner's list, which is made where there is none; what is in it stays as it is.

    A list without the newer columns gets them in its first line. Raises PlayerFileError for a list that
    cannot be read or would grow too long, and as `write_whole` where it cannot be written.
    """
    text = text_if_there(path, PlayerFileError)
    before = [own for _, own in _rows(text, str(path))] if text.strip() else []
    changed = _with(text, readings)
    if [own for _, own in _rows(changed, str(path))] != [*before, *readings]:
        raise _cents_error(str(path), "has its readings in a form that is not added to")
    if len(changed.encode()) > MOST_BYTES:
        raise PlayerFileError(
            "would grow too long", place=str(path), next_step="Take old rows out, or name another list"
        )
    write_whole(path, changed.encode())


def tuner_rows(readings: Sequence[OwnCents]) -> list[dict[str, Any]]:
    """Readings as rows of a list; without the newer columns where no reading has anything for them."""
    rows = [tuner_row(own) for own in readings]
    return rows if any(row["takes"] or row["date"] for row in rows) else [_plain(row) for row in rows]


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {column: value for column, value in row.items() if column in CENTS_COLUMNS[:4]}


def tuner_row(own: OwnCents) -> dict[str, Any]:
    """One reading as a row of the list."""
    values = (
        plain_name(own.pitch),
        own.grip.text,
        own.cents,
        own.spread_cents,
        "" if own.vs_standard is None else own.vs_standard,
        own.takes or "",
        own.date,
        "" if own.vs_spread_cents is None else own.vs_spread_cents,
    )
    return dict(zip(CENTS_COLUMNS, values, strict=True))


def _with(text: str, readings: Sequence[OwnCents]) -> str:
    """The text with rows at its end, and the columns they need in its first line."""
    end = "\r\n" if "\r\n" in text else "\n"
    if not text.strip():
        head, body, have, more = ",".join(CENTS_COLUMNS), "", [*CENTS_COLUMNS], []
    else:
        head, _, body = text.partition("\n")
        head = head.rstrip("\r")
        (have,) = csv.reader([head])
        more = [column for column in CENTS_COLUMNS if column not in have]
        head = ",".join([head, *more])
    if body and not body.endswith("\n"):
        body += end
    stream = io.StringIO(newline="")
    writer = csv.DictWriter(stream, [*have, *more], restval="", lineterminator=end)
    writer.writerows(tuner_row(own) for own in readings)
    return f"{head}{end}{body}{stream.getvalue()}"


def _rows(text: str, path: str) -> list[tuple[int, OwnCents]]:
    """Every reading of a list with its line, in the order of the list."""
    reader = csv.DictReader(io.StringIO(text, newline=""), restkey="")
    try:
        columns = reader.fieldnames or ()
        rows = [(reader.line_num, row) for row in reader]
    except csv.Error as problem:
        raise _cents_error(f"{path}:{reader.line_num}", f"cannot be read: {problem}") from None
    if missing := [column for column in NEEDED if column not in columns]:
        raise _cents_error(f"{path}:1", f"no column {' and none '.join(missing)}")
    return [(line, _own_cents(f"{path}:{line}", row)) for line, row in rows]


def _own_cents(place: str, row: dict[str, Any]) -> OwnCents:
    """One reading of a tuner's list."""
    if "" in row:
        raise _cents_error(place, "more cells than columns")
    said = {column: (row.get(column) or "").strip() for column in CENTS_COLUMNS}
    if missing := [column for column in NEEDED if not said[column]]:
        raise _cents_error(place, f"{' and '.join(missing)} missing")
    try:
        pitch, grip = Pitch.parse(said["pitch"]).number, Grip.parse(said["grip"])
        cents, spread = float(said["cents"]), float(said["spread_cents"] or USUAL_SPREAD_CENTS)
        versus = float(said["vs_standard"]) if said["vs_standard"] else None
        versus_spread = float(said["vs_spread_cents"]) if said["vs_spread_cents"] else None
        takes = int(said["takes"] or 0)
        day = date.fromisoformat(said["date"]).isoformat() if said["date"] else ""
    except ValueError as problem:
        raise _cents_error(place, str(problem)) from None
    if not all(abs(each) <= FARTHEST_CENTS for each in (cents, versus or 0.0)) or not all(
        0 <= each <= FARTHEST_CENTS for each in (spread, versus_spread or 0.0)
    ):
        raise _cents_error(place, f"{cents:g} ±{spread:g} cents is no reading of this note")
    if not 0 <= takes <= MOST_TAKES:
        raise _cents_error(place, f"{takes} takes are none that were played")
    return OwnCents(pitch, grip, cents, spread, versus, takes, day, versus_spread)


def _cents_error(place: str, what: str) -> PlayerFileError:
    return PlayerFileError(what, place=place, next_step=f"The columns are {', '.join(CENTS_COLUMNS)}")
