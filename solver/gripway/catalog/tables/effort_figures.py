"""The figures behind every cost: tables/effort as frozen, named values."""

from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.figure_table import FIGURE_COLUMNS, figures, rows_of, scale


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
    sidestep: float
    key_train: float
    slide: float
    slide_roller: float
    slide_thumb: float
    thumb_slide_least: float
    line_travel: float
    line_together: float
    line_swap: float
    line_swap_weak: float
    line_two_hands: float
    line_lever: float
    line_sidestep: float
    line_across: float
    line_slide: float
    line_slide_roller: float
    line_slide_thumb: float
    line_turning: float
    alternation_full: float
    alternation_fade: float
    tongued: float
    slurred: float
    load_below: float
    load_above: float
    load_straight: float
    load_most: float
    balance: float
    balance_free: float
    balance_time: float
    loose_below: float
    loose: float
    exposure_full: float
    exposure_soft: float
    quick_longest: float
    held_from: float
    leap_longest: float
    leap_longest_to_top: float
    leap_least: float
    thumb_slide: float
    response_soft: float
    sustained: float
    tuning_bent: float
    tuning_habit: float
    unfamiliar_least: float
    tuning_alternating: float
    trill_alternating: float
    trill_note: float
    trill_point: float
    ornament_note: float
    held_needless: float
    held_thumb: float
    eb_dropped: float
    partial_change: float
    partial_alternating: float
    second_choice: float
    unsafe: float
    b_flat_span: float
    figure_tempo: float
    mark_least_gain: float
    marks_at_most: float
    held_least: float
    simile_near: float
    standard_spread: float
    unknown_spread: float
    lean_same: float
    lean_lip: float
    lean_bend: float
    tuning_beyond: float
    leaving_standard: float
    learning_charge: float
    learning_notes: float
    return_charge: float
    return_near: float
    shake_share: float
    shake_draws: float
    steady_least: float
    steady_margin: float
    harmonic_lowest: float
    harmonic_real_from: float
    harmonic_far_partial: float
    harmonic_remote_partial: float
    grace_least: float
    unsafe_time: float
    loss_resistant: float
    loss_weak: float
    gap_narrow: float
    rule_preferred: float


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
    """All of tables/effort: figures, finger weights, support per touch, and the small scales.

    `judged` has, by table, the keys of the rows whose size is a judgement.
    """

    figures: Figures
    finger_weight: MappingProxyType[str, float]
    support: MappingProxyType[str, float]
    unfamiliarity: MappingProxyType[str, float]
    response: MappingProxyType[str, float]
    dynamics: MappingProxyType[str, Dynamic]
    b_flat: MappingProxyType[tuple[str, str], float]
    dials: MappingProxyType[str, Dial]
    judged: MappingProxyType[str, tuple[str, ...]]


FINGER_COLUMNS = ("finger", "weight", "how", "source", "note")
SUPPORT_COLUMNS = ("touch", "support", "how", "source", "note")
FAMILIARITY_COLUMNS = ("case", "unfamiliarity", "how", "source", "note")
RESPONSE_COLUMNS = ("response", "effort", "how", "source", "note")
DYNAMIC_COLUMNS = ("dynamic", "drift_cents", "soft", "loud", "how", "source", "note")
B_FLAT_COLUMNS = ("form", "near", "effort", "how", "source", "note")
DIAL_COLUMNS = ("dial", "terms", "least", "most", "default", "how", "source", "note")
YES_NO = {"yes": True, "no": False}


def _scale(name: str, columns: tuple[str, ...]) -> MappingProxyType[str, float]:
    return MappingProxyType(scale(f"effort/{name}.csv", columns))


def _dynamics() -> dict[str, Dynamic]:
    rows = rows_of("effort/dynamics.csv", DYNAMIC_COLUMNS)
    return {
        row.text("dynamic"): Dynamic(
            row.decimal("drift_cents"), row.choice("soft", YES_NO), row.choice("loud", YES_NO)
        )
        for row in rows
    }


def _dials() -> dict[str, Dial]:
    return {
        row.text("dial"): Dial(
            terms=row.words("terms"),
            least=row.decimal("least"),
            most=row.decimal("most"),
            default=row.decimal("default"),
            what=row.text("note"),
        )
        for row in rows_of("effort/dials.csv", DIAL_COLUMNS)
    }


@cache
def effort_tables() -> EffortTables:
    """Read tables/effort once; TableError names table, row and column when a cell is wrong."""
    b_flat = {
        (row.text("form"), row.text("near")): row.decimal("effort")
        for row in rows_of("effort/b_flat.csv", B_FLAT_COLUMNS)
    }
    return EffortTables(
        figures=figures("effort/figures.csv", Figures),
        finger_weight=_scale("fingers", FINGER_COLUMNS),
        support=_scale("support", SUPPORT_COLUMNS),
        unfamiliarity=_scale("familiarity", FAMILIARITY_COLUMNS),
        response=_scale("response", RESPONSE_COLUMNS),
        dynamics=MappingProxyType(_dynamics()),
        b_flat=MappingProxyType(b_flat),
        dials=MappingProxyType(_dials()),
        judged=MappingProxyType({name: _judged(name, *keyed) for name, keyed in KEYED.items()}),
    )


KEYED: dict[str, tuple[tuple[str, ...], int]] = {
    "figures": (FIGURE_COLUMNS, 1),
    "fingers": (FINGER_COLUMNS, 1),
    "support": (SUPPORT_COLUMNS, 1),
    "familiarity": (FAMILIARITY_COLUMNS, 1),
    "response": (RESPONSE_COLUMNS, 1),
    "b_flat": (B_FLAT_COLUMNS, 2),
}
"""Columns of the tables whose sizes may be judged, and how many of the first are their key."""


COUNTING_UNITS = ("method", "notes", "note number", "partial", "semitones")
"""Units of figures that count or name something: none of them is the size of a cost or of a time."""


def _judged(name: str, columns: tuple[str, ...], key: int) -> tuple[str, ...]:
    """Keys of the judged rows of a table, the cells of a key joined by a blank."""
    return tuple(
        " ".join(row.cells[column] for column in columns[:key])
        for row in rows_of(f"effort/{name}.csv", columns)
        if row.text("how") == "judgement" and row.cells.get("unit") not in COUNTING_UNITS
    )
