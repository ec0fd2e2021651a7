"""What a run has done: the record of every score, in one SQLite file that outlives a killed process.

A record is committed when the files of its score are whole and on the disk, so that a run that was
ended anywhere goes on with the scores that have none.
"""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from gripway.errors import RequestError
from gripway.library.record import Record

STATE_FILE = "gripway-library.sqlite"
FORM = "1"
"""Number of the form of the records; those of another form are not read."""

TABLES = """
CREATE TABLE IF NOT EXISTS run (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS done (
    name TEXT PRIMARY KEY, digest TEXT NOT NULL, record TEXT NOT NULL
) WITHOUT ROWID;
"""


class RunState:
    """The state of a run in the folder of its answer; `opened` gives one."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def record(self, name: str, digest: str) -> Record | None:
        """The record of a score, None where it has none or was worked on with another digest."""
        row = self._connection.execute(
            "SELECT record FROM done WHERE name = ? AND digest = ?", (name, digest)
        ).fetchone()
        return Record.parse(row[0]) if row else None

    def files_before(self, name: str) -> tuple[str, ...]:
        """The files that a score had, whatever it was worked on with."""
        row = self._connection.execute("SELECT record FROM done WHERE name = ?", (name,)).fetchone()
        return tuple(Record.parse(row[0]).files) if row else ()

    def keep(self, name: str, digest: str, record: Record) -> None:
        """Keep the record of a score whose files are on the disk; it is on the disk when this returns."""
        with self._connection:
            self._connection.execute(
                "INSERT OR REPLACE INTO done VALUES (?, ?, ?)", (name, digest, record.text())
            )

    def records(self, names: Sequence[str]) -> Iterator[tuple[str, Record]]:
        """The records of these scores, in their order, one at a time."""
        for name in names:
            row = self._connection.execute("SELECT record FROM done WHERE name = ?", (name,)).fetchone()
            if row:
                yield name, Record.parse(row[0])


@contextmanager
def opened(folder: Path, identity: str) -> Iterator[RunState]:
    """The state of the run in this folder, held against a second one until it is left.

    `identity` is a digest of all that was asked for: another run's folder is refused. Raises RequestError.
    """
    place = folder / STATE_FILE
    connection = sqlite3.connect(place, timeout=0.0)
    try:
        _begin(connection, place, identity)
        yield RunState(connection)
    except sqlite3.OperationalError as problem:
        raise RequestError(
            f"the state of the run cannot be used: {problem}",
            place=str(place),
            next_step="Is another run at work in this folder, or the disk full? Wait, or name another --out",
        ) from None
    except sqlite3.DatabaseError:
        raise RequestError(
            "this is no state of a run", place=str(place), next_step="Name another --out"
        ) from None
    finally:
        connection.close()


def _begin(connection: sqlite3.Connection, place: Path, identity: str) -> None:
    """Take the file for this run alone, and see that it is the same run."""
    connection.execute("PRAGMA locking_mode = EXCLUSIVE")
    connection.execute("PRAGMA synchronous = FULL")
    with connection:
        connection.execute("BEGIN EXCLUSIVE")  # held until the connection is closed
        for statement in TABLES.split(";"):
            connection.execute(statement)
        asked = f"{FORM} {identity}"
        connection.execute("INSERT OR IGNORE INTO run VALUES ('asked', ?)", (asked,))
        # a run that writes takes up the journal that a killed one left, which goes at its end
        (times,) = connection.execute("PRAGMA user_version").fetchone()
        connection.execute(f"PRAGMA user_version = {times + 1}")
        (before,) = connection.execute("SELECT value FROM run WHERE name = 'asked'").fetchone()
    if before != asked:
        raise RequestError(
            "in this folder is a run that asked for something else, or by another version of gripway",
            place=str(place.parent),
            next_step="Ask for the same as before, or name another --out",
        )
