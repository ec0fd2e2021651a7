"""The tables of a library, made of the records alone: CSV that runs nothing, Parquet where asked for."""

import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

from gripway.csv_text import csv_lines
from gripway.errors import RequestError
from gripway.files import write_whole
from gripway.library.across_scores import findings
from gripway.library.overview import advice, overview
from gripway.library.record import ERRORS, FINDINGS, GRIPS, PARTS, REMARKS, SPOTS, Record, Row
from gripway.library.repertoire import Repertoire

Records = Iterator[tuple[str, Record]]

TEXT, WHOLE, REAL, YES_NO = "string", "Int64", "Float64", "boolean"
HEAD = {"file": TEXT, "composer": TEXT, "part": TEXT, "instrument": TEXT}
TWO_GRIPS = {"from_pitch": TEXT, "from_grip": TEXT, "to_pitch": TEXT, "to_grip": TEXT}

HARDEST, UNUSUAL, STATISTICS = "hardest_changes", "unusual_grips", "statistics"

COLUMNS: Mapping[str, Mapping[str, str]] = {
    PARTS: HEAD
    | {"title": TEXT, "status": TEXT, "notes": WHOLE, "without_grip": WHOLE, "unusual": WHOLE}
    | {"new_grips": WHOLE, "late_changes": WHOLE, "marks": WHOLE, "effort": REAL, "sentence": TEXT},
    SPOTS: HEAD
    | {"bar": TEXT, "id": TEXT, "key": TEXT}
    | TWO_GRIPS
    | {"load": REAL, "change_ms": REAL, "available_ms": REAL, "movers": TEXT, "lead": TEXT, "effort": REAL},
    GRIPS: HEAD
    | {"pitch": TEXT, "grip": TEXT, "kind": TEXT, "known": YES_NO, "notes": WHOLE, "saves": REAL}
    | {"steady": REAL, "cents": REAL, "places": TEXT},
    FINDINGS: {"kind": TEXT, "file": TEXT, "part": TEXT, "bar": TEXT, "note": TEXT, "id": TEXT}
    | {"what": TEXT, "next_step": TEXT},
    REMARKS: {"file": TEXT, "part": TEXT, "bar": TEXT, "what": TEXT},
    ERRORS: {"file": TEXT, "what": TEXT, "place": TEXT, "next_step": TEXT},
    HARDEST: {"instrument": TEXT} | TWO_GRIPS | {"parts": WHOLE, "times": WHOLE, "load": REAL},
    UNUSUAL: {"by": TEXT, "value": TEXT, "instrument": TEXT, "pitch": TEXT, "grip": TEXT, "kind": TEXT}
    | {"parts": WHOLE, "parts_with_pitch": WHOLE, "parts_share": REAL, "notes": WHOLE}
    | {"notes_of_pitch": WHOLE, "saves": REAL},
    STATISTICS: {"by": TEXT, "value": TEXT, "parts": WHOLE, "notes": WHOLE, "unusual": WHOLE}
    | {"unusual_share": REAL, "late": WHOLE, "late_share": REAL},
}
"""The columns of every table with their types, as pandas calls them."""

OF_RECORDS = (PARTS, SPOTS, GRIPS, REMARKS, ERRORS)
"""Tables whose rows stand in the records as they are."""

DATA, OVERVIEW = "data", "library.html"
"""Where the tables and the overview stand in the folder of the answer."""


def check_parquet() -> None:
    """RequestError with the extra where Parquet cannot be written."""
    try:
        import pyarrow  # noqa: F401
    except ImportError:
        raise RequestError(
            "Parquet needs pyarrow, which is not installed",
            place="--parquet",
            next_step='Install it with: pip install "gripway[library]"',
        ) from None


def write_tables(folder: Path, records: Callable[[], Records], *, parquet: bool = False) -> str:
    """Write every table and the overview into `folder`, and say what to do first.

    `records` gives the records, as often as it is asked.

    Raises RequestError where a file cannot be written.
    """
    repertoire = Repertoire()
    for _, record in records():
        repertoire.add(record)
    added_up = {
        HARDEST: list(repertoire.hardest_changes()),
        UNUSUAL: list(repertoire.unusual_grips()),
        STATISTICS: list(repertoire.statistics()),
    }
    try:
        (folder / DATA).mkdir(exist_ok=True)
        for kind in COLUMNS:
            if kind == FINDINGS:
                rows: Iterable[Row] = findings(records())
            elif kind in OF_RECORDS:
                rows = _rows_of(kind, records())
            else:
                rows = added_up[kind]
            _write(folder / DATA / kind, kind, rows, parquet=parquet)
        page = overview(added_up[HARDEST], added_up[UNUSUAL], added_up[STATISTICS])
        write_whole(folder / OVERVIEW, page.encode())
    except OSError as problem:
        raise RequestError(
            f"cannot be written: {problem.strerror}",
            place=str(problem.filename or folder),
            next_step="Make room for it, and run the same command again: it goes on",
        ) from None
    return advice(added_up[HARDEST], added_up[UNUSUAL])


def _rows_of(kind: str, records: Records) -> Iterator[Row]:
    return (row for _, record in records for row in record.of(kind))


def _write(path: Path, kind: str, rows: Iterable[Row], *, parquet: bool) -> None:
    """One table, as CSV and, where it is asked for, as Parquet."""
    columns = COLUMNS[kind]
    kept = list(rows) if parquet else rows
    write_whole(path.with_suffix(".csv"), map(str.encode, csv_lines(kept, list(columns))))
    if parquet:
        import pandas as pd

        frame = pd.DataFrame(kept, columns=list(columns)).astype(dict(columns))
        stream = io.BytesIO()
        frame.to_parquet(stream, index=False)
        write_whole(path.with_suffix(".parquet"), stream.getvalue())
