"""What came of a run, in a few figures."""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.library.record import ERRORS, FINDINGS, PARTS, Record


@dataclass(slots=True)
class Summary:
    """Scores and parts and notes of a library, what is new in them, and what went wrong."""

    scores: int = 0
    parts: int = 0
    notes: int = 0
    marks: int = 0
    new_grips: int = 0
    late_changes: int = 0
    without_grip: int = 0
    findings: int = 0
    errors: int = 0


def summed_up(records: Iterable[Record]) -> Summary:
    """The figures of all records."""
    found = Summary()
    for record in records:
        found.scores += 1
        found.errors += len(record.of(ERRORS))
        found.findings += len(record.of(FINDINGS))
        found.parts += len(record.of(PARTS))
        for row in record.of(PARTS):
            found.notes += row["notes"]
            found.marks += row["marks"]
            found.new_grips += row["new_grips"]
            found.late_changes += row["late_changes"]
            found.without_grip += row["without_grip"]
    return found
