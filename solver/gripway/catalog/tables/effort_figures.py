"""The figures behind every cost: tables/effort as frozen, named values."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.figure_table import FIGURE_COLUMNS, figures, rows_of, scale, without_unit


@dataclass(frozen=True, slots=True, repr=False)  # nobody reads a hundred figures in a row
class Figures:
    """The single figures of tables/effort/figures.csv; each field is a row's id."""

    base_ms: float
    more_fingers_share: float
    swap_share: float
    swap_middle_ring_share: float
    swap_ring_little_share: float
    coupling_share: float
    two_hands_share: float
    sidestep_share: float
    key_train_share: float
    slide_factor: float
    slide_roller_factor: float
    slide_thumb_factor: float
    thumb_slide_least_ms: float
    line_travel_ms: float
    line_together_ms: float
    line_swap_ms: float
    line_swap_weak_ms: float
    line_two_hands_ms: float
    line_lever_ms: float
    line_sidestep_ms: float
    line_across_ms: float
    line_slide_ms: float
    line_slide_roller_ms: float
    line_slide_thumb_ms: float
    line_turning_share: float
    alternation_full_ms: float
    alternation_fade_ms: float
    tongued_factor: float
    slurred_factor: float
    load_below_effort: float
    load_above_effort: float
    called_hard_load: float
    called_very_late_load: float
    load_straight_load: float
    load_most_effort: float
    balance_effort: float
    balance_free_support: float
    balance_time_ms: float
    loose_below_support: float
    loose_effort: float
    exposure_full_ms: float
    exposure_soft_factor: float
    quick_longest_ms: float
    held_from_ms: float
    leap_longest_ms: float
    leap_longest_to_top_ms: float
    leap_least_semitones: float
    thumb_slide_effort: float
    thumb_rest_least_ms: float
    thumb_rest_effort: float
    response_soft_factor: float
    sustained_ms: float
    tuning_bent_effort: float
    tuning_habit_share: float
    unfamiliar_least_factor: float
    tuning_alternating_factor: float
    trill_alternating_factor: float
    trill_note_ms: float
    trill_point_effort: float
    ornament_note_ms: float
    held_needless_effort: float
    held_thumb_effort: float
    eb_dropped_effort: float
    partial_change_effort: float
    partial_alternating_factor: float
    second_choice_effort: float
    unsafe_effort: float
    b_flat_span_notes: float
    figure_tempo_factor: float
    mark_least_gain_effort: float
    most_marks_per_100_notes: float
    held_least_notes: float
    simile_near_notes: float
    standard_spread_cents: float
    unknown_spread_cents: float
    lean_same_cents: float
    lean_lip_cents: float
    lean_bend_cents: float
    tuning_beyond_effort: float
    leaving_standard_effort: float
    same_trouble_effort: float
    learning_charge_effort: float
    learning_notes: float
    return_charge_effort: float
    return_near_notes: float
    harmonic_lowest_note_number: float
    harmonic_real_from_note_number: float
    harmonic_far_partial: float
    harmonic_remote_partial: float
    grace_least_ms: float
    unsafe_time_ms: float
    loss_resistant_ratio: float
    loss_weak_ratio: float
    gap_narrow_cents: float
    rule_preferred_effort: float


@dataclass(frozen=True, slots=True)
class ShakingFigures:
    """The rows of tables/effort/shaking.csv: how judged figures are shaken and what must stay true."""

    shake_share: float
    shake_draws: int
    steady_least_share: float
    steady_margin_factor: float


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

    `judged` has, by table, the keys of the rows whose size is a judgement, each with the key of its draw when
    it is shaken: its own, of a figure that without its unit.
    """

    figures: Figures
    shaking: ShakingFigures
    finger_weight: MappingProxyType[str, float]
    support: MappingProxyType[str, float]
    unfamiliarity: MappingProxyType[str, float]
    response: MappingProxyType[str, float]
    dynamics: MappingProxyType[str, Dynamic]
    b_flat: MappingProxyType[tuple[str, str], float]
    dials: MappingProxyType[str, Dial]
    judged: MappingProxyType[str, Mapping[str, str]]


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
        shaking=figures("effort/shaking.csv", ShakingFigures),
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


COUNTING_UNITS = ("notes", "note number", "partial", "semitones")
"""Units of figures that count or name something: none of them is the size of a cost or of a time."""


def _judged(name: str, columns: tuple[str, ...], key: int) -> Mapping[str, str]:
    """Keys of the judged rows of a table, cells joined by a blank, each with the key of its draw."""
    keys = {
        " ".join(row.cells[column] for column in columns[:key]): row
        for row in rows_of(f"effort/{name}.csv", columns)
        if row.text("how") == "judgement" and row.cells.get("unit") not in COUNTING_UNITS
    }
    return MappingProxyType(
        {each: without_unit(row) if "unit" in row.cells else each for each, row in keys.items()}
    )
