"""The measured or documented tubes of an instrument, read from tables/instruments/<name>/bore*.csv."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from gripway.catalog.tables.csv_table import REPORT, Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError
from gripway.model.bore import Bore, BoreHole, BorePiece, Embouchure, HoleShape
from gripway.model.instrument import Instrument

BORE_COLUMNS = (
    "kind", "id", "x_mm", "x2_mm", "r1_mm", "r2_mm", "height_mm", "key_radius_mm", "key_hole_mm",
    "key_gap_mm", "key_thickness_mm", "rim_mm", "needs", "absent_with", "source", "how", "locator",
)  # fmt: skip
KINDS = ("emb", "cork", "bore", "hole", "end")


@cache
def bores(instrument: Instrument) -> tuple[Bore, ...]:
    """The bores known for an instrument, the measured one first; empty where none is sourced.

    Raises TableError for a table that breaks its rules.
    """
    folder = tables_folder() / "instruments" / instrument.id
    return tuple(_bore(path, instrument) for path in sorted(folder.glob("bore*.csv")))


def _bore(path: Path, instrument: Instrument) -> Bore:
    table = f"instruments/{instrument.id}/{path.name}"
    rows = [row for row in read_rows(path, table, BORE_COLUMNS) if _applies(row, instrument)]
    kinds = [row.choice("kind", {kind: kind for kind in KINDS}) for row in rows]
    by_kind = {kind: [row for row, own in zip(rows, kinds, strict=True) if own == kind] for kind in KINDS}
    emb, cork, end = (_only(by_kind[kind], kind, table) for kind in ("emb", "cork", "end"))
    end_m = _metres(end, "x_mm")
    holes = sorted((_hole(row) for row in by_kind["hole"]), key=lambda hole: hole.x_m)
    return Bore(
        id=path.stem,
        pieces=_pieces(by_kind["bore"], end_m, table),
        holes=tuple(holes),
        embouchure=Embouchure(_metres(emb, "r1_mm"), _metres(emb, "r2_mm"), _metres(emb, "height_mm")),
        cork=_piece(cork),
        end_m=end_m,
    )


def _only(rows: list[Row], kind: str, table: str) -> Row:
    """The one row of a kind that applies to this flute."""
    if len(rows) != 1:
        raise TableError(f"{len(rows)} rows of kind {kind} apply; one must", place=table, next_step=REPORT)
    return rows[0]


def _pieces(rows: list[Row], end_m: float, table: str) -> tuple[BorePiece, ...]:
    """The bore from the embouchure to the open end, without a gap; the last piece reaches the end."""
    if not rows:
        raise TableError("the tube has no piece of kind bore", place=table, next_step=REPORT)
    pieces = [_piece(row) for row in rows]
    for row, start_m in zip(rows, [0.0, *(piece.end_m for piece in pieces)], strict=False):
        if _metres(row, "x_mm") != start_m:
            raise row.error(
                "x_mm", f"the piece starts at {row.cells['x_mm']} mm, not where the one before ends"
            )
    last = pieces[-1]
    pieces[-1] = BorePiece(last.start_m, end_m, last.start_radius_m, last.end_radius_m)
    return tuple(pieces)


def _applies(row: Row, instrument: Instrument) -> bool:
    parts = set(instrument.parts)
    return set(row.words("needs")) <= parts and not parts & set(row.words("absent_with"))


def _metres(row: Row, column: str) -> float:
    try:
        return float(row.cells[column] or 0.0) / 1000.0
    except ValueError:
        raise row.error(column, f"{row.cells[column]!r} is not a length in mm") from None


def _piece(row: Row) -> BorePiece:
    start, end, first, second = (_metres(row, name) for name in ("x_mm", "x2_mm", "r1_mm", "r2_mm"))
    return BorePiece(start, end, first, second)


def _hole(row: Row) -> BoreHole:
    names: Iterable[str] = (
        "r1_mm", "height_mm", "rim_mm", "key_radius_mm", "key_gap_mm", "key_hole_mm", "key_thickness_mm"
    )  # fmt: skip
    return BoreHole(row.text("id"), _metres(row, "x_mm"), HoleShape(*(_metres(row, name) for name in names)))
