"""The figures behind every cost: tables/effort as frozen, named values."""

import csv
from dataclasses import dataclass, fields
from functools import cache
from types import MappingProxyType

from gripway.catalog.locator import tables_folder
from gripway.errors import TableError


@dataclass(frozen=True, slots=True)
class Figures:
    """The single figures of tables/effort/figures.csv; each field is a row's id, unit as there."""

    base: float
    more_fingers: float
    swap: float
    swap_middle_ring: float
    swap_ring_little: float
    coupling: float
    two_hands: float
    reach: float
    sidestep: float
    key_train: float
    slide: float
    slide_roller: float
    slide_thumb: float
    thumb_slide_least: float
    line: float
    alternation_full: float
    alternation_none: float
    tongued: float
    slurred: float
    load_below: float
    load_above: float
    load_straight: float
    balance: float
    balance_free: float
    balance_time: float
    loose_below: float
    loose: float
    exposure_full: float
    exposure_soft: float
    sustained: float
    tuning_scale: float
    tuning_doubt: float
    tuning_taught: float
    tuning_alternating: float
    trill_alternating: float
    trill_elsewhere: float
    trill_note: float
    held_needless: float
    held_thumb: float
    eb_dropped: float
    partial_change: float
    second_choice: float
    unsafe: float
    b_flat_span: float
    standard_spread: float
    unknown_spread: float
    lean_same: float
    lean_lip: float


@dataclass(frozen=True, slots=True)
class Dynamic:
    """How a dynamic bends pitch (cents, plus is sharp) and whether it is soft or loud."""

    drift_cents: float
    soft: bool
    loud: bool


@dataclass(frozen=True, slots=True)
class Dial:
    """A dial a player turns: the ledger terms it scales and its range."""

    terms: tuple[str, ...]
    least: float
    most: float
    default: float
    what: str


@dataclass(frozen=True, slots=True)
class EffortTables:
    """All of tables/effort: figures, finger weights, support per touch, and the small scales."""

    figures: Figures
    finger_weight: MappingProxyType[str, float]
    support: MappingProxyType[str, float]
    unfamiliarity: MappingProxyType[str, float]
    response: MappingProxyType[str, float]
    dynamics: MappingProxyType[str, Dynamic]
    b_flat: MappingProxyType[tuple[str, str], float]
    dials: MappingProxyType[str, Dial]


def _rows(name: str) -> list[dict[str, str]]:
    path = tables_folder() / "effort" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _number(text: str, table: str, row: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise TableError(
            f"{text!r} is not a number", place=f"effort/{table}.csv:{row}", next_step="Mend the table"
        ) from None


def _column(table: str, key: str, value: str) -> MappingProxyType[str, float]:
    return MappingProxyType({row[key]: _number(row[value], table, row[key]) for row in _rows(table)})


def _figures() -> Figures:
    values = dict(_column("figures", "id", "value"))
    wanted = {field.name for field in fields(Figures)}
    if wrong := wanted ^ values.keys():
        raise TableError(
            f"figures missing or not known: {', '.join(sorted(wrong))}",
            place="effort/figures.csv",
            next_step="Each row's id must be a field of Figures",
        )
    return Figures(**values)


@cache
def effort_tables() -> EffortTables:
    """Read tables/effort once; TableError names table and row when a value is no number."""
    dynamics = {
        row["dynamic"]: Dynamic(
            _number(row["drift_cents"], "dynamics", row["dynamic"]),
            row["soft"] == "yes",
            row["loud"] == "yes",
        )
        for row in _rows("dynamics")
    }
    b_flat = {
        (row["form"], row["near"]): _number(row["effort"], "b_flat", row["form"]) for row in _rows("b_flat")
    }
    dials = {
        row["dial"]: Dial(
            tuple(row["terms"].split()),
            *(_number(row[key], "dials", row["dial"]) for key in ("least", "most", "default")),
            row["note"],
        )
        for row in _rows("dials")
    }
    return EffortTables(
        figures=_figures(),
        finger_weight=_column("fingers", "finger", "weight"),
        support=_column("support", "touch", "support"),
        unfamiliarity=_column("familiarity", "case", "unfamiliarity"),
        response=_column("response", "response", "effort"),
        dynamics=MappingProxyType(dynamics),
        b_flat=MappingProxyType(b_flat),
        dials=MappingProxyType(dials),
    )
