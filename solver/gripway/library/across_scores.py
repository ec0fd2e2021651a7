"""The marks of all scores against each other: the same figure with another grip in another score.

The first grip of each marked figure of a score is compared with the nearest in tempo of the scores before
it, as `gripway consistency` compares parts. The figures stand sorted in a passing file, not in memory.
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.edition.consistency import FIGURE, ONE_GRIP
from gripway.library.record import FIGURES, FINDINGS, Record, Row
from gripway.model.figures import nearest_tempo
from gripway.model.grip import Grip


def findings(records: Iterable[tuple[str, Record]]) -> Iterator[Row]:
    """What does not agree in each score, as its record says, then between the scores."""
    connection = sqlite3.connect("")  # a passing file of SQLite's own, gone when it is closed
    try:
        connection.execute("CREATE TABLE said (figure TEXT, place INTEGER, row TEXT)")
        for place, (name, record) in enumerate(records):
            yield from record.of(FINDINGS)
            rows = ((row["figure"], place, json.dumps({"file": name, **row})) for row in record.of(FIGURES))
            connection.executemany("INSERT INTO said VALUES (?, ?, ?)", rows)
        said = connection.execute("SELECT figure, place, row FROM said ORDER BY figure, place, rowid")
        for _, same in groupby(said, lambda row: row[0]):
            yield from _between(json.loads(row[2]) | {"place": row[1]} for row in same)
    finally:
        connection.close()


def _between(figures: Iterable[Row]) -> Iterator[Row]:
    """The differences in one figure, which comes at one or more tempos; in the order of the scores."""
    step = effort_tables().figures.figure_tempo_factor
    first: dict[float, Row] = {}
    for _, of_score in groupby(figures, lambda row: row["place"]):
        mine = list(of_score)
        for row in mine:
            near = nearest_tempo(first, row["tempo"], step)
            if near is not None and set(first[near]["rows"]).isdisjoint(row["rows"]):
                yield _finding(row, first[near])
        for row in mine:
            first.setdefault(row["tempo"], row)


def _finding(row: Row, before: Row) -> dict[str, Any]:
    mine, other = Grip.parse(row["grip"]).short, Grip.parse(before["grip"]).short
    where = f"in bar {before['bar']}" if before["bar"] else f"at {before['id']}"
    return {
        "kind": FIGURE,
        "file": row["file"],
        "part": row["part"],
        "bar": row["bar"],
        "note": row["note"],
        "id": row["id"],
        "what": f"{mine} here, {other} in the same figure {where} ({before['part']}, {before['file']})",
        "next_step": ONE_GRIP,
    }
