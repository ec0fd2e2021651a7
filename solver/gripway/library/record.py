"""What goes out to a worker for one score, and the small record that comes back with its files."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from gripway.errors import GripwayError
from gripway.model.decision import Decision

Row = dict[str, Any]

PARTS, SPOTS, GRIPS, CHANGES, TALLY = "parts", "hard_spots", "grips", "changes", "tally"
FINDINGS, FIGURES, REMARKS, ERRORS = "consistency", "figures", "remarks", "errors"
KINDS = (PARTS, SPOTS, GRIPS, CHANGES, TALLY, FINDINGS, FIGURES, REMARKS, ERRORS)
"""Kinds of rows in a record; some are tables of the answer, others are added up into them."""


@dataclass(frozen=True, slots=True)
class ScoreJob:
    """One score to work on: its name in the library, its bytes, an editor's decisions on it."""

    name: str
    data: bytes
    decisions: tuple[Decision, ...] = ()


@dataclass(frozen=True, slots=True)
class Record:
    """What one score adds to the tables, as rows by kind (of KINDS), and its files with their sizes.

    With `again` it is not to be kept: the score is worked on anew by the next run.
    """

    rows: Mapping[str, list[Row]]
    files: Mapping[str, int] = field(default_factory=dict)
    again: bool = False

    def of(self, kind: str) -> list[Row]:
        """The rows of a kind."""
        return self.rows.get(kind, [])

    def text(self) -> str:
        """The record as JSON."""
        data = {"rows": self.rows, "files": self.files, "again": self.again}
        return json.dumps(data, ensure_ascii=False, separators=(",", ":"))

    @classmethod
    def parse(cls, text: str) -> "Record":
        """The record that `text` gives."""
        return cls(**json.loads(text))


@dataclass(frozen=True, slots=True)
class ScoreAnswer:
    """The record of a score, and its files by their place in the folder of the answer."""

    record: Record
    files: Mapping[str, bytes] = field(default_factory=dict)


def error_row(name: str, problem: Exception) -> Row:
    """An error as a row: what, where, what next; a fault of our own says so."""
    if isinstance(problem, GripwayError):
        row = {"what": problem.what, "place": problem.place, "next_step": problem.next_step}
    else:
        what = f"a fault in gripway: {type(problem).__name__}: {problem}"[:300]
        row = {"what": what, "place": name, "next_step": "Report it, with the score if you may share it"}
    return {"file": name, **row}


def failed(name: str, problem: Exception, *, again: bool = False) -> ScoreAnswer:
    """The answer for a score that could not be worked on."""
    return ScoreAnswer(Record({ERRORS: [error_row(name, problem)]}, again=again))
