"""The trill and tremolo pairs of an instrument, read from tables/trills and fitted to its parts."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

from gripway.catalog.flute.grip_cells import BASES, CONFIDENCES, HOWS, cents_of, grip_of, note_number
from gripway.catalog.flute.grips import OPEN_G_SHARP, fits, for_open_g_sharp
from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument

TRILL_COLUMNS = (
    "lower", "upper", "step", "lower_grip", "upper_grip", "remark", "lower_lean_cents", "upper_lean_cents",
    "lean_spread_cents", "lean_basis", "lean_how", "needs", "flags", "confidence", "source", "locator", "how",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TrillRow:
    """One way to trill between two pitches (note numbers).

    Both grips are None where no good trill is known. `lower_cents` and `upper_cents` are
    what the row says of the lean of each note, None where it says nothing; `spread_cents` is
    their spread (0 without a lean), `basis` `tempered` or `standard` (empty without a lean),
    `lean_how` taught (the direction; the size is ours) or modelled, `how` where the pair comes
    from. `place` is the order that breaks ties.
    """

    lower: int
    upper: int
    lower_grip: Grip | None
    upper_grip: Grip | None
    lower_cents: float | None
    upper_cents: float | None
    spread_cents: float
    basis: str
    lean_how: str
    how: str
    remark: str
    needs: frozenset[str]
    flags: frozenset[str]
    confidence: str
    sources: tuple[str, ...]
    place: int

    @property
    def grips(self) -> tuple[Grip, ...]:
        """The two grips, lower first; empty where no good trill is known."""
        if self.lower_grip is None or self.upper_grip is None:
            return ()
        return (self.lower_grip, self.upper_grip)

    @property
    def movers(self) -> tuple[str, ...]:
        """The touches that move between the two grips, in canonical order."""
        if self.lower_grip is None or self.upper_grip is None:
            return ()
        return Grip(self.lower_grip.mask ^ self.upper_grip.mask).touches


@cache
def trill_rows(instrument: Instrument) -> Mapping[tuple[int, int], tuple[TrillRow, ...]]:
    """All trill pairs of the instrument by (lower, upper) note numbers, in table order.

    Rows that need a part the instrument could have but has not are kept (see
    `gripway.catalog.flute.grips.allowed`); rows it can never have are left out.
    """
    by_pair: dict[tuple[int, int], dict[tuple[Grip, ...], TrillRow]] = {}
    for written in read_trills(instrument.family):
        row = _fit(written, instrument)
        if row is not None:
            by_pair.setdefault((row.lower, row.upper), {}).setdefault(row.grips, row)
    return MappingProxyType({pair: tuple(rows.values()) for pair, rows in by_pair.items()})


@cache
def read_trills(family: str) -> tuple[TrillRow, ...]:
    """Every row of a family's table of trills, as written; TableError names a faulty cell."""
    table = f"trills/{family}.csv"
    rows = read_rows(tables_folder() / table, table, TRILL_COLUMNS)
    return tuple(_trill_row(row, place) for place, row in enumerate(rows))


def _fit(row: TrillRow, instrument: Instrument) -> TrillRow | None:
    """The row on this instrument, or None when it can never have it."""
    if row.lower < instrument.lowest or row.upper > instrument.highest:
        return None
    if OPEN_G_SHARP in instrument.parts and row.lower_grip is not None and row.upper_grip is not None:
        lower, upper = for_open_g_sharp(row.lower_grip), for_open_g_sharp(row.upper_grip)
        row = replace(row, lower_grip=lower, upper_grip=upper)
    if not fits(row.needs, row.grips, instrument):
        return None
    if not instrument.tendencies:
        row = replace(row, lower_cents=None, upper_cents=None, basis="", lean_how="")
    return replace(row, confidence="low") if row.upper > instrument.unsure_above else row


def _trill_row(row: Row, place: int) -> TrillRow:
    known = bool(row.cells["lower_grip"] or row.cells["upper_grip"])
    return TrillRow(
        lower=note_number(row, "lower"),
        upper=note_number(row, "upper"),
        lower_grip=grip_of(row, "lower_grip") if known else None,
        upper_grip=grip_of(row, "upper_grip") if known else None,
        lower_cents=cents_of(row, "lower_lean_cents"),
        upper_cents=cents_of(row, "upper_lean_cents"),
        spread_cents=cents_of(row, "lean_spread_cents") or 0.0,
        basis=row.choice("lean_basis", BASES),
        lean_how=row.choice("lean_how", HOWS | {"": ""}),
        how=row.choice("how", HOWS),
        remark=row.cells["remark"],
        needs=frozenset(row.words("needs")),
        flags=frozenset(row.words("flags")),
        confidence=row.choice("confidence", CONFIDENCES),
        sources=row.words("source"),
        place=place,
    )
