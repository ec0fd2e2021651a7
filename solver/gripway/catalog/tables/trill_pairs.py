"""How pairs for a trill are ranked: tables/effort/trill_pairs.csv as frozen, named values."""

from dataclasses import dataclass, fields
from functools import cache

from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError

PAIR_COLUMNS = ("id", "value", "unit", "what", "how", "source", "locator")
TABLE = "effort/trill_pairs.csv"


@dataclass(frozen=True, slots=True)
class PairFigures:
    """The figures of tables/effort/trill_pairs.csv; each field is a row's id, unit as there."""

    finger_lt: float
    finger_l1: float
    finger_l2: float
    finger_l3: float
    finger_l4: float
    finger_r1: float
    finger_r2: float
    finger_r3: float
    finger_r4: float
    together: float
    two_hands: float
    swap: float
    more_fingers: float
    slide: float
    thumb_slide: float
    cents_free: float
    cents_point: float
    sharp_upper: float
    interval_point: float
    response: float
    harmonic: float
    held: float
    idle: float
    unsafe: float
    printed_medium: float
    printed_low: float
    known: float
    found: float
    no_good: float
    gross_cents: float
    not_printed: float
    flag_cents: float
    slow_notes: float
    found_window: float
    found_loss: float
    found_kept: float
    found_finger: float
    found_loss_point: float
    widest_lean: float
    in_tune: float

    def finger(self, name: str) -> float:
        """Points of one finger (`L1`) that moves alone."""
        return float(getattr(self, f"finger_{name.lower()}"))


@cache
def pair_figures() -> PairFigures:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    rows = read_rows(tables_folder() / TABLE, TABLE, PAIR_COLUMNS)
    values = {row.text("id"): _number(row) for row in rows}
    if wrong := {field.name for field in fields(PairFigures)} ^ values.keys():
        raise TableError(
            f"figures missing or not known: {', '.join(sorted(wrong))}",
            place=TABLE,
            next_step="Each row's id must be a field of PairFigures",
        )
    return PairFigures(**values)


def _number(row: Row) -> float:
    try:
        return float(row.cells["value"])
    except ValueError:
        raise row.error("value", f"{row.cells['value']!r} is not a number") from None
